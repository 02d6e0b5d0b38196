"""Which of the three forms a text has, and its reader.

Public: read_tab, TabOrder.
"""

from dataclasses import dataclass, replace

from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from tune.errors import Place
from undersong.handed.chord_shapes import (
    no_shape,
    pairs_in,
    read_shapes,
    shape_lines,
    spoilt_shape,
)
from undersong.handed.lines import read_lines
from undersong.handed.mixed import mixed_line, mixed_lines
from undersong.handed.names_beside import chord_names
from undersong.handed.numbers import Numbering
from undersong.handed.odd_signs import as_meant, no_fret, odd_line
from undersong.handed.rows import cleaned, of_one_name, refuse_endless, systems_in
from undersong.handed.tab import Tab, TabError

MOST_SIGNS = 2_000_000


@dataclass(frozen=True)
class TabOrder:
    """How the tab is written where it does not say it itself: melody_first: shapes name the melody
    string first; melody_on_top: lines have it on top; seven_is_six_plus: the fret between 6 and 7
    is called 7; from_capo: frets are counted from the capo; by_names: names of rows say which way
    up they are, whatever ``melody_on_top`` says."""

    melody_first: bool = False
    melody_on_top: bool = False
    seven_is_six_plus: bool = False
    from_capo: bool = False
    by_names: bool = True


def read_tab(
    text: str, instrument: Instrument, order: TabOrder, file: str = "", alone: bool = False
) -> Tab:
    """The tab in the text; alone: one line may stand for the bass string by itself. TabError where
    there is no tab, or one that cannot be read."""
    if len(text) > MOST_SIGNS:
        raise TabError("this is too long to be a tab; cut out the tune that is meant", Place(file))
    plain = cleaned(text)
    refuse_endless(plain, file)
    lines, notices = as_meant(plain, len(instrument.courses))
    tab = _read(lines, instrument, order, file, alone)
    return replace(tab, notices=(*notices, *tab.notices))


def _read(lines: list[str], instrument: Instrument, order: TabOrder, file: str, alone: bool) -> Tab:
    courses = len(instrument.courses)
    between = no_fret(lines, file)
    if between is not None:
        raise between
    words = " ".join(" ".join(lines).split())
    from_capo = order.from_capo or "frets counted from the capo" in words
    capo = instrument.capo if from_capo else 0
    numbering = Numbering(order.seven_is_six_plus, capo, instrument.chromatic)
    shapes = shape_lines(lines, courses)
    if shapes and _beside_chords(lines, shapes):
        return _read_shapes(lines, shapes, courses, numbering, order, file)
    names = [pitch_name(pitch) for pitch in instrument.tuning]
    by_name = alone and of_one_name(lines)
    try:
        systems = [] if by_name else systems_in(lines, courses, file)
    except TabError as error:
        if not alone and not shapes:
            mixed = mixed_line(lines, courses, numbering, file)
            if mixed is not None and mixed.place.line == error.place.line:
                raise mixed from None
            raise odd_line(lines, file) or error from None
        systems = []
    if alone and not systems and not _whole(lines, shapes, courses):
        systems = systems_in(lines, 1, file)
    if systems:
        tab = read_lines(systems, numbering, order.melody_on_top, names, file, order.by_names)
        if any(bar.struck for bar in tab.bars):
            return tab
    if shapes:
        return _read_shapes(lines, shapes, courses, numbering, order, file)
    mixed = mixed_line(lines, courses, numbering, file)
    if mixed is not None:
        raise mixed
    spoilt = spoilt_shape(lines)
    if spoilt:
        at, match = spoilt
        raise no_shape(match, courses, Place(file, at + 1, match.start() + 1))
    odd = odd_line(lines, file)
    if odd is not None:
        raise odd
    raise TabError(
        f"no tab stands here; write {courses} lines of numbers with bar lines, or shapes such as "
        "3-1-0 over chord names",
        Place(file, 1),
    )


def _read_shapes(
    lines: list[str],
    shapes: list[int],
    courses: int,
    numbering: Numbering,
    order: TabOrder,
    file: str,
) -> Tab:
    """The shapes of those lines, and a sentence on each other line that has one; TabError for one
    among them."""
    told = mixed_lines(lines, shapes, courses, numbering, file)
    tab = read_shapes(lines, shapes, courses, numbering, order.melody_first, file)
    return replace(tab, notices=(*tab.notices, *told))


def _whole(lines: list[str], shapes: list[int], courses: int) -> bool:
    """Whether any shape of those lines has a fret for every string: ``5-9`` may be bars."""
    return any(token.count("-") == courses - 1 for at in shapes for token in lines[at].split())


def _beside_chords(lines: list[str], shapes: list[int]) -> bool:
    """Whether chord names stand beside the first line of shapes, or in it."""
    if pairs_in(lines[shapes[0]]):
        return True
    around = [line for line in lines[max(0, shapes[0] - 2) : shapes[0] + 3] if line.strip()]
    return any(chord_names(line) for line in around)
