"""Boxes of the shapes that an arrangement uses, in the order of first use.

A box is a piece of the fretboard as it lies on the lap: a line a string in the page's order, the
nut (or capo) at the left, or at the right for a left-handed player whose instrument is strung the
other way round (common practice, no source). A finger's letter stands before the fret that it
stops; an open string has its fret number at the nut, a silent one ``x``; at the end of the line
stands the note that sounds. The drawing is our own.

What counts as a shape, and how often it comes, is said in ``undersong.sheet.used``.

Public: shapes_used.
"""

from textwrap import wrap

from fretboard.grip import Grip
from tune.key import pitch_in
from undersong.sheet.text_bar import Reading
from undersong.sheet.text_system import string_names
from undersong.sheet.used import UsedShape, used_shapes

_CELL = 4
_GAP = 3
"""Columns of one fret, and between two boxes."""


def shapes_used(reading: Reading) -> list[str]:
    """A heading and the boxes, as many beside each other as the page is wide."""
    width = reading.options.width
    found = used_shapes(reading.arrangement)
    if not found:
        return ["Shapes: none, every string is open."]
    many = "1 shape" if len(found) == 1 else f"{len(found)} shapes"
    turned = "; the nut at the right, for the left-handed" if reading.options.left_handed else ""
    lines = wrap(f"Shapes: {many} in order of first use, with the notes that sound{turned}.", width)
    row: list[list[str]] = []
    for number, used in enumerate(found, 1):
        box = _box(reading, number, used)
        if row and sum(len(each[0]) + _GAP for each in row) + len(box[0]) > width:
            lines += ["", *_beside(row)]
            row = []
        row.append(box)
    return [*lines, "", *_beside(row)]


def _box(reading: Reading, number: int, used: UsedShape) -> list[str]:
    """Lines of one width."""
    made, grip = reading.arrangement, used.grip
    every = string_names(reading)
    names = {course: every[course] for course in reading.courses}
    frets = _frets(reading, grip)
    times = "once" if used.times == 1 else f"{used.times} times"
    shown = [grip.frets[course] for course in sorted(names)]
    played = "-".join("x" if fret < 0 else reading.fret(fret) for fret in shown)
    lead = max(len(name) for name in names.values())
    ends = {course: _end(reading, grip.frets[course]) for course in names}
    edge = max(len(end) for end in ends.values())
    top = "".join(
        _turned(reading, f"{reading.fret(fret):>{_CELL}}") for fret in _way(reading, frets)
    )
    blank = " " * (edge + 2)
    lines = [
        f"{number}. {played}, {times}",
        " " * (lead + 1) + (top + blank if reading.options.left_handed else blank + top),
    ]
    for course, name in names.items():
        nut = "||" if frets[0] == _first_fret(reading) else " |"
        parts = [f"{ends[course]:>{edge}}{nut}"]
        parts += [_cell(reading, course, fret) for fret in frets]
        for at, fret in enumerate(frets, 1):
            if fret == grip.frets[course] and grip.fingers[course] >= 0:
                letter = made.hand.letter(grip.fingers[course])
                parts[at] = f"--{letter}{parts[at][-1]}"
        drawn = "".join(parts)
        if reading.options.left_handed:
            drawn = "".join(
                _mirrored(part, edge) if at == 0 else part[::-1]
                for at, part in reversed(list(enumerate(parts)))
            )
        fret = grip.frets[course]
        note = pitch_in(made.instrument.pitch(course, fret), used.key) if fret >= 0 else ""
        lines.append(f"{name:<{lead}} {drawn} {note}")
    wide = max(map(len, lines))
    if wide > reading.options.width:
        return _in_words(reading, lines[0], used)
    return [line.ljust(wide) for line in lines]


def _in_words(reading: Reading, title: str, used: UsedShape) -> list[str]:
    """For a box that no line of the page can hold."""
    made, grip = reading.arrangement, used.grip
    told = []
    for course in reading.courses:
        fret, finger = grip.frets[course], grip.fingers[course]
        how = "silent" if fret < 0 else reading.fret(fret)
        how += f" {made.hand.letter(finger)}" if finger >= 0 else ""
        pitch = made.instrument.pitch(course, fret)
        note = f", {pitch_in(pitch, used.key)}" if fret >= 0 else ""
        told.append(f"{made.instrument.course_name(course)} {how}{note}")
    width = reading.options.width
    lines = [title, *wrap("; ".join(told), width, initial_indent="  ", subsequent_indent="  ")]
    return [line.ljust(width) for line in lines]


def _mirrored(part: str, edge: int) -> str:
    """The nut and what stands behind it, the words still read from the left."""
    return part[edge:][::-1] + part[:edge].strip().ljust(edge)


def _way(reading: Reading, frets: list[int]) -> list[int]:
    return frets[::-1] if reading.options.left_handed else frets


def _turned(reading: Reading, label: str) -> str:
    return label.strip().ljust(len(label)) if reading.options.left_handed else label


def _end(reading: Reading, fret: int) -> str:
    """What stands behind the nut."""
    if fret < 0:
        return "x"
    return reading.fret(fret) if fret == reading.arrangement.instrument.capo else ""


def _cell(reading: Reading, course: int, fret: int) -> str:
    """A fret's room and its wire; no wire where the fret does not run under the string."""
    has = fret in reading.arrangement.instrument.courses[course].frets
    return "-" * (_CELL - 1) + ("|" if has else "-")


def _every_fret(reading: Reading) -> list[int]:
    """The frets of any string that lie above the nut or capo."""
    instrument = reading.arrangement.instrument
    return sorted(
        {fret for course in instrument.courses for fret in course.frets if fret > instrument.capo}
    )


def _first_fret(reading: Reading) -> int:
    return _every_fret(reading)[0]


def _frets(reading: Reading, grip: Grip) -> list[int]:
    """From one before the lowest that is stopped, at the least to the highest."""
    stopped = [f for f, finger in zip(grip.frets, grip.fingers, strict=True) if finger >= 0]
    every = _every_fret(reading)
    low = max(0, every.index(min(stopped)) - 1)
    return every[low : every.index(max(stopped)) + 1]


def _beside(boxes: list[list[str]]) -> list[str]:
    """Boxes next to each other; all have as many lines."""
    return [(" " * _GAP).join(parts).rstrip() for parts in zip(*boxes, strict=True)]
