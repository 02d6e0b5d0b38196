"""The work: all that a player sets on the desk, as the page sends it and as it is kept.

A work names no file: a tune is bundled, or comes with its bytes, or as the text of a chart, or as
an answer writes it.

Public: Work, Source, Settings, work_in, work_out, source_in, FORMAT, VERSION, CHART.
"""

from base64 import b64decode, b64encode
from dataclasses import dataclass, field
from typing import Any

from undersong.sheet.json_node import Node

FORMAT = "undersong work"
VERSION = 1
MOST_TEXTS = 200
"""Pins, or any other list in a work."""
_NAMES = (
    "format", "version", "tune", "choose", "settings", "weights", "pins", "forbids", "at_most",
    "at_least",
)  # fmt: skip


@dataclass(frozen=True)
class Source:
    """Where the tune comes from: one of bundled (its name), chart (its text), written (the tune of
    an answer's document, as JSON), or data (a file's bytes) with name, what messages call it."""

    bundled: str = ""
    chart: str = ""
    written: str = ""
    name: str = ""
    data: bytes = b""


@dataclass(frozen=True)
class Settings:
    """Each as the option of the same name of ``undersong arrange``; None where nothing is set.

    octave: (bars, octaves); chords: ``given``, ``proposed``, ``drone`` or, after ``chart:``, a
    chart's text; frets: as printed; level: number of the bundled level whose caps hold.
    """

    tempo: int | None = None
    transpose: int = 0
    octave: tuple[tuple[str, int], ...] = ()
    chords: str = "given"
    instrument: str = "standard"
    tuning: str | None = None
    capo: str = "0"
    scale: str | None = None
    hand: str = "medium"
    without_fingers: tuple[str, ...] = ()
    texture: str = "song"
    manner: str | None = None
    right_hand: str = "bass-then-strum"
    no_chord: str = "rest"
    bass_ceiling: str | None = None
    highest: str | None = None
    melody_highest: str | None = None
    bass_above: bool = False
    graces: bool = False
    level: int | None = None
    alike: str | None = None
    shapes: int | None = None


CHART = "chart:"
"""What ``Settings.chords`` begins with where it is a chart's text."""

_SETTINGS = tuple(Settings.__dataclass_fields__)


@dataclass(frozen=True)
class Work:
    """choose: which tune of a file with several; weights: those that differ from the defaults;
    pins, forbids, at_most, at_least: as they are typed after the options of those names."""

    tune: Source
    choose: str | None = None
    settings: Settings = field(default_factory=Settings)
    weights: tuple[tuple[str, int], ...] = ()
    pins: tuple[str, ...] = ()
    forbids: tuple[str, ...] = ()
    at_most: tuple[str, ...] = ()
    at_least: tuple[str, ...] = ()


def work_in(node: Node) -> Work:
    """The work in a JSON value; SheetError, one sentence with the path, for what is none."""
    node.object(*_NAMES)
    if node["format"].value != FORMAT or node["version"].value != VERSION:
        node.fail(
            f'this is no work of the desk: it does not say "format": "{FORMAT}", "version": 1'
        )
    return Work(
        source_in(node["tune"]),
        node["choose"].maybe(Node.text),
        _settings_in(node["settings"]),
        tuple((name, price.whole()) for name, price in node["weights"].pairs()),
        *(_texts(node[name]) for name in ("pins", "forbids", "at_most", "at_least")),
    )


def work_out(work: Work) -> dict[str, Any]:
    """The same as JSON; ``work_in`` of it gives the work again."""
    chosen = {name: getattr(work.settings, name) for name in _SETTINGS}
    chosen["octave"] = [list(move) for move in work.settings.octave]
    chosen["without_fingers"] = list(work.settings.without_fingers)
    if work.settings.chords.startswith(CHART):
        chosen["chords"] = {"chart": work.settings.chords.removeprefix(CHART)}
    return {
        "format": FORMAT,
        "version": VERSION,
        "tune": _source_out(work.tune),
        "choose": work.choose,
        "settings": chosen,
        "weights": dict(work.weights),
        "pins": list(work.pins),
        "forbids": list(work.forbids),
        "at_most": list(work.at_most),
        "at_least": list(work.at_least),
    }


def source_in(node: Node) -> Source:
    """Where the tune comes from; the node complains of what it cannot be."""
    names = set(node.value) if isinstance(node.value, dict) else set()
    if names == {"bundled"}:
        return Source(bundled=node["bundled"].text())
    if names == {"chart"}:
        return Source(chart=node["chart"].text())
    if names == {"written"}:
        return Source(written=node["written"].text())
    node.object("name", "base64")
    try:
        data = b64decode(node["base64"].text(), validate=True)
    except ValueError:
        node["base64"].wrong("a file's bytes in base64")
    return Source(name=node["name"].text() or "the file", data=data)


def _source_out(source: Source) -> dict[str, str]:
    if source.bundled:
        return {"bundled": source.bundled}
    if source.written:
        return {"written": source.written}
    if source.name:
        return {"name": source.name, "base64": b64encode(source.data).decode("ascii")}
    return {"chart": source.chart}


def _settings_in(node: Node) -> Settings:
    node.object(*_SETTINGS)
    return Settings(
        tempo=node["tempo"].maybe(Node.whole),
        transpose=_between(node["transpose"], -24, 24),
        octave=tuple(_move(item) for item in _few(node["octave"])),
        chords=_chords(node["chords"]),
        instrument=node["instrument"].text(),
        tuning=node["tuning"].maybe(Node.text),
        capo=node["capo"].text(),
        scale=node["scale"].maybe(Node.text),
        hand=node["hand"].text(),
        without_fingers=_texts(node["without_fingers"]),
        texture=node["texture"].text(),
        manner=node["manner"].maybe(Node.text),
        right_hand=node["right_hand"].text(),
        no_chord=node["no_chord"].text(),
        bass_ceiling=node["bass_ceiling"].maybe(Node.text),
        highest=node["highest"].maybe(Node.text),
        melody_highest=node["melody_highest"].maybe(Node.text),
        bass_above=node["bass_above"].flag(),
        graces=node["graces"].flag(),
        level=node["level"].maybe(Node.whole),
        alike=node["alike"].maybe(Node.text),
        shapes=node["shapes"].maybe(Node.whole),
    )


def _chords(node: Node) -> str:
    if isinstance(node.value, dict):
        return CHART + node.object("chart")["chart"].text()
    if node.value not in ("given", "proposed", "drone"):
        node.wrong('"given", "proposed", "drone" or {"chart": text}')
    return node.text()


def _move(node: Node) -> tuple[str, int]:
    items = node.items()
    if len(items) != 2:
        node.wrong('bars and a number of octaves, such as ["5-8", -1]')
    return items[0].text(), _between(items[1], -3, 3)


def _between(node: Node, low: int, high: int) -> int:
    value = node.value
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        node.wrong(f"a whole number from {low} to {high}")
    return int(value)


def _few(node: Node) -> list[Node]:
    items = node.items()
    if len(items) > MOST_TEXTS:
        node.fail(f"there are {len(items)} of these; {MOST_TEXTS} are enough")
    return items


def _texts(node: Node) -> tuple[str, ...]:
    return tuple(item.text() for item in _few(node))
