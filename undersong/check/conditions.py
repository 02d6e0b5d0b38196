"""What was asked of the whole tune holds: repeats alike, few shapes, quotas, pins, limits.

Worked out anew from the values in ``solver.conditions``, with none of its functions; a shift is one
that the bill counts, difficulty is ``scoring.difficulty``'s, as the cost is ``scoring.evaluate``'s.
That the costliest moment costs as little as can be is the proof's word and cannot be checked here;
its price can.

Public: conditions_true, conditions_cost, frets_off, hands, pupil_shape, lies_across_anew,
places_again.
"""

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import fields

from fretboard.grip import Grip
from fretboard.hand import FINGERS
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.difficulty import bar_difficulties
from scoring.moment import Moment
from solver.conditions.alike import Alike
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import FewShapes
from solver.conditions.near import Near
from solver.conditions.quota import Quota
from solver.result import Arrangement
from tune.tune import Tune
from undersong.check.fault import Fault
from undersong.check.limits import limits_true
from undersong.check.manners import bars_meant
from undersong.check.passage import Passage
from undersong.check.pins import pins_true

Stop = tuple[int, int, int]
"""A string that a finger stops: course, fret, finger."""

_SAYING = {
    "shifts": ("shift of the hand", "shifts of the hand"),
    "barred": ("barred shape", "barred shapes"),
    "passing": ("passing note", "passing notes"),
    "hard": ("hard bar", "hard bars"),
}


def conditions_true(passage: Passage) -> Iterator[Fault]:
    """Every fault against what was asked of the whole tune."""
    asked = passage.arrangement.conditions
    if asked.alike and asked.alike.price is None:
        yield from _not_alike(passage, asked.alike)
    if asked.shapes:
        yield from _shapes(passage, asked.shapes)
    for quota in asked.quotas:
        yield from _quota(passage.arrangement, quota)
    yield from pins_true(passage)
    if asked.limits:
        yield from limits_true(passage, asked.limits)


def conditions_cost(arrangement: Arrangement) -> int:
    """ms that priced conditions add to the work."""
    asked, total = arrangement.conditions, 0
    if asked.alike and asked.alike.price is not None:
        pairs = _differing(arrangement, asked.alike.what)
        total += asked.alike.price * len({arrangement.moments[index].bar for index, _ in pairs})
    if asked.shapes and asked.shapes.price is not None:
        total += asked.shapes.price * len(_unknown(arrangement, asked.shapes))
    if asked.near:
        total += asked.near.price * _off_the_frets_named(arrangement, asked.near)
    if asked.costliest and asked.costliest.weight is not None:
        bill = arrangement.bill
        total += asked.costliest.weight * max(bill.at(n) for n in range(len(arrangement.moments)))
    return total


def frets_off(named: Iterable[int | None], frets: Iterable[int]) -> int:
    """How many strings have another fret than is named; None names none."""
    return sum(want not in (None, have) for want, have in zip(named, frets, strict=True))


def _off_the_frets_named(arrangement: Arrangement, near: Near) -> int:
    """In all moments that the rows name, but those in which neither a chord nor a melody sounds."""
    total = 0
    for row in near.rows:
        for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
            sounds = moment.chord is not None or moment.melody is not None
            if (moment.bar, moment.offset) == (row.bar, row.offset) and sounds:
                total += frets_off(row.frets, choice.grip.frets)
    return total


# repeats alike


def hands(choice: Choice, like: int = 1) -> Hashable:
    """What is the same where the hands are: every string's fret, finger and stroke; like: the
    moment that they are compared with, at 0, where nothing can ring yet, only strings struck."""
    strings = zip(choice.grip.frets, choice.grip.fingers, choice.struck, strict=True)
    return tuple(string if like > 0 or string[2] else None for string in strings)


