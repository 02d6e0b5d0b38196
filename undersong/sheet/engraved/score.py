"""What stands in each printed bar of a page: strokes with frets and fingers, chords, notes.

Public: Score, ScoreBar, Hit, Figure, score_of, count_words.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from solver.result import Arrangement
from tune.chord import Chord
from tune.time import QUARTER, Metre
from tune.tune import Bar
from undersong.sheet.folding import Folding, SheetBar, fold
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions
from undersong.sheet.text_bar import Reading


@dataclass(frozen=True)
class Figure:
    """One number on a string's line. course: 0 is the bass; label: the fret as printed; letter:
    the finger, empty for an open string; melody: the tune's own note; damped: with the palm."""

    course: int
    label: str
    letter: str
    melody: bool
    damped: bool


@dataclass(frozen=True)
class Hit:
    """What happens at one tick of a bar. figures: what is struck; sounding: which strings sound
    from here on, bass first; ends: strings whose sound is ended here."""

    tick: int
    figures: tuple[Figure, ...]
    sounding: tuple[bool, ...]
    ends: tuple[bool, ...]


@dataclass(frozen=True)
class ScoreBar:
    """sheet: which bar, and its signs; bar: as written; hits: in order, the first at tick 0;
    entering: which strings sound on into it."""

    sheet: SheetBar
    bar: Bar
    hits: tuple[Hit, ...]
    entering: tuple[bool, ...]


@dataclass(frozen=True)
class Score:
    """A whole page's worth, before it has places.

    courses: the strings that have a line, the top one first; staff: whether there is a staff;
    tab: whether there are strings' lines.
    """

    arrangement: Arrangement
    options: PageOptions
    folding: Folding
    bars: tuple[ScoreBar, ...]
    courses: tuple[int, ...]
    staff: bool
    tab: bool

    @cached_property
    def verses(self) -> int:
        """Lines of words under the staff."""
        if not self.sung:
            return 0
        return max((len(note.lyrics) for b in self.bars for note in b.bar.notes), default=0)

    @property
    def sung(self) -> bool:
        """Whether the staff has the tune's melody, else the bass string's notes."""
        return not self.bass_part

    @property
    def bass_part(self) -> bool:
        return self.courses == (0,)

    def chords(self, index: int) -> tuple[tuple[int, Chord | None], ...]:
        return tuple((change.tick, change.chord) for change in self.bars[index].bar.chords)


def score_of(arrangement: Arrangement, options: PageOptions) -> Score:
    """What the page shows. A tune that has no melody on paper has no staff, unless it is a bass
    part, whose staff has the bass notes."""
    reading = Reading(
        arrangement, SheetOptions(bass_on_top=options.bass_on_top, from_capo=options.from_capo)
    )
    courses = (0,) if options.bass_part else tuple(reading.courses)
    folding = fold(arrangement, bass_part=courses == (0,))
    bars: list[ScoreBar] = []
    carried = (False,) * len(arrangement.instrument.courses)
    for sheet in folding.bars:
        bars.append(_bar(reading, sheet, carried, courses))
        carried = bars[-1].hits[-1].sounding
    notes = any(note.midi is not None for b in arrangement.tune.bars for note in b.notes)
    staff = options.parts != "tab" and (notes or courses == (0,))
    return Score(
        arrangement, options, folding, tuple(bars), courses, staff,
        tab=options.parts != "staff" or not staff,
    )  # fmt: skip


def _bar(
    reading: Reading, sheet: SheetBar, carried: tuple[bool, ...], courses: Sequence[int]
) -> ScoreBar:
    count = range(len(carried))
    hits: list[Hit] = []
    before = None
    for sight in sheet.seen:
        figures = []
        for course in courses:
            string = sight.strings[course]
            if string is None or not string[2]:
                continue
            letter = reading.arrangement.hand.letter(string[1]) if string[1] >= 0 else ""
            figures.append(
                Figure(
                    course=course,
                    label=reading.fret(string[0]),
                    letter=letter,
                    melody=sight.carrier == course,
                    damped=course == 0 and sight.damped,
                )
            )
        hits.append(
            Hit(
                sight.offset,
                tuple(figures),
                tuple(sight.sounds(c) for c in count),
                tuple(sight.lets_go(c, before) for c in count),
            )
        )
        before = sight
    first = sheet.seen[0]
    entering = tuple(carried[c] or first.rings(c) or first.lets_go(c, None) for c in count)
    return ScoreBar(sheet, reading.bar(sheet), tuple(hits), entering)


def count_words(tick: int, metre: Metre) -> str:
    """How a player counts that tick of a full bar: ``1``, ``&``; eighths in compound metres, as
    in 1 2 3 4 5 6; nothing for what lies between (common practice, no source)."""
    unit = metre.beat // 3 if metre.compound else metre.beat
    beat, beyond = divmod(tick, unit)
    if beyond == 0:
        return str(beat + 1)
    return "&" if 2 * beyond == unit and unit >= QUARTER else ""
