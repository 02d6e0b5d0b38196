"""Systems of the text tab: which bars share a line, and the rows that they are drawn in.

Four bars make a line where they fit, else two, else one, so that phrases stay together; a section,
a repeated passage and each time through a passage that is written out begin a new line.

Public: System, systems, draw, string_names.
"""

from collections.abc import Iterator
from dataclasses import replace

from fretboard.tuning import pitch_name
from tune.tune import Bar
from undersong.sheet.folding import Folding, SheetBar
from undersong.sheet.text_bar import (
    BASS,
    BEAT,
    CHORD,
    HEADING,
    NUMBER,
    Piece,
    Reading,
    fingers,
    line,
    parts_of,
    split,
    whole_bar,
)
from undersong.sheet.text_space import BARS_A_LINE, Spaced, beat_width, space

System = tuple[Spaced, ...]


def systems(reading: Reading, folding: Folding, label: int) -> list[System]:
    """The lines of the page; label: columns before each line's first bar. An ending of one bar
    joins the line before it where it fits."""
    room = reading.options.width - label
    pieces: list[list[Spaced]] = []
    before: Bar | None = None
    carried = (False,) * len(reading.arrangement.instrument.courses)
    for bar in folding.bars:
        written = reading.bar(bar)
        beat = beat_width(written.metre, room - 1)
        parts = beat // parts_of(written.metre) >= 2
        whole = whole_bar(reading, bar, before, carried, parts)
        whole = replace(whole, last=bar is folding.bars[-1])
        pieces.append(_fitting(whole, beat, room))
        carried = whole.leaving
        before = written
    found: list[System] = []
    for start, end in _phrases(reading, folding.bars):
        lines = list(_lines(pieces[start:end], room))
        if found and end - start == 1 and folding.bars[start].endings:
            joined = found[-1] + lines[0]
            if len(lines) == 1 and _fits(joined, room):
                found.pop()
                lines = [joined]
        found += lines
    return found


def _columns(system: System) -> int:
    """Columns that the system takes, all bar lines included."""
    bars = sum(spaced.width + 2 + spaced.piece.opens + spaced.piece.closes for spaced in system)
    return bars + system[-1].piece.bar_lines


def _fits(system: System, room: int) -> bool:
    """Whether the system fits the page, and its headings clear one another."""
    clear = 0
    for spaced, start in _starts(system):
        for mark in spaced.piece.marks:
            if mark.row == HEADING:
                if start < clear:
                    return False
                clear = start + len(mark.text) + 2
    return max(_columns(system), clear - 2) <= room


def _fitting(piece: Piece, beat: int, room: int) -> list[Spaced]:
    """The piece, or as many parts of it as it takes for each to fit."""
    spaced = space(piece, beat)
    parts = None if _fits((spaced,), room) else split(piece)
    if parts is None:
        return [spaced]
    return [small for part in parts for small in _fitting(part, beat, room)]


def _phrases(reading: Reading, bars: tuple[SheetBar, ...]) -> Iterator[tuple[int, int]]:
    """(start, end) of up to four bars; a pickup is not counted and stays with what follows."""
    start, count = 0, 0
    for index, bar in enumerate(bars):
        fresh = bool(reading.bar(bar).section) or bar.opens or bar.turn > 0
        after = index > 0 and bars[index - 1].closes and not reading.bar(bar).endings
        if count and (fresh or after or count == BARS_A_LINE):
            yield start, index
            start, count = index, 0
        count += 0 if index == start and bar.lead else 1
    yield start, len(bars)


def _lines(bars: list[list[Spaced]], room: int) -> Iterator[System]:
    """The bars in one line if they fit, else halved; a bar in parts has a line for each."""
    if len(bars) == 1:
        for part in bars[0]:
            yield (part,)
        return
    whole = tuple(parts[0] for parts in bars)
    if all(len(parts) == 1 for parts in bars) and _fits(whole, room):
        yield whole
        return
    half = (len(bars) + 1) // 2
    yield from _lines(bars[:half], room)
    yield from _lines(bars[half:], room)


def draw(reading: Reading, system: System, label: int, last: bool) -> list[str]:
    """The rows of one system, empty ones above the strings left out; last: the tune ends here."""
    names = string_names(reading)
    rows = [_words(system, row, "", label) for row in (HEADING, NUMBER, CHORD)]
    rows = [row for row in rows if row]
    rows.append(_words(system, BEAT, "", label))
    rows += [
        _line(reading, system, course, names[course], label, last) for course in reading.courses
    ]
    rows += [_words(system, fingers(course), names[course], label) for course in reading.stopped]
    if reading.arrangement.style.texture != "drone":
        rows.append(_words(system, BASS, "bass", label))
    return rows


def string_names(reading: Reading) -> tuple[str, ...]:
    """Each string's open note, bass first."""
    return tuple(pitch_name(pitch) for pitch in reading.arrangement.instrument.tuning)


def _starts(system: System) -> Iterator[tuple[Spaced, int]]:
    """Each piece with the column, past the label, where its first tick stands."""
    at = 0
    for spaced in system:
        at += 2 + spaced.piece.opens
        yield spaced, at
        at += spaced.width + spaced.piece.closes


def _words(system: System, row: str, name: str, label: int) -> str:
    """A row of words and letters, each at its column."""
    text = name.ljust(label)
    for spaced, start in _starts(system):
        for mark in spaced.piece.marks:
            if mark.row == row:
                text = text.ljust(label + start + spaced.columns[mark.tick]) + mark.text
    return text.rstrip() if text.strip() else ""


def _line(reading: Reading, system: System, course: int, name: str, label: int, last: bool) -> str:
    """One string's line, bar lines and repeat signs included."""
    signs = reading.signs
    text = name.ljust(label)
    for spaced, start in _starts(system):
        piece = spaced.piece
        marks = {m.tick: m.text for m in piece.marks if m.row == line(course)}
        sounds = dict(piece.sounding)
        fill = signs.sounds if piece.entering[course] else signs.silent
        text += fill if piece.start else signs.bar  # a bar in parts has no line in its middle
        text += signs.repeat if piece.opens else ""
        for tick in piece.ticks:
            text = text.ljust(label + start + spaced.columns[tick], fill) + marks.get(tick, "")
            if tick in sounds:
                fill = signs.sounds if sounds[tick][course] else signs.silent
        text = text.ljust(label + start + spaced.width, fill)
        text += signs.repeat if piece.closes else ""
    if not system[-1].piece.ends:
        return text
    return text + signs.bar * (2 if last and not system[-1].piece.closes else 1)
