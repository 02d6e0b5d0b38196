"""Where in the tune everything stands: which played bars a bar of the tab is, which ticks.

Bars. A tab is written down as the tune is (bar for bar), or as it is played (its own repeats
followed, or none left); a pickup may be missing. Where the numbers of bars agree with neither, bars
are taken in order as they are written down, for whichever bars of the tune are said; what the tune
has besides is missing, what the tab has besides is too much; or as they are played, where that fits
far better (``undersong.handed.written_out``). Bars in which nothing sounds may be left out.

Ticks, the first rule that says:
  1. a row of beats above the strings: numbers are beats, signs between them their parts (``1 . 2``,
     ``1 + 2``, ``1 e + a``); our page's commas are the places between parts;
  2. as many columns as this right hand has strokes in the bar: those strokes, in order;
  3. the columns: a number stands as far into the bar as it does across the columns, counted from
     where the earliest number of any bar of the tab stands, to the nearest sixteenth (twelfth of a
     compound beat); where two would meet, or columns equally far apart leave less room after the
     last than between them,
  4. even division: the bar in as many equal parts as it has columns.
A melody in order, but not on its beats, is moved to them afterwards (``undersong.handed.in_turn``).
Shapes stand where the tune's chords change in the bar when there are as many, else in equal parts;
without bar lines they stand at the changes, at the chords as they are written, or at the bars, as
their number says, and by their chord names where these do not agree with it.

Public: PlacedTab, PlacedColumn, placed, room_for, like_a_pickup.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from statistics import median_low

from scoring.moment import Moment
from tune.chord import Chord, parse_chord
from tune.errors import TuneError
from tune.played import unfold
from tune.tune import Tune
from undersong.handed.by_chords import Change, Place, by_chord_names, fits
from undersong.handed.tab import PAGE, SHAPES, Beat, Column, Tab, TabBar
from undersong.sheet.folding import leads


@dataclass(frozen=True)
class PlacedColumn:
    """played: the played bar's number; tick: from its start; bar: of the tab; first: this is the
    first time that the tab's bar is played as this bar of the tune."""

    played: int
    tick: int
    bar: int
    column: Column
    first: bool


@dataclass(frozen=True)
class PlacedTab:
    """columns: in playing order; complaints: (tab bar, sentence) of times that do not add up;
    played: tab bar → the played bars that it is; missing: written bars of the tune that the tab
    does not have; rests: the same where nothing sounds, and all else is there; extra: bars (shapes,
    where those have no bar lines) that are none of the tune's; beyond: which bars of the tab these
    are; named: shapes were placed by the names of their chords; times_missing: numbers of played
    bars that the tab does not have then, but another time."""

    columns: tuple[PlacedColumn, ...]
    complaints: tuple[tuple[int, str], ...]
    played: dict[int, tuple[int, ...]]
    missing: tuple[int, ...] = ()
    extra: int = 0
    rests: tuple[int, ...] = ()
    named: bool = False
    beyond: range = range(0)
    times_missing: tuple[int, ...] = ()


