"""From a tune to the places where a proposed chord may begin, and what is sung above each.

A bar of an even number of felt beats has two places, its beginning and its half; one of an odd
number has its beginning and the beat after the longer half (the third beat in 3/4); a very short
bar, or any bar where a change a bar is asked for, has one. A pickup waits for the first such place
after it, and short bars that complete one another count as one bar.

Chords are chosen as written, so that repeats stay repeats: each slot follows the one before it
where the tune is first played (a second ending follows the bar before the first ending), and where
a repeat leads back to a slot from another one, that is a join.

A section that divides by four has phrases of four bars, and eight-bar sections within a longer
one; in others a phrase ends with a long note.

Public: Layout, layout, Begun, begun_on_beats, HALF_BAR, BAR.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scoring.harmony import END, PHRASE, SECTION, Slot, Sung
from scoring.harmony_modes import offers
from tune.errors import TuneError
from tune.melody import sung as melody_sung
from tune.time import QUARTER, Metre
from tune.tune import Bar, Note, Tune

HALF_BAR, BAR = "half-bar", "bar"
_SHORTEST = 2 * QUARTER
"""A bar that is shorter is not parted."""
_STEP = 2
"""Semitones that are still a step."""


@dataclass(frozen=True)
class Layout:
    """slots, in an order in which each stands after the one it follows; places: (index of the
    written bar, tick in it) of each; comes_after, joins: indices into ``slots``, as ``bill`` takes
    them."""

    slots: tuple[Slot, ...]
    places: tuple[tuple[int, int], ...]
    comes_after: tuple[int | None, ...]
    joins: tuple[tuple[int, int], ...]


def layout(tune: Tune, per: str = HALF_BAR) -> Layout:
    """The slots of ``tune``; per: a change at most each HALF_BAR or each BAR."""
    if per not in (HALF_BAR, BAR):
        raise TuneError(f"chords change at most each {HALF_BAR} or {BAR}, not each {per!r}")
    offsets = _offsets(tune.bars)
    places = [
        (index, tick)
        for index, bar in enumerate(tune.bars)
        for tick in _places(bar, offsets[index], per, first=index == 0)
    ] or [(0, 0)]
    after, joins, order = _played(tune, places)
    closes = _closes(tune, places, offsets)
    sung = _sung(tune, places, offsets)
    new = {old: at for at, old in enumerate(order)}
    slots = tuple(
        Slot(
            tune.bars[places[old][0]].key,
            tuple(sung[old]),
            bar_starts=places[old][1] + offsets[places[old][0]] == 0,
            uneven=tune.bars[places[old][0]].metre.felt_beats % 2 == 1,
            opens=at == 0,
            close=closes.get(old, 0),
        )
        for at, old in enumerate(order)
    )
    followed = (after[old] for old in order)
    comes_after = tuple(None if last is None else new[last] for last in followed)
    return Layout(
        _told_at_home(slots, comes_after),
        tuple(places[old] for old in order),
        comes_after,
        tuple((new[source], new[target]) for source, target in joins),
    )


@dataclass(frozen=True)
class Begun:
    """A melody note where it begins. pc: its pitch class; place: (index of the written bar, tick
    in it)."""

    pc: int
    place: tuple[int, int]


def begun_on_beats(tune: Tune) -> tuple[Begun, ...]:
    """The melody notes that begin on a beat, each once, as written; grace notes and what a tie
    holds over are none."""
    offsets = _offsets(tune.bars)
    starts = {played.number: played.start for played in tune.played}
    found = {
        (note.written, note.tick - starts[note.bar]): note.midi % 12 for note in melody_sung(tune)
    }
    return tuple(
        Begun(pc, (index, tick))
        for (index, tick), pc in sorted(found.items())
        if _strength(tick + offsets[index], tune.bars[index].metre) > 1
    )


def _half(metre: Metre) -> int:
    """Ticks from a bar's beginning to its half, the longer part first; 0 for no half."""
    if metre.bar < _SHORTEST or metre.felt_beats == 1:
        return 0
    return (metre.felt_beats + 1) // 2 * metre.beat


def _offsets(bars: Sequence[Bar]) -> list[int]:
    """How far into the metre's bar each bar begins: more than nothing for a pickup and for what
    completes a short bar before it."""
    offsets: list[int] = []
    for index, bar in enumerate(bars):
        lacks = bar.metre.bar - bar.length
        last = bars[index - 1] if index else None
        completes = (
            last is None
            or (last.metre == bar.metre and offsets[-1] == 0 and last.length == lacks)
            or (last.metre == bar.metre and last.length < lacks and 4 * bar.length < bar.metre.bar)
        )
        pickup = last is not None or len(bars) > 1
        offsets.append(lacks if lacks > 0 and completes and pickup else 0)
    return offsets


def _places(bar: Bar, offset: int, per: str, first: bool) -> Iterator[int]:
    """The ticks in the bar where a chord may begin."""
    half = _half(bar.metre) if per == HALF_BAR else 0
    if offset == 0 or (offset < half and not first):
        yield 0
    if half and 0 < half - offset < bar.length:
        yield half - offset


def _played(
    tune: Tune, places: Sequence[tuple[int, int]]
) -> tuple[list[int | None], list[tuple[int, int]], list[int]]:
    """For each place the one it follows; the joins; the places in the order they are first met."""
    in_bar = _in_bar(places)
    after: list[int | None] = [place - 1 if place else None for place in range(len(places))]
    joins: list[tuple[int, int]] = []
    order: list[int] = []
    met: set[int] = set()
    last: int | None = None
    for played in tune.played:
        for place in in_bar.get(played.written, ()):
            if place not in met:
                met.add(place)
                order.append(place)
                after[place] = last
            elif last is not None and after[place] != last and (last, place) not in joins:
                joins.append((last, place))
            last = place
    for place in range(len(places)):
        if place not in met:  # in a bar that is never played
            after[place] = order[-1] if order else None
            order.append(place)
    return after, joins, order


