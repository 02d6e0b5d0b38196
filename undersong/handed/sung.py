"""Which notes of the tune's melody a tab has, bar by bar and in their order, wherever in the bar
its columns put them.

Public: notes_of, pitches_of, in_order, unsung.
"""

from collections import Counter
from collections.abc import Collection, Sequence
from fractions import Fraction

from fretboard.instrument import Instrument
from scoring.moment import Moment
from undersong.handed.placing import PlacedTab
from undersong.handed.sounding import Here

MOST_COMPARED = 10_000
"""Notes times columns of a bar: beyond that they are not held against one another."""


def notes_of(moments: Sequence[Moment]) -> dict[int, list[Moment]]:
    """Played bar's number → where the melody's notes begin in it, as far as the instrument plays
    them."""
    found: dict[int, list[Moment]] = {}
    for moment in moments:
        if moment.sings and moment.melody is not None:
            found.setdefault(moment.bar, []).append(moment)
    return found


def pitches_of(here: Here, instrument: Instrument) -> set[int]:
    """The pitches that are struck in that column."""
    return {
        instrument.pitch(course, fret)
        for course, (fret, struck) in enumerate(zip(here.frets, here.struck, strict=True))
        if struck and fret is not None and instrument.has(course, fret)
    }


def in_order(notes: Sequence[int], columns: Sequence[Collection[int]]) -> list[tuple[int, int]]:
    """(number of the note, number of a column that has it) for as many notes as can be found in
    their order; each as early as that allows."""
    if len(notes) * len(columns) > MOST_COMPARED:
        return []
    most = [[0] * (len(columns) + 1) for _ in range(len(notes) + 1)]  # from there on
    for n in range(len(notes) - 1, -1, -1):
        for at in range(len(columns) - 1, -1, -1):
            both = 1 + most[n + 1][at + 1] if notes[n] in columns[at] else 0
            most[n][at] = max(both, most[n + 1][at], most[n][at + 1])
    found, n, at = [], 0, 0
    while n < len(notes) and at < len(columns):
        if notes[n] in columns[at] and most[n][at] == 1 + most[n + 1][at + 1]:
            found.append((n, at))
            n, at = n + 1, at + 1
        elif most[n][at] == most[n][at + 1]:
            at += 1
        else:
            n += 1
    return found


def unsung(
    found: PlacedTab, here: Sequence[Here], moments: Sequence[Moment], instrument: Instrument
) -> Counter[int]:
    """For each bar of the tab how many notes speak against its being that bar of the tune: those of
    the melody that its columns do not have in their order. Strokes beyond the notes say nothing,
    and a column no more than two notes do, so that a bar with little in it is not taken for one of
    few notes."""
    notes = notes_of(moments)
    columns: dict[int, list[set[int]]] = {}
    for one in here:
        if one.at.first and any(one.struck):
            columns.setdefault(one.at.bar, []).append(pitches_of(one, instrument))
    count: Counter[int] = Counter()
    for bar, played in found.played.items():
        melody = [note.melody for note in notes.get(played[0], ()) if note.melody is not None]
        struck = columns.get(bar, [])
        count[bar] = _against(len(melody), len(struck), len(in_order(melody, struck)))
    return count


def _against(notes: int, columns: int, both: int) -> int:
    """The share of notes and columns that are not one another's, in notes."""
    columns = min(columns, notes)
    if not columns:
        return 0
    return round(min(2 * columns, notes) * Fraction(notes + columns - 2 * both, notes + columns))