def placed(
    tab: Tab,
    tune: Tune,
    moments: Sequence[Moment],
    taken_for: Sequence[int] = (),
    beyond: range | None = None,
    in_order: Sequence[tuple[int, int]] = (),
) -> PlacedTab:
    """Everything of the tab at its place; moments: of the tune in the style that is asked;
    taken_for: which written bars of the tune the bars are of a tab that has other numbers of bars,
    its first ones where it is not said; beyond: bars of the tab that are none of the tune's, where
    it has more, its last ones where it is not said; in_order: (played bar's number, index of the
    tab's bar) where all this is known."""
    complaints: list[tuple[int, str]] = []
    if tab.form == SHAPES and not tab.barred:
        return _by_changes(tab, tune, moments)
    found = list(in_order) or (None if beyond else _order(tab, tune))
    there = list(range(len(tune.bars)))
    if in_order:
        there = sorted({tune.played[number - 1].written for number, _ in in_order})
    rests: tuple[int, ...] = ()
    if found is None and not beyond:
        found, rests = _without_rests(tab, tune, moments)
    if found is None:
        there = list(taken_for) or there[: len(tab.bars)]
        numbers = [bar.number for bar in tune.played if bar.written in there]
        if beyond is None:
            beyond = range(room_for(len(tab.bars), there, tune), len(tab.bars))
        kept = [index for index in range(len(tab.bars)) if index not in beyond]
        if len(kept) == len(numbers):
            order = list(zip(numbers, kept, strict=True))
        else:
            index_of = dict(zip(there, kept, strict=True))
            order = [(b.number, index_of[b.written]) for b in tune.played if b.written in index_of]
    else:
        order, beyond = found, range(0)
    by_bar: dict[int, list[Moment]] = {}
    for moment in moments:
        by_bar.setdefault(moment.bar, []).append(moment)
    before = leads(tune)
    out: list[PlacedColumn] = []
    played: dict[int, tuple[int, ...]] = {}
    seen: set[tuple[int, int]] = set()
    for number, index in order:
        bar = tab.bars[index]
        ticks = _ticks(tab, bar, tune, number, before[number - 1], by_bar.get(number, []))
        as_bar = (index, tune.played[number - 1].written)
        first = as_bar not in seen
        seen.add(as_bar)
        played[index] = (*played.get(index, ()), number)
        length = tune.bars[tune.played[number - 1].written].length
        if first:
            complaints += [(index, words) for words in _too_much(bar, ticks, length, tune, number)]
        for column, tick in zip(bar.columns, ticks, strict=True):
            if 0 <= tick < length:
                out.append(PlacedColumn(number, tick, index, column, first))
    missing = tuple(index for index in range(len(tune.bars)) if index not in there)
    has = {number for number, _ in order}
    times = tuple(
        bar.number
        for bar in (tune.played if in_order else ())
        if bar.number not in has and bar.written in there
    )
    return PlacedTab(
        tuple(out), tuple(complaints), played, missing, len(beyond), rests, beyond=beyond,
        times_missing=times,
    )  # fmt: skip


def room_for(many: int, there: Sequence[int], tune: Tune) -> int:
    """How many of that many bars of a tab the written bars ``there`` are: as they are played where
    there are enough, else as they are written."""
    played = sum(bar.written in there for bar in tune.played)
    return played if many >= played else min(many, len(there))


def _order(tab: Tab, tune: Tune) -> list[tuple[int, int]] | None:
    """(played bar's number, tab bar's index) in playing order; None where the numbers of bars do
    not agree."""
    written = list(range(len(tab.bars)))
    try:
        unfolded = [bar.written for bar in unfold(tab.bars)]
    except TuneError:
        unfolded = written
    count = len(tune.played)
    if len(unfolded) == count:
        return list(enumerate(unfolded, 1))
    if len(written) == count:
        return list(enumerate(written, 1))
    pickup = leads(tune)[0] > 0 and not like_a_pickup(tab)
    for skipped in (0, 1) if pickup else (0,):
        if len(written) + skipped == len(tune.bars):
            return [
                (bar.number, bar.written - skipped) for bar in tune.played if bar.written >= skipped
            ]
    if pickup and len(unfolded) + 1 == count:
        return list(enumerate(unfolded, 2))
    return None


def _without_rests(
    tab: Tab, tune: Tune, moments: Sequence[Moment]
) -> tuple[list[tuple[int, int]] | None, tuple[int, ...]]:
    """As ``_order``, for a tab that leaves out the bars in which nothing sounds; and which these
    are, as they are written."""
    sounding, quiet = set(range(leads(tune)[0] > 0)), True  # a pickup is looked for by itself
    by_bar = {number: list(group) for number, group in groupby(moments, key=lambda one: one.bar)}
    for bar in tune.played:
        here = by_bar.get(bar.number, [])
        if (not quiet and not (here and here[0].offset == 0)) or not all(m.quiet for m in here):
            sounding.add(bar.written)
        quiet = here[-1].quiet if here else quiet
    rests = tuple(index for index in range(len(tune.bars)) if index not in sounding)
    if not rests:
        return None, ()
    pickup = leads(tune)[0] > 0 and not like_a_pickup(tab)
    for skipped in (0, 1) if pickup else (0,):
        kept = sorted(sounding)[skipped:]
        played = [bar for bar in tune.played if bar.written in kept]
        if len(tab.bars) == len(kept):
            return [(bar.number, kept.index(bar.written)) for bar in played], rests
        if len(tab.bars) == len(played):
            return [(bar.number, number) for number, bar in enumerate(played)], rests
    return None, ()


def like_a_pickup(tab: Tab) -> bool:
    """Whether the first bar has less in it than the others."""
    counts = [len(bar.struck) for bar in tab.bars]
    return len(counts) > 1 and counts[0] < median_low(counts[1:])


