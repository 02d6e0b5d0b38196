"""A melody whose notes are right and in order, but not where the columns of a tab put them.

Where the melody string is struck as often as the melody has notes in the bar, and most of those
strokes have its notes in turn, each is taken for its own note: that the columns are not on the
beats is told once, and not of every note that it is neither here nor there.

Public: in_turn.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from fretboard.instrument import Instrument
from scoring.moment import Moment
from tune.bar_names import beat_name
from tune.tune import Tune
from undersong.handed.placing import PlacedColumn, PlacedTab
from undersong.handed.sounding import heard
from undersong.handed.sung import notes_of, pitches_of
from undersong.handed.tab import LINES, Tab
from undersong.sheet.folding import leads
from undersong.wording import listed

MOST_TOLD = 6
"""Places that are told one by one."""


def in_turn(
    tab: Tab, found: PlacedTab, tune: Tune, moments: Sequence[Moment], instrument: Instrument
) -> PlacedTab:
    """The same with such notes where the melody has them, and a complaint of each such bar."""
    if tab.form != LINES:  # a page says itself where the beats are
        return found
    notes = notes_of(moments)
    here = heard(tab, found, moments)
    columns: list[PlacedColumn] = []
    complaints: dict[int, str] = {}
    for played, group in groupby(zip(found.columns, here, strict=True), lambda one: one[0].played):
        pairs = list(group)
        placed = [column for column, _ in pairs]
        own = notes.get(played, [])
        sung = [at for at, (_, one) in enumerate(pairs) if one.struck[-1]]
        right = [
            note.melody in pitches_of(pairs[at][1], instrument)
            for at, note in zip(sung, own, strict=False)
        ]
        ticks = None
        if len(sung) == len(own) and 2 * sum(right) > len(own):
            length = tune.bars[tune.played[played - 1].written].length
            ticks = _moved(
                [column.tick for column in placed],
                {at: note.offset for at, note in zip(sung, own, strict=True)},
                length,
            )
        if ticks is None:
            columns += placed
            continue
        columns += [replace(column, tick=tick) for column, tick in zip(placed, ticks, strict=True)]
        complaints.setdefault(placed[0].bar, _words(all(right), own, tune))
    return replace(
        found, columns=tuple(columns), complaints=(*found.complaints, *complaints.items())
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
