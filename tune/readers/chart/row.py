"""One line of bars in a chart: bar lines, repeat signs, and what stands in each bar.

Public: Row, Cell, Symbol, read_row, share, may_share, is_row.
"""

import re
from dataclasses import dataclass

from tune.chord import Chord, ChordError, parse_chord
from tune.errors import Place, TuneError
from tune.readers.chart.fields import read_length, read_times, short
from tune.time import Metre
from tune.tune import ChordChange

_ENDING = re.compile(r"\s*(\d{1,2}(?:\s*(?:,|and)\s*\d{1,2})*)\s*\.(?=[\s|:])", re.ASCII)
_TOKEN = re.compile(r"(?P<lines>[:|]*\|[:|]*)|(?P<word>[^\s|:]+)|(?P<stray>:+)")
_AFTER_REPEAT = re.compile(r"(?<=:\|)\|?\s*(?P<times>\w[\w\s]*)$")
MOST_SYMBOLS = 512
_NO_CHORD = ("N.C.", "NC", "N.C")


@dataclass(frozen=True)
class Symbol:
    """A chord, ``.``, ``same``, N.C. or ``(length)`` with its column, from 1."""

    text: str
    column: int


@dataclass(frozen=True)
class Cell:
    """One bar as typed; start and times are the repeat signs at its sides."""

    symbols: tuple[Symbol, ...]
    start: bool
    times: int


@dataclass(frozen=True)
class Row:
    """A line of bars; endings are the passes it is for; opens: its last sign starts a repeat."""

    endings: tuple[int, ...]
    cells: tuple[Cell, ...]
    opens: bool


def is_row(line: str) -> bool:
    """Whether a line is one of bars: it has a bar line, and no field's colon before that."""
    head, bar_line, _ = line.partition("|")
    name, colon, rest = head.partition(":")
    a_field = bool(colon and rest) and name.replace(" ", "").isalpha()
    return bool(bar_line) and not a_field


def read_row(line: str, opens: bool) -> Row:
    """The bars of ``line``; ``opens`` says that the line before ended by starting a repeat."""
    endings, at = _endings(line)
    times_after = _AFTER_REPEAT.search(line)
    last_times = read_times(times_after["times"]) if times_after else None
    if times_after is not None and last_times is not None:
        line = line[: times_after.start("times")]
    cells: list[Cell] = []
    symbols: list[Symbol] = []
    plain_line = False  # whether the last token was a bar line without a sign
    for token in _TOKEN.finditer(line, at):
        place = Place(column=token.start() + 1)
        if token["stray"]:
            raise TuneError("a colon stands alone; write |: or :| to repeat", place)
        if token["word"]:
            symbols += _symbols(token["word"], token.start() + 1)
            if len(symbols) > MOST_SYMBOLS:
                raise TuneError(f"a bar holds more than {MOST_SYMBOLS} chords and dots", place)
            continue
        closes, starts = _signs(token["lines"], place)
        if symbols:
            cells.append(Cell(tuple(symbols), opens, 2 if closes else 1))
            symbols, opens = [], False
        elif closes and cells and not opens and cells[-1].times == 1:
            cells[-1] = Cell(cells[-1].symbols, cells[-1].start, 2)
        elif closes or (plain_line and not starts):
            raise TuneError("a bar is empty; write a chord in it, or . or N.C.", place)
        opens = opens or starts
        plain_line = not closes and not starts
    if symbols:
        cells.append(Cell(tuple(symbols), opens, 1))
        opens = False
    if not cells:
        raise TuneError("the line has no bars; write chords between | lines", Place(column=1))
    if last_times is not None:
        cells[-1] = Cell(cells[-1].symbols, cells[-1].start, last_times)
    return Row(endings, tuple(cells), opens)


def _endings(line: str) -> tuple[tuple[int, ...], int]:
    """The passes that a line such as ``1. | D |`` is for, and where the line goes on."""
    head = _ENDING.match(line)
    if head is None:
        return (), 0
    passes = tuple(int(number) for number in re.findall(r"\d+", head[1]))
    if passes[0] < 1 or passes != tuple(sorted(set(passes))):
        raise TuneError("endings are numbered upwards from 1, as in 1, 2.", Place(column=1))
    return passes, head.end()


def _signs(lines: str, place: Place) -> tuple[bool, bool]:
    """Whether a run of bar lines closes a repeat, and whether it starts one."""
    if not re.fullmatch(r":?\|{1,2}:?", lines):
        raise TuneError(f"{short(lines)!r} is no bar line; write |, ||, |: or :|", place)
    return lines.startswith(":"), lines.endswith(":")


def _symbols(word: str, column: int) -> list[Symbol]:
    """A word as symbols: dots typed close to a chord or to each other are taken apart."""
    if word.upper() in _NO_CHORD:
        return [Symbol(word, column)]
    parts = re.finditer(r"\.|[^.]+", word)
    return [Symbol(part.group(), column + part.start()) for part in parts]


def share(
    symbols: tuple[Symbol, ...], metre: Metre, before: tuple[ChordChange, ...], length_before: int
) -> tuple[int, tuple[ChordChange, ...]]:
    """A bar's ticks and chord changes; ``before`` are those of the bar before, for ``same``."""
    length = metre.bar
    if symbols[0].text.startswith("(") and symbols[0].text.endswith(")"):
        try:
            length = read_length(symbols[0].text[1:-1])
        except TuneError as error:
            raise error.at(Place(column=symbols[0].column)) from None
        symbols = symbols[1:]
        if not symbols:
            raise TuneError("a bar has a length and nothing in it; write a chord, . or N.C.")
    if [symbol.text.lower() for symbol in symbols] == ["same"]:
        if length_before != length:
            raise TuneError(
                "there is no bar of the same length before this one; write its chords",
                Place(column=symbols[0].column),
            )
        return length, before
    if not may_share(len(symbols), length, metre):
        raise TuneError(
            f"{len(symbols)} chords and dots do not share out {_beats(length, metre)} evenly; "
            "write one for each beat, with . where the chord stays",
            Place(column=symbols[0].column),
        )
    each = length // len(symbols)
    changes = [
        ChordChange(place * each, _chord(symbol))
        for place, symbol in enumerate(symbols)
        if symbol.text != "."
    ]
    return length, tuple(changes)


def may_share(count: int, length: int, metre: Metre) -> bool:
    """Whether ``count`` symbols share a bar: as many as beats, or evenly more or fewer."""
    unit = next((u for u in (metre.beat, metre.bar // metre.beats) if length % u == 0), length)
    beats = length // unit
    return length % count == 0 and (beats % count == 0 or count % beats == 0)


def _beats(length: int, metre: Metre) -> str:
    if length % metre.beat == 0:
        beats = length // metre.beat
        return f"{beats} beat{'s' if beats > 1 else ''}"
    return "the bar"


def _chord(symbol: Symbol) -> Chord | None:
    """The chord of a symbol, None for N.C.; the column is the line's."""
    if symbol.text.upper() in _NO_CHORD:
        return None
    if symbol.text.lower() == "same":
        raise TuneError(
            "same stands for a whole bar; use . where a chord stays", Place(column=symbol.column)
        )
    try:
        return parse_chord(symbol.text)
    except ChordError as error:
        column = symbol.column + error.column - 1
        raise TuneError(error.message, Place(column=column)) from None