def _ticks(
    tab: Tab, bar: TabBar, tune: Tune, number: int, lead: int, moments: Sequence[Moment]
) -> list[int]:
    """Each column's tick in the bar; beyond it where the tab says so."""
    written = tune.bars[tune.played[number - 1].written]
    columns = bar.columns
    if tab.form == PAGE:
        return _by_beats(columns, written.metre.beat, written.metre.compound, lead, written.length,
                         [moment.offset for moment in moments])  # fmt: skip
    if tab.form == SHAPES:
        begins = [change.tick for change in written.chords]
        changes = sorted({0, *begins}) if len({0, *begins}) == len(columns) else begins
        if len(changes) == len(columns):
            return changes
        return _even(len(columns), written.length)
    strokes = [m.offset for m in moments if m.chord is not None and any(map(any, m.strikes))]
    if len(strokes) == len(columns):
        return strokes
    return _by_columns(columns, written.length, written.metre.beat, written.metre.compound)


def _even(count: int, length: int) -> list[int]:
    return [length * index // count for index in range(count)]


def _by_columns(columns: Sequence[Column], length: int, beat: int, compound: bool) -> list[int]:
    part = beat // (12 if compound else 4)
    while part * 2 < length // 64:  # never more than 64 places in a bar
        part *= 2
    places = [column.share * length / part for column in columns]
    steps = {after - before for before, after in pairwise(places)}
    if len(steps) == 1 and any(place.denominator > 1 for place in places):
        step = min(steps)
        if not places[0] and places[-1] + step > Fraction(length, part):  # no dash after the last
            return _even(len(columns), length)
    ticks = [round(place) * part for place in places]
    if all(one < other for one, other in pairwise(ticks)) and (not ticks or ticks[-1] < length):
        return ticks
    return _even(len(columns), length)


def _by_beats(
    columns: Sequence[Column],
    beat: int,
    compound: bool,
    lead: int,
    length: int,
    offsets: Sequence[int],
) -> list[int]:
    """Where the row of beats says; what it does not name lies between what it names."""
    ticks: list[int | None] = [
        None if column.beat is None else _named(column.beat, beat, compound, lead)
        for column in columns
    ]
    at = 0
    while at < len(ticks):
        if ticks[at] is not None:
            at += 1
            continue
        end = at
        while end < len(ticks) and ticks[end] is None:
            end += 1
        low = next((tick for tick in reversed(ticks[:at]) if tick is not None), -1)
        high = ticks[end] if end < len(ticks) else length
        assert high is not None, "the run of unnamed columns ends at a named one"
        between = [offset for offset in offsets if low < offset < high]
        many = end - at
        for index in range(many):
            if len(between) == many:
                ticks[at + index] = between[index]
            else:
                start = max(low, 0)
                ticks[at + index] = start + (high - start) * (index + 1) // (many + 1)
        at = end
    return [tick for tick in ticks if tick is not None]


def _named(named: Beat, beat: int, compound: bool, lead: int) -> int | None:
    """The tick of a beat or one of its parts; None for a comma."""
    if named.comma:
        return None
    if not named.number:  # a pickup begins within a beat: counted back from the next
        part = beat // (3 if compound else 2)
        return (-lead) % beat - (named.of - named.signs + 1) * part
    start = (named.number - 1) * beat - lead
    if not named.signs:
        return start
    if named.whole is not None and not compound:
        return start + int(beat * named.whole)
    parts = 3 if compound else 2
    return start + beat * named.signs // max(parts, named.of + 1)


def _too_much(
    bar: TabBar, ticks: Sequence[int], length: int, tune: Tune, number: int
) -> Iterable[str]:
    """What does not fit into the bar."""
    written = tune.bars[tune.played[number - 1].written]
    metre = written.metre
    part = metre.beat // (12 if metre.compound else 4)
    struck = [tick for column, tick in zip(bar.columns, ticks, strict=True) if column.struck]
    most = max(1, length // part)
    if len(struck) > most:
        yield (
            f"{len(struck)} columns are struck in this bar, and a bar of {metre} holds {most} at "
            "most; a bar line may be missing"
        )
    late = [tick for tick in struck if tick >= length]
    if late:
        yield (
            f"beat {late[0] // metre.beat + 1} is played here, and the bar of {metre} has "
            f"{length // metre.beat}; move the bar line"
        )
    if any(tick < 0 for tick in struck):
        yield "something is played before this pickup begins; count its beats as in a full bar"
    if any(one >= other for one, other in pairwise(ticks)):
        yield "the beats above the strings do not go on here; count them from 1 in every bar"


def _by_changes(tab: Tab, tune: Tune, moments: Sequence[Moment]) -> PlacedTab:
    """Shapes without bar lines: one for each chord change, one for each chord as it is written, or
    one for each bar; of those that are as many, the first that the chord names agree with."""
    columns = tab.bars[0].columns if tab.bars else ()
    played_lists, firsts = _lists(tune, moments), _firsts(tune)
    once = [[one for one in places if one[0][0] in firsts] for places in played_lists]
    chords = {(moment.bar, moment.offset): moment.chord for moment in moments}
    bars = [((bar.number, 0), chords.get((bar.number, 0))) for bar in tune.played]
    every: list[Sequence[tuple[Place, Chord | None]]] = [*once, *played_lists]
    every += [[one for one in bars if one[0][0] in firsts], bars]
    as_many = [places for places in every if len(places) == len(columns)]
    places = next((one for one in as_many if _agree(columns, one)), None)
    if places is None:
        names = [column.chord for column in columns]
        found = by_chord_names(names, once[1:], played_lists[1:])  # the names say where it changes
        if found is not None:
            return _by_names(columns, found, tune, moments)
        places = as_many[0] if as_many else once[0]
    out = [
        PlacedColumn(number, tick, 0, column, True)
        for column, ((number, tick), _) in zip(columns, places, strict=False)
    ]
    played = tuple(dict.fromkeys(column.played for column in out))
    written = [bar.written for bar in tune.played]
    left = {written[number - 1] for (number, _), _ in places[len(columns) :]}
    missing = tuple(sorted(left - {written[number - 1] for number in played}))
    return PlacedTab(tuple(out), (), {0: played}, missing, max(0, len(columns) - len(places)))


def _lists(tune: Tune, moments: Sequence[Moment]) -> list[list[Change]]:
    """(place, chord) of everything that a list of shapes may have one for: what the right hand
    takes for a change, where the chord is another than before, and every chord as it is written;
    as they are played."""
    changes = [((m.bar, m.offset), m.chord) for m in moments if m.chord is not None and m.change]
    other = [
        ((m.bar, m.offset), m.chord)
        for m, before in zip(moments, (None, *moments), strict=False)
        if m.chord is not None and (before is None or before.chord != m.chord)
    ]
    symbols = [
        ((bar.number, change.tick), change.chord)
        for bar in tune.played
        for change in tune.bars[bar.written].chords
        if change.chord is not None
    ]
    return [changes, other, symbols]


def _agree(columns: Sequence[Column], places: Sequence[tuple[Place, Chord | None]]) -> bool:
    """Whether no name that was typed is another chord's."""
    return all(
        not column.chord or (chord is not None and fits(parse_chord(column.chord), chord) > 0)
        for column, (_, chord) in zip(columns, places, strict=True)
    )


def _by_names(
    columns: Sequence[Column],
    found: Sequence[tuple[int, Place]],
    tune: Tune,
    moments: Sequence[Moment],
) -> PlacedTab:
    """Shapes at the places that their chord names say; a bar in which the chord of the shape before
    it goes on needs none of its own. In a list as it is played each time needs its own."""
    out = [PlacedColumn(bar, tick, 0, columns[number], True) for number, (bar, tick) in found]
    played = tuple(dict.fromkeys(column.played for column in out))
    there = set(played)
    places, firsts = {place for _, place in found}, _firsts(tune)
    every_time = not firsts.issuperset(played)
    chord: Chord | None = None
    for moment in moments:
        if (moment.bar, moment.offset) in places:
            chord = moment.chord
        elif moment.chord != chord or not (every_time or moment.bar in firsts):
            chord = None
        if chord is not None:
            there.add(moment.bar)
    written = {tune.played[number - 1].written for number in there}
    missing = tuple(index for index in range(len(tune.bars)) if index not in written)
    times = tuple(
        bar.number
        for bar in (tune.played if every_time else ())
        if bar.number not in there and bar.written in written
    )
    return PlacedTab(tuple(out), (), {0: played}, missing, named=True, times_missing=times)


def _firsts(tune: Tune) -> set[int]:
    """The numbers of the played bars that are the first time of a written one."""
    number_of = {bar.written: bar.number for bar in reversed(tune.played)}
    return set(number_of.values())