def places_again(tune: Tune, moments: tuple[Moment, ...], what: str) -> list[int]:
    """For each moment the first one that it is to be played like: itself where it is the first.

    The bar comes again (``solver.conditions.alike.COMES_AGAIN``), and everything that the moment
    asks is asked again; that a chord follows is asked of approach notes alone, and that a chord
    begins is asked of no drone.
    """
    bars = _bars_again(tune, what)
    compared = [field.name for field in fields(Moment) if field.name not in ("bar", "written")]
    first: dict[Hashable, int] = {}
    out = []
    for index, moment in enumerate(moments):
        asks = tuple(
            getattr(moment, name)
            for name in compared
            if (name != "leads" or "approach" in moment.roles)
            and (name != "change" or moment.texture != "drone")
        )
        out.append(first.setdefault((bars[moment.written], asks), index))
    return out


def _bars_again(tune: Tune, what: str) -> list[int]:
    """For each written bar the index of the first that it comes again as."""
    starts = [index for index, bar in enumerate(tune.bars) if bar.section]
    out: list[int] = []
    for index, bar in enumerate(tune.bars):
        here = max((start for start in starts if start <= index), default=None)
        same = index
        for earlier in range(index):
            if what == "repeats" or not _same_music(tune, earlier, index):
                continue
            there = max((start for start in starts if start <= earlier), default=None)
            if what == "bars":
                fits = tune.bars[earlier].notes == bar.notes
            else:
                fits = (
                    here is not None
                    and there is not None
                    and index - here == earlier - there
                    and tune.bars[here].section.casefold() == tune.bars[there].section.casefold()
                )
            if fits:
                same = earlier
                break
        out.append(same)
    return out


def _same_music(tune: Tune, one: int, other: int) -> bool:
    """Two written bars have the same metre, length and chords, the one that they go on under."""

    def looks(index: int) -> tuple[object, ...]:
        bar = tune.bars[index]
        before = [change.chord for earlier in tune.bars[:index] for change in earlier.chords]
        goes_on = not any(change.tick == 0 for change in bar.chords)
        under = before[-1] if before and goes_on else None
        return bar.metre, bar.length, bar.chords, under

    return looks(one) == looks(other)


def _differing(arrangement: Arrangement, what: str) -> list[tuple[int, int]]:
    """(moment, the first that it should be like) of all that have other hands."""
    first = places_again(arrangement.tune, arrangement.moments, what)
    choices = arrangement.choices
    return [
        (n, like)
        for n, like in enumerate(first)
        if hands(choices[n], like) != hands(choices[like], like)
    ]


def _not_alike(passage: Passage, alike: Alike) -> Iterator[Fault]:
    """One fault a bar, at its first moment that differs."""
    told: set[int] = set()
    for index, like in _differing(passage.arrangement, alike.what):
        bar = passage.moments[index].bar
        if bar in told:
            continue
        told.add(bar)
        yield passage.fault(
            index,
            "alike",
            f"this comes again as in bar {passage.moments[like].bar}, and the hands are not the "
            "same",
        )


# few shapes


def pupil_shape(grip: Grip) -> tuple[Stop, ...]:
    """What a pupil learns: the strings that are stopped, nothing where no finger is down."""
    strings = enumerate(zip(grip.frets, grip.fingers, strict=True))
    return tuple((course, fret, finger) for course, (fret, finger) in strings if finger >= 0)


def _shapes_used(arrangement: Arrangement) -> dict[tuple[Stop, ...], int]:
    """The different shapes → the moment that each comes first at."""
    used: dict[tuple[Stop, ...], int] = {}
    for index, choice in enumerate(arrangement.choices):
        used.setdefault(pupil_shape(choice.grip), index)
    used.pop((), None)
    return used


def known_shape(shapes: FewShapes, shape: tuple[Stop, ...]) -> bool:
    """Whether it is one of those that are known, with that fingering or with any."""
    if shapes.known is None:
        return True
    for known in shapes.known:
        stops = {course: fret for course, fret in enumerate(known.frets) if fret is not None}
        if stops != {course: fret for course, fret, _ in shape}:
            continue
        if known.fingers is None or all(known.fingers[c] == finger for c, _, finger in shape):
            return True
    return False


