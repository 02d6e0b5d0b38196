"""A melody whose notes are right and in order, but not where the columns of a tab put them.

Where the melody string is struck as often as the melody has notes in the bar, and most of those
strokes have its notes in turn, each is taken for its own note: that the columns are not on the
beats is told once, and not of every note that it is neither here nor there. What other strings have
before a first note that begins the bar is struck with it: there is nothing before it; and bars
that only begin as far from their bar lines as that one's first note does are not complained of.

Public: in_turn.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from fretboard.instrument import Instrument
from scoring.moment import Moment
from tune.bar_names import beat_name
from tune.tune import Tune
from undersong.handed.placing import PlacedColumn, PlacedTab
from undersong.handed.sounding import Here, heard
from undersong.handed.sung import notes_of, pitches_of
from undersong.handed.tab import LINES, Column, Tab
from undersong.sheet.folding import leads
from undersong.wording import listed

MOST_TOLD = 6
"""Places that are told one by one."""

EARLY = (
    "what stands before the melody's first note is taken to be struck with it: write them in one "
    "column"
)


@dataclass(frozen=True)
class _Moved:
    """A bar whose notes were moved to the melody's: its columns, and what is said of it.

    begins: how far into it the first note is; early: other strings had something before that note;
    harmless: nothing but the room before it would be wrong."""

    columns: list[PlacedColumn]
    words: str
    begins: Fraction
    early: bool
    harmless: bool


def in_turn(
    tab: Tab, found: PlacedTab, tune: Tune, moments: Sequence[Moment], instrument: Instrument
) -> PlacedTab:
    """The same with such notes where the melody has them, and a complaint of each such bar."""
    if tab.form != LINES:  # a page says itself where the beats are
        return found
    notes = notes_of(moments)
    here = heard(tab, found, moments)
    columns: list[PlacedColumn] = []
    made: dict[tuple[int, int], Column] = {}
    every: list[tuple[int, _Moved]] = []
    for played, group in groupby(here, lambda one: one.at.played):
        bar = list(group)
        moved = _moved_bar(bar, notes.get(played, []), tune, instrument, made)
        columns += [one.at for one in bar] if moved is None else moved.columns
        if moved is not None:
            every.append((bar[0].at.bar, moved))
    ahead = max((one.begins for _, one in every if one.early), default=Fraction(0))
    begins = {number: one.begins for number, one in every if one.harmless and not one.early}
    words = {number: one.words for number, one in reversed(every)}  # of the first time through
    told = [(number, words[number]) for number in dict.fromkeys(number for number, _ in every)]
    told = [one for one in told if not 0 < begins.get(one[0], 0) <= ahead]
    return replace(found, columns=tuple(columns), complaints=(*found.complaints, *told))


def _moved_bar(
    bar: Sequence[Here],
    notes: Sequence[Moment],
    tune: Tune,
    instrument: Instrument,
    made: dict[tuple[int, int], Column],
) -> _Moved | None:
    """The bar with its notes where the melody has them; None where they are there, or are others.
    notes: the melody's in it; made: as in ``_with_the_first``."""
    sung = [at for at, one in enumerate(bar) if one.struck[-1]]
    if len(sung) != len(notes):
        return None
    pairs = list(zip(sung, notes, strict=True))
    right = [note.melody in pitches_of(bar[at], instrument) for at, note in pairs]
    if 2 * sum(right) <= len(notes):
        return None
    placed = [one.at for one in bar]
    at_first = notes[0].offset == 0
    kept = _with_the_first(placed, sung[0], made) if at_first else placed
    gone = len(placed) - len(kept)
    ticks = _moved(
        [column.tick for column in kept],
        {at - gone: note.offset for at, note in pairs},
        tune.bars[notes[0].written].length,
    )
    if ticks is None:
        return None
    shares = [placed[at].column.share for at in sung]
    in_time = at_first and _on_beats(shares, notes, tune)
    words = _words(all(right), notes, tune)
    if gone:
        words = EARLY if in_time else f"{words}; {EARLY}"
    columns = [replace(column, tick=tick) for column, tick in zip(kept, ticks, strict=True)]
    return _Moved(columns, words, shares[0], gone > 0, in_time and all(right))


def _with_the_first(
    placed: Sequence[PlacedColumn], first: int, made: dict[tuple[int, int], Column]
) -> list[PlacedColumn]:
    """The columns of a bar, those before the number ``first`` struck with it, unless a string would
    be struck twice; made: line and column of the text → such a column, the same each time that the
    bar is played."""
    together = zip(*(one.column.strings for one in placed[: first + 1]), strict=True)
    signs = [[sign for sign in string if sign is not None] for string in together]
    if not first or any(len(string) > 1 for string in signs):
        return list(placed)
    own = placed[first].column
    strings = tuple(string[0] if string else None for string in signs)
    column = made.setdefault((own.line, own.column), replace(own, strings=strings))
    return [replace(placed[first], column=column), *placed[first + 1 :]]


def _on_beats(shares: Sequence[Fraction], notes: Sequence[Moment], tune: Tune) -> bool:
    """Whether the columns put the notes on their beats, counted from the first of them."""
    bar = tune.bars[notes[0].written]
    part = bar.metre.beat // (12 if bar.metre.compound else 4)
    first = shares[0]
    return all(
        abs((share - first) / (1 - first) * bar.length - note.offset) * 2 < part
        for share, note in zip(shares, notes, strict=True)
    )


def _moved(old: Sequence[int], sung: dict[int, int], length: int) -> list[int] | None:
    """The columns' ticks with those of ``sung`` (number of the column → tick) there; the others
    stay where they are if that is between the same ones, else stand in between as far. None where
    nothing has to be moved, or there is no room."""
    if all(old[at] == tick for at, tick in sung.items()):
        return None
    fixed = {-1: (-1, -1), len(old): (length, length)}  # before and after the bar
    fixed |= {at: (old[at], tick) for at, tick in sung.items()}
    new: list[int] = []
    for at, tick in enumerate(old):
        if at in sung:
            new.append(sung[at])
            continue
        was, low = fixed[max(one for one in fixed if one < at)]
        then, high = fixed[min(one for one in fixed if one > at)]
        between = low < tick < high
        new.append(tick if between else low + (high - low) * (tick - was) // max(then - was, 1))
    fits = all(one < other for one, other in pairwise((-1, *new, length)))
    return new if fits else None


def _words(right: bool, notes: Sequence[Moment], tune: Tune) -> str:
    """What is said of such a bar; right: whether every note is."""
    lead = leads(tune)[notes[0].bar - 1]
    beat = tune.bars[notes[0].written].metre.beat
    places = [beat_name(note.offset + lead, beat) for note in notes]
    if len(places) == 1:
        return (
            "the melody's note is right, but its column does not put it on its beat; it is taken "
            f"for {places[0]}: write it there"
        )
    what = (
        "the melody's notes are right and in order"
        if right
        else "there are as many notes as the melody has"
    )
    where = "they are taken for its own"
    if len(places) <= MOST_TOLD:
        where = f"they are taken for {listed(places)} in turn"
    return (
        f"{what}, but the columns do not put them on its beats; {where}: write each under its beat"
    )