def _closes(
    tune: Tune, places: Sequence[tuple[int, int]], offsets: Sequence[int]
) -> dict[int, int]:
    """What closes with which place."""
    bars = tune.bars
    ends: dict[int, int] = {}
    first = 0
    for index in range(1, len(bars) + 1):
        if index == len(bars) or _begins(bars, index):
            _section(bars, offsets, range(first, index), ends)
            first = index
    ends[tune.played[-1].written if tune.played else len(bars) - 1] = END
    closes: dict[int, int] = {}
    place = -1
    for index in range(len(bars)):
        while place + 1 < len(places) and places[place + 1][0] <= index:
            place += 1
        if index in ends and place >= 0:
            closes[place] = max(ends[index], closes.get(place, 0))
    return closes


def _begins(bars: Sequence[Bar], index: int) -> bool:
    """Whether a section begins with that bar; endings belong to what they end."""
    bar, last = bars[index], bars[index - 1]
    if bar.section or bar.repeat_start:
        return True
    if bar.endings:
        return not last.endings and last.repeat_times > 1
    return bool(last.endings) or last.repeat_times > 1


def _section(
    bars: Sequence[Bar], offsets: Sequence[int], within: range, ends: dict[int, int]
) -> None:
    """Marks the ends of a section and of its phrases in ``ends``, by written bar."""
    last = within[-1]
    ends[last] = SECTION
    for index in within:
        ending = bars[index].endings
        if ending and (index == last or bars[index + 1].endings != ending):
            ends[index] = SECTION
    firsts = [index for index in within if bars[index].endings in ((), _first_of(bars, within))]
    whole = [index for index in firsts if offsets[index] == 0]
    if len(whole) % 4 == 0:
        for count in range(4, len(whole), 4):
            eight = count % 8 == 0 and len(whole) % 8 == 0
            ends.setdefault(whole[count - 1], SECTION if eight else PHRASE)
        return
    marked = within[0] - 1
    for index in whole[:-2]:
        if index - marked >= 2 and _rests(bars[index]):
            ends.setdefault(index, PHRASE)
            marked = index


def _first_of(bars: Sequence[Bar], within: range) -> tuple[int, ...]:
    return next((bars[index].endings for index in within if bars[index].endings), ())


def _rests(bar: Bar) -> bool:
    """Whether the bar ends with a note or a rest of half a bar or more."""
    notes = [note for note in bar.notes if not note.grace]
    return bool(notes) and 2 * notes[-1].length >= bar.metre.bar


def _sung(
    tune: Tune, places: Sequence[tuple[int, int]], offsets: Sequence[int]
) -> list[list[Sung]]:
    """The melody over each place, up to the next; what stands before the first is left out."""
    notes = [note for bar in tune.bars for note in bar.notes if not note.grace]
    leapt = iter(_leaps(notes))
    sung: list[list[Sung]] = [[] for _ in places]
    in_bar = _in_bar(places)
    last: int | None = None
    for index, bar in enumerate(tune.bars):
        stretches: list[tuple[int | None, int]] = [(last, 0)]
        for here in in_bar.get(index, ()):
            stretches.append((here, places[here][1]))
            last = here
        ends = [*(start for _, start in stretches[1:]), bar.length]
        for note in (note for note in bar.notes if not note.grace):
            leaps = next(leapt)
            for (place, start), stop in zip(stretches, ends, strict=True):
                begin, end = max(start, note.tick), min(stop, note.tick + note.length)
                if place is None or note.midi is None or begin >= end:
                    continue
                length = 200 * (end - begin) // bar.metre.bar
                strength = _strength(begin + offsets[index], bar.metre)
                sung[place].append(Sung(note.midi % 12, length, strength, leaps))
    return sung


def _told_at_home(slots: Sequence[Slot], comes_after: Sequence[int | None]) -> tuple[Slot, ...]:
    """The slots, those that close a section told whether its melody stays within the tonic's
    chord."""
    home = {key: offers(key, ())[0].chord.pitch_classes for key in {slot.key for slot in slots}}
    stays = [all(note.pc in home[slot.key] for note in slot.sung) for slot in slots]
    told = list(slots)
    for at, slot in enumerate(slots):
        if slot.close < SECTION:
            continue
        within = stays[at]
        before = comes_after[at]
        while within and before is not None and slots[before].close < SECTION:
            within, before = stays[before], comes_after[before]
        told[at] = replace(slot, at_home=within)
    return tuple(told)


def _in_bar(places: Sequence[tuple[int, int]]) -> dict[int, list[int]]:
    """Each written bar's places."""
    found: dict[int, list[int]] = {}
    for place, (index, _) in enumerate(places):
        found.setdefault(index, []).append(place)
    return found


def _strength(at: int, metre: Metre) -> int:
    """4 at the bar's beginning, 3 at the half of an even bar, 2 on other beats, 1 between."""
    if at == 0:
        return 4
    if at == _half(metre) and metre.felt_beats % 2 == 0:
        return 3
    return 2 if at % metre.beat == 0 else 1


def _leaps(notes: Sequence[Note]) -> list[bool]:
    """Whether the melody leaves each note by more than a step, or falls silent after it.

    A note that is struck again is left where the last of them is.
    """
    found = [True] * len(notes)
    for index in range(len(notes) - 2, -1, -1):
        here, there = notes[index].midi, notes[index + 1].midi
        if here is None or there is None:
            continue
        found[index] = found[index + 1] if here == there else abs(here - there) > _STEP
    return found