def _unknown(arrangement: Arrangement, shapes: FewShapes) -> dict[tuple[Stop, ...], int]:
    used = _shapes_used(arrangement)
    return {shape: at for shape, at in used.items() if not known_shape(shapes, shape)}


def _shapes(passage: Passage, shapes: FewShapes) -> Iterator[Fault]:
    count = len(_shapes_used(passage.arrangement))
    if shapes.most is not None and count > shapes.most:
        yield Fault(
            0,
            0,
            "shapes",
            f"there are {count} different shapes to learn, and at most {shapes.most} are asked for",
        )
    if shapes.known is not None and shapes.price is None:
        for shape, index in _unknown(passage.arrangement, shapes).items():
            yield passage.fault(
                index,
                "shapes",
                f"the shape {_told(shape, passage.arrangement.instrument)} is none of those known",
            )


def _told(shape: tuple[Stop, ...], instrument: Instrument) -> str:
    """``3-x-5 (M - T)``; x and - where no finger is."""
    frets, fingers = ["x"] * len(instrument.courses), ["-"] * len(instrument.courses)
    for course, fret, finger in shape:
        frets[course], fingers[course] = instrument.told(fret), FINGERS[finger]
    return f"{'-'.join(frets)} ({' '.join(fingers)})"


# quotas


def lies_across_anew(before: Grip | None, after: Grip) -> bool:
    """A finger lies across strings, and did not lie across any at that fret before."""
    return any(bar not in _laid(before) for bar in _laid(after))


def _laid(grip: Grip | None) -> set[tuple[int, int]]:
    """(finger, fret) of every finger across two or more strings."""
    stops = [(finger, fret) for _, fret, finger in pupil_shape(grip)] if grip else []
    return {stop for stop in stops if stops.count(stop) > 1}


def _quota(arrangement: Arrangement, quota: Quota) -> Iterator[Fault]:
    meant = bars_meant(arrangement.tune, quota.bars)
    where = "the whole tune" if quota.bars == Bars() else str(quota.bars)
    if not meant:
        yield Fault(0, 0, "quota", f"something is counted in {where}, which the tune does not have")
        return
    if not quota.each:
        yield from _too_many(quota, _counted(arrangement, quota, meant, None), where)
        return
    for bar in dict.fromkeys(m.bar for m in arrangement.moments if m.written in meant):
        yield from _too_many(
            quota, _counted(arrangement, quota, meant, bar), f"bar {bar} as played"
        )


def _too_many(quota: Quota, count: int, where: str) -> Iterator[Fault]:
    many = f"{count} {_SAYING[quota.what][count != 1]}"
    if quota.above is not None:
        many += f" above {quota.above} %"
    for limit, wrong, words in (
        (quota.least, quota.least is not None and count < quota.least, "at least"),
        (quota.most, quota.most is not None and count > quota.most, "at most"),
    ):
        if wrong:
            are = "is" if count == 1 else "are"
            yield Fault(0, 0, "quota", f"there {are} {many} in {where}; {words} {limit} asked for")


def _counted(arrangement: Arrangement, quota: Quota, meant: set[int], bar: int | None) -> int:
    """How many there are in the bars meant, or in one of them, as played."""
    moments, choices = arrangement.moments, arrangement.choices
    if quota.what == "hard":
        played = {moment.bar for moment in moments if moment.written in meant}
        if bar is not None:
            played &= {bar}
        percents = bar_difficulties(choices, moments, arrangement.instrument, arrangement.hand)
        return sum(percents[bar] > (quota.above or 0) for bar in played)
    count = 0
    for index, (moment, choice) in enumerate(zip(moments, choices, strict=True)):
        if moment.written not in meant or bar not in (None, moment.bar):
            continue
        before = choices[index - 1].grip if index else None
        if quota.what == "shifts":
            count += arrangement.bill.amounts[index].get("hand-shift", 0) > 0
        elif quota.what == "barred":
            count += lies_across_anew(before, choice.grip)
        else:
            count += choice.role == "passing"
    return count
