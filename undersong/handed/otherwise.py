"""Whether a tab is written otherwise than it was read: the other way up, or in another numbering.

Every other reading is held against chords, fretboard, hand and right hand; where it fits far
better, the player is told which option says so.

Public: other_readings, misfits.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from scoring.moment import Moment
from undersong.handed.hands import hand_trouble
from undersong.handed.mending import meant_for
from undersong.handed.reading import TabOrder
from undersong.handed.row_names import other_strings
from undersong.handed.sounding import Here
from undersong.handed.tab import SHAPES, Tab, TabError
from undersong.wording import many

ODD = 3
"""So many odd places more, and three times as many, and a tab is told to be the other way up."""

BARS = 3
"""So many bars with notes that do not fit, and more than half of all: it may be another tune."""

Reading = Callable[[TabOrder], tuple[Tab, Sequence[Here]]]
"""Reads the tab in another order; TabError where it cannot be read so."""


Passed = Callable[[int, int, int, int], bool]
"""Whether a note foreign to chord and melody is no sign of another tune: number of the column,
string, pitch, and semitones by which the tune is moved (``Judge.passes_over``)."""


@dataclass(frozen=True)
class _Fit:
    """wrong: notes that do not fit the chord, the fretboard or their place above the bass, and
    shapes that the hand cannot stop; odd: bass notes that are neither root nor fifth, and strings
    for which the right hand has no stroke there."""

    wrong: int
    odd: int


def other_readings(
    read: Reading,
    order: TabOrder,
    tab: Tab,
    here: Sequence[Here],
    moments: Sequence[Moment],
    instrument: Instrument,
    hand: Hand,
    passed: Passed,
) -> tuple[str, ...]:
    """A sentence for each other reading that fits far better, else for another key or tune. read:
    reads it so; order, tab, here: as it was read; passed: foreign notes that say nothing of the
    tune."""
    out: list[str] = []
    strings = [pitch_name(pitch) for pitch in instrument.tuning]
    if other_strings(tab.names, strings) and len(tab.names) == 1 < len(strings):
        out.append(
            f"the row is named {tab.names[0]}, and the bass string is tuned to {strings[0]}; write "
            "--tuning if the tab is for another"
        )
    elif other_strings(tab.names, strings):
        out.append(
            f"the rows are named {' '.join(tab.names)}, and the strings are tuned to "
            f"{' '.join(strings)}, bass to melody; write --tuning if the tab is for another, "
            "or put the rows in their order"
        )
    mine = _fit(tab, here, moments, instrument, hand)
    if not mine.wrong and mine.odd < ODD:
        return tuple(out)
    for other, words, advice in _others(order, tab):
        try:
            theirs = _fit(*read(other), moments, instrument, hand)
        except TabError:
            continue
        told = _better(mine, theirs, other.seven_is_six_plus != order.seven_is_six_plus)
        if told:
            out.append(f"{told.format(words)}; {advice} if that is meant")
    return tuple(out or _other_key(here, instrument, passed))


def _other_key(here: Sequence[Here], instrument: Instrument, passed: Passed) -> list[str]:
    """A sentence where the notes of most bars do not fit: with the key in which they would."""
    wrong = misfits(here, instrument, passed=passed)
    bars = {one.at.bar for one in here if one.at.first and one.moment.chord is not None}
    bad = sum(count > 0 for count in wrong.values())
    if not _most(wrong, bars):
        return []
    ways = [
        (misfits(here, instrument, up, passed).total(), abs(up), up) for up in range(-5, 7) if up
    ]
    least, _, up = min(ways)
    begun = f"in {bad} of {len(bars)} bars there are notes that do not fit the tune as it stands"
    if 2 * least <= wrong.total() and wrong.total() - least >= ODD:
        left = f"{many(least, 'note')} would not fit" if least else "all would fit"
        return [
            f"{begun} ({many(wrong.total(), 'note')}); with the tune {many(abs(up), 'semitone')} "
            f"{'higher' if up > 0 else 'lower'} (--transpose) {left}: is the tab in another key?"
        ]
    if any(any(one.struck[1:]) for one in here) and not _most(_but_bass(here, instrument), bars):
        return [f"{begun}, nearly all in the bass: is it for another --bass, or --tuning?"]
    return [f"{begun}: is it the tab of another tune, or for another --tuning?"]


def _most(wrong: Counter[int], bars: set[int]) -> bool:
    """Whether so many bars have notes that do not fit that it may be another tune."""
    bad = sum(count > 0 for count in wrong.values())
    return bad >= BARS and 2 * bad > len(bars)


def _but_bass(here: Sequence[Here], instrument: Instrument) -> Counter[int]:
    """``misfits``, nothing said of foreign notes in the bass."""
    return misfits(here, instrument, passed=lambda _, course, *__: course == 0)


def _others(order: TabOrder, tab: Tab) -> list[tuple[TabOrder, str, str]]:
    """(order, it in words, what to do)."""
    seven = replace(order, seven_is_six_plus=not order.seven_is_six_plus)
    out = [
        (seven, "without --six-plus-is-7", "leave it out")
        if order.seven_is_six_plus
        else (seven, "with the fret between 6 and 7 called 7", "write --six-plus-is-7")
    ]
    if tab.form == SHAPES:
        first = replace(order, melody_first=not order.melody_first)
        return [
            *out,
            (first, "with the bass string first", "leave out --melody-first")
            if order.melody_first
            else (first, "with the melody string first", "write --melody-first"),
        ]
    top = replace(order, melody_on_top=not tab.turned, by_names=False)
    words = f"with the {'bass' if tab.turned else 'melody'} string on top"
    if tab.named:
        return [*out, (top, words, "name the rows the other way round")]
    advice = "leave out --melody-on-top" if tab.turned else "write --melody-on-top"
    return [*out, (top, words, advice)]


def _better(mine: _Fit, theirs: _Fit, numbering: bool) -> str:
    """The sentence, a gap where the reading is named; empty where it is not clearly better."""
    wrong, other = mine.wrong, theirs.wrong
    clearly = wrong - other >= 2 and 2 * other <= wrong
    if clearly or (numbering and wrong > other == 0):
        do_not = "1 thing does not" if wrong == 1 else f"{wrong} things do not"
        left = f"{other} would not" if other else "all would"
        return (
            f"as the tab was read {do_not} fit the chords, the fretboard, the hand or their place "
            f"above the bass; read {{}}, {left}"
        )
    odd, other_odd = mine.odd, theirs.odd
    if not numbering and other <= wrong and odd - other_odd >= ODD and 3 * other_odd <= odd:
        left = f"{other_odd} would be" if other_odd else "none would be"
        return (
            f"as the tab was read {odd} things are odd (bass notes that are neither root nor "
            f"fifth, strings struck where the right hand does not strike them); read {{}}, {left}"
        )
    return ""


def misfits(
    here: Sequence[Here], instrument: Instrument, up: int = 0, passed: Passed | None = None
) -> Counter[int]:
    """For each bar of the tab notes that the chord does not have, or the fretboard, and bass notes
    above others with them; up: semitones by which the tune is moved; passed: which notes that the
    chord does not have are left out, none where it is not said."""
    count: Counter[int] = Counter()
    for index, one in enumerate(here):
        chord = one.moment.chord
        if chord is None or not one.at.first:
            continue
        pitches = []
        for course, fret in _struck(one):
            pitch = instrument.pitch(course, fret)
            pitches.append((course, pitch))
            there = instrument.has(course, fret)
            sung = one.moment.melody is not None and (pitch - up - one.moment.melody) % 12 == 0
            if not up:
                sung = pitch == one.moment.melody
            foreign = (pitch - up) % 12 not in chord.pitch_classes and not sung
            if foreign and passed is not None:
                foreign = not passed(index, course, pitch, up)
            count[one.at.bar] += not there or foreign
        low = [pitch for course, pitch in pitches if course == 0]
        count[one.at.bar] += bool(low) and any(pitch < low[0] for _, pitch in pitches)
    return count


def _fit(
    tab: Tab,
    here: Sequence[Here],
    moments: Sequence[Moment],
    instrument: Instrument,
    hand: Hand,
) -> _Fit:
    @cache
    def stops(frets: tuple[int, ...]) -> bool:
        return not hand_trouble(frets, instrument, hand)

    wrong, odd = misfits(here, instrument).total(), 0
    for one in here:
        chord = one.moment.chord
        if not one.at.first:
            continue
        wrong += not stops(
            tuple(
                fret if fret is not None and instrument.has(course, fret) else -1
                for course, fret in enumerate(one.frets)
            )
        )
        if chord is not None and one.struck[0]:
            plain = {chord.degrees.get("root"), chord.degrees.get("fifth"), one.moment.melody}
            pitch = instrument.pitch(0, one.frets[0] or 0)
            odd += pitch % 12 not in plain and pitch not in plain
    if tab.form != SHAPES:
        odd += sum(
            place is None and here[index].at.first for index, _, place in meant_for(here, moments)
        )
    return _Fit(wrong, odd)


def _struck(one: Here) -> list[tuple[int, int]]:
    return [
        (course, fret)
        for course, (fret, struck) in enumerate(zip(one.frets, one.struck, strict=True))
        if struck and fret is not None
    ]
