"""The tune in JSON, whole, both ways: bars as written, with chords, melody and words.

Lengths and places are quarter notes, exact fractions as text.

Public: tune_out, tune_in, metre_in.
"""

import re
from typing import Any

from tune.chord import Chord, parse_chord
from tune.key import Key
from tune.time import Metre, Tempo, quarters
from tune.tune import GIVEN, Bar, ChordChange, Note, Tune
from undersong.sheet.json_node import Node

_METRE = re.compile(r"(\d{1,2})/(\d{1,2})")


def tune_out(tune: Tune) -> dict[str, Any]:
    return {
        "title": tune.title,
        "composer": tune.composer,
        "source": tune.source,
        "licence": tune.licence,
        "key": _key_out(tune.key),
        "metre": str(tune.metre),
        "tempo": _tempo_out(tune.tempo),
        "notices": list(tune.notices),
        **({} if tune.chords_are == GIVEN else {"chords_are": tune.chords_are}),
        "bars": [_bar_out(bar) for bar in tune.bars],
    }


def tune_in(node: Node) -> Tune:
    said = isinstance(node.value, dict) and "chords_are" in node.value
    node.object(
        "title", "composer", "source", "licence", "key", "metre", "tempo", "notices",
        *["chords_are"] * said, "bars",
    )  # fmt: skip
    bars = tuple(_bar_in(bar) for bar in node["bars"].items())
    title, composer = node["title"].text(), node["composer"].text()
    source, licence = node["source"].text(), node["licence"].text()
    key, metre, tempo = _key_in(node["key"]), metre_in(node["metre"]), _tempo_in(node["tempo"])
    notices = node["notices"].texts()
    chords_are = node["chords_are"].text() if said else GIVEN
    return node.made(
        lambda: Tune(title, key, metre, tempo, bars, composer, source, licence, notices, chords_are)
    )


def metre_in(node: Node) -> Metre:
    match = _METRE.fullmatch(node.text())
    if match is None:
        node.wrong('a metre such as "4/4"')
    return node.made(lambda: Metre(int(match.group(1)), int(match.group(2))))


def _key_out(key: Key) -> dict[str, str]:
    return {"tonic": key.tonic, "mode": key.mode}


def _key_in(node: Node) -> Key:
    node.object("tonic", "mode")
    tonic, mode = node["tonic"].text(), node["mode"].text()
    return node.made(lambda: Key(tonic, mode))


def _tempo_out(tempo: Tempo) -> dict[str, Any]:
    return {"beat": str(quarters(tempo.beat)), "per_minute": tempo.per_minute}


def _tempo_in(node: Node) -> Tempo:
    node.object("beat", "per_minute")
    beat, per_minute = node["beat"].ticks(), node["per_minute"].whole()
    return node.made(lambda: Tempo(beat, per_minute))


def _bar_out(bar: Bar) -> dict[str, Any]:
    return {
        "number": bar.number,
        "metre": str(bar.metre),
        "length": str(quarters(bar.length)),
        "key": _key_out(bar.key),
        "tempo": _tempo_out(bar.tempo) if bar.tempo else None,
        "section": bar.section,
        "repeat_start": bar.repeat_start,
        "repeat_times": bar.repeat_times,
        "endings": list(bar.endings),
        "chords": [
            {"offset": str(quarters(c.tick)), "chord": c.chord.symbol if c.chord else None}
            for c in bar.chords
        ],
        "notes": [_note_out(note) for note in bar.notes],
    }


def _bar_in(node: Node) -> Bar:
    node.object(
        "number", "metre", "length", "key", "tempo", "section", "repeat_start", "repeat_times",
        "endings", "chords", "notes",
    )  # fmt: skip
    parts: dict[str, Any] = {
        "number": node["number"].whole(),
        "metre": metre_in(node["metre"]),
        "length": node["length"].ticks(),
        "key": _key_in(node["key"]),
        "chords": tuple(_change_in(change) for change in node["chords"].items()),
        "notes": tuple(_note_in(note) for note in node["notes"].items()),
        "section": node["section"].text(),
        "repeat_start": node["repeat_start"].flag(),
        "repeat_times": node["repeat_times"].whole(1),
        "endings": tuple(ending.whole(1) for ending in node["endings"].items()),
        "tempo": node["tempo"].maybe(_tempo_in),
    }
    return node.made(lambda: Bar(**parts))


def _change_in(node: Node) -> ChordChange:
    node.object("offset", "chord")
    return ChordChange(node["offset"].ticks(), node["chord"].maybe(chord_in))


def chord_in(node: Node) -> Chord:
    text = node.text()
    return node.made(lambda: parse_chord(text))


def _note_out(note: Note) -> dict[str, Any]:
    return {
        "offset": str(quarters(note.tick)),
        "length": str(quarters(note.length)),
        "midi": note.midi,
        "name": note.name,
        "tied": note.tied,
        "grace": note.grace,
        "tuplet": list(note.tuplet) if note.tuplet else None,
        "lyrics": list(note.lyrics),
        "marks": list(note.marks),
    }


def _note_in(node: Node) -> Note:
    node.object(
        "offset", "length", "midi", "name", "tied", "grace", "tuplet", "lyrics", "marks"
    )  # fmt: skip
    return Note(
        tick=node["offset"].ticks(),
        length=node["length"].ticks(),
        midi=node["midi"].maybe(Node.whole),
        name=node["name"].text(),
        tied=node["tied"].flag(),
        grace=node["grace"].flag(),
        tuplet=node["tuplet"].maybe(_tuplet_in),
        lyrics=node["lyrics"].texts(),
        marks=node["marks"].texts(),
    )


def _tuplet_in(node: Node) -> tuple[int, int]:
    numbers = [item.whole(1) for item in node.items()]
    if len(numbers) != 2:
        node.wrong("two numbers, such as [3, 2]")
    return numbers[0], numbers[1]
