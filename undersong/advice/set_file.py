"""A set as a player writes it down: a TOML file, or a list of tunes, a line each.

``undersong set-format`` prints how. Files are seen from the set file's own folder.

Public: read_set, read_list, is_list, lines_of, SetFile, SetLine, TUNE_KEYS, SET_KEYS.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import corpus
from fretboard.errors import FretboardError
from fretboard.reading import Table, read_toml
from tune.errors import Place, TuneError
from tune.readers.abc import abc_tunes
from tune.readers.source import as_text, read_bytes

SET_KEYS = ("title", "first", "last", "in_a_row", "from_tuning", "medley", "prices", "tune")
TUNE_KEYS = (
    "tune", "choose", "tuning", "tunings", "capo", "capos", "transpose", "texture", "tempo",
    "chords", "bass", "medley", "conditions",
)  # fmt: skip
IGNORED = "none"
"""What a player writes who wants no conditions, not even those beside the tune."""

WHOLE = "medley"
"""What the medley of a whole set is called."""


@dataclass(frozen=True)
class SetLine:
    """One tune as it is named. where: for complaints; source, choose: what ``read_tune`` takes;
    tunings, capos: as typed, those of the command line where empty; settings: option → its value;
    medley: its name, empty for none; conditions: the file of what is asked of the tune, ``none``
    for nothing, None for the file beside the tune if there is one."""

    where: str
    source: str
    choose: str | None = None
    tunings: tuple[str, ...] = ()
    capos: tuple[str, ...] = ()
    settings: Mapping[str, object] = field(default_factory=dict)
    medley: str = ""
    conditions: str | None = None


@dataclass(frozen=True)
class SetFile:
    """What a set file says; None or nothing where it says nothing."""

    lines: tuple[SetLine, ...]
    title: str = ""
    first: str | None = None
    last: str | None = None
    in_a_row: int | None = None
    from_tuning: str | None = None
    prices: Mapping[str, int] = field(default_factory=dict)


def read_set(path: Path) -> SetFile:
    """The set in a TOML file; FretboardError, one sentence with file and key."""
    top = read_toml(path, str(path), *SET_KEYS)
    tunes = top.tables("tune", *TUNE_KEYS)
    if not tunes:
        raise FretboardError(f"{path}: there is no tune; begin each with the line [[tune]]")
    whole = top.flag("medley", False)
    in_a_row = top.whole("in_a_row", 1) if "in_a_row" in top.values else None
    if in_a_row is not None and in_a_row < 1:
        raise top.error("in_a_row", "a whole number from 1")
    prices = top.table("prices")
    return SetFile(
        tuple(_line(tune, path.parent, WHOLE if whole else "") for tune in tunes),
        top.text("title", ""),
        _text(top, "first"),
        _text(top, "last"),
        in_a_row,
        _text(top, "from_tuning"),
        {name: prices.whole(name, 0) for name in prices.values},
    )


def _line(tune: Table, folder: Path, medley: str) -> SetLine:
    name = tune.text("tune", "")
    if not name:
        raise FretboardError(f'{tune.where}: say which tune, such as tune = "harrow-lane"')
    for one, many in (("tuning", "tunings"), ("capo", "capos")):
        if one in tune.values and many in tune.values:
            raise FretboardError(f"{tune.where}: write {one} or {many}, not both")
    settings: dict[str, object] = {}
    for key in ("texture", "chords", "bass"):
        if key in tune.values:
            settings[key] = tune.text(key, "")
    for key, low, high in (("transpose", -24, 24), ("tempo", 10, 400)):
        if key in tune.values:
            number = tune.whole(key, 0)
            if not low <= number <= high:
                raise tune.error(key, f"a whole number from {low} to {high}")
            settings[key] = number
    return SetLine(
        tune.where,
        seen_from(folder, name),
        _text(tune, "choose") if isinstance(tune.values.get("choose"), str) else _number(tune),
        tune.texts("tuning") + tune.texts("tunings"),
        tune.texts("capo") + tune.texts("capos"),
        settings,
        tune.text("medley", medley),
        _conditions(tune, folder),
    )


def _conditions(tune: Table, folder: Path) -> str | None:
    name = _text(tune, "conditions")
    return name if name is None or name == IGNORED else str(folder / name)


def _number(tune: Table) -> str | None:
    return str(tune.whole("choose", 0)) if "choose" in tune.values else None


def _text(table: Table, key: str) -> str | None:
    return table.text(key, "") if key in table.values else None


def is_list(name: str) -> bool:
    """Whether a ``.txt`` file is a list of tunes and no chart: a chart has bar lines."""
    path = Path(name)
    if path.suffix.lower() != ".txt" or not _is_file(path):
        return False
    return "|" not in as_text(read_bytes(name), name)[0]


def read_list(name: str) -> tuple[SetLine, ...]:
    """Tunes named a line each, as ``lines_of`` takes them. Empty lines, and those that begin with
    #, are passed over."""
    folder = Path(name).parent
    lines: list[SetLine] = []
    for number, line in enumerate(as_text(read_bytes(name), name)[0].splitlines(), 1):
        text = line.strip()
        if not text or text.startswith("#"):
            continue
        lines += lines_of(text, f"{name}, line {number}", folder)
    if not lines:
        raise FretboardError(f"{name}: there is no tune in this list; name one a line")
    return tuple(lines)


def lines_of(text: str, where: str, folder: Path, choose: str | None = None) -> tuple[SetLine, ...]:
    """What a name means: a file, all tunes of an ABC file, a bundled tune, or a file, a colon and
    one of its tunes. Raises TuneError where an ABC file cannot be read."""
    file, colon, one = (part.strip() for part in text.rpartition(":"))
    if choose is None and colon and not _is_file(folder / text) and _is_file(folder / file):
        return (SetLine(where, seen_from(folder, file), one),)
    source = seen_from(folder, text)
    several = choose is None and source.lower().endswith(".abc") and _is_file(Path(source))
    tunes = _in_abc(source, where) if several else ()
    if len(tunes) < 2:
        return (SetLine(where, source, choose),)
    numbers = [number for number, _ in tunes]
    return tuple(
        SetLine(where, source, number if number and numbers.count(number) == 1 else title)
        for number, title in tunes
    )


def _in_abc(source: str, where: str) -> tuple[tuple[str, str], ...]:
    """(X: number, title) of every tune in the file; what is wrong with it names it, and the line of
    the list that it stands in."""
    try:
        return abc_tunes(as_text(read_bytes(source), source)[0])
    except TuneError as error:
        named = error.at(Place(source))
        raise TuneError(f"{where}: {named}" if where else str(named)) from None


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def seen_from(folder: Path, name: str) -> str:
    """The name, seen from the current folder; a bundled tune's stays."""
    return name if name in corpus.names() else str(folder / name)
