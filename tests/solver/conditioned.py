"""Random conditions for random cases: now and then they bite, now and then nothing holds them.

What is asked is drawn with an eye on the case: limits lie about what its free optimum has, known
shapes are mostly ones that it can play. Each is made from a seed alone and always the same.

Public: Conditioned, tiny_conditioned, small_conditioned, conditions_for, near_for.
"""

import random
from dataclasses import dataclass, replace
from itertools import pairwise

from scoring.choice import Choice
from scoring.difficulty import bar_difficulties
from scoring.moment import Moment
from solver.conditions import Conditions
from solver.conditions.alike import COMES_AGAIN, Alike
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, LearnedShape
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.near import Near, Placed
from solver.conditions.pinned import (
    Barred,
    BassManner,
    BassNote,
    BassRole,
    FingerDown,
    OneString,
    Pinned,
    Shape,
)
from solver.conditions.pins import Pin, kept_bars, manners_of
from solver.conditions.quota import COUNTED, Quota
from solver.moments import moments_of
from solver.result import UNPROVEN, Arrangement, Proof
from solver.style import manners_in
from tests.solver.instances import NAMES, Instance, small_again, tiny_again
from tests.solver.oracles import Book
from tests.solver.ruled_book import TooMany
from tune.tune import Tune
from undersong.check.clock import bar_times
from undersong.check.conditions import lies_across_anew, pupil_shape

MOST_SEQUENCES = 20_000
MOST_TRIES = 50
PRICES = (0, 1, 20, 60, 150, 400, 2_000)


@dataclass(frozen=True)
class Conditioned:
    """A case and what is asked of it; book: all its sequences, pinned manners in force and no other
    condition looked at."""

    case: Instance
    conditions: Conditions
    book: Book


def tiny_conditioned(seed: int) -> Conditioned:
    """A tiny case with music that comes again, which has at least one sequence of choices and no
    more than ``MOST_SEQUENCES`` ways to begin one."""
    for more in range(MOST_TRIES):
        case = tiny_again(seed * MOST_TRIES + more)
        dice = random.Random(f"asked {seed} {more}")
        manner = _manner(dice, case)
        try:
            book = _book(case, manner, MOST_SEQUENCES)
        except TooMany:
            continue
        if book.count():
            return Conditioned(case, conditions_for(case, book, dice, manner), book)
    raise AssertionError(f"no case for seed {seed} can be played and written down")


def small_conditioned(seed: int) -> Conditioned:
    """A small case with music that comes again; not every one can be played."""
    case, dice = small_again(seed), random.Random(f"asked {seed}")
    manner = _manner(dice, case)
    book = _book(case, manner)
    return Conditioned(case, conditions_for(case, book, dice, manner), book)


def _manner(dice: random.Random, case: Instance) -> tuple[Pin, ...]:
    """Now and then a manner of their own for some bars."""
    if dice.random() > 0.1:
        return ()
    return (Pin(_bars(dice, case.tune), BassManner(dice.choice(manners_in("song")))),)


def _book(case: Instance, manner: tuple[Pin, ...], most: int | None = None) -> Book:
    manners = manners_of(case.tune, manner)
    moments = moments_of(case.tune, case.style, len(case.instrument.courses), manners)
    return Book(moments, case.instrument, case.hand, case.style, case.weights, most)


def conditions_for(
    case: Instance, book: Book, dice: random.Random, manner: tuple[Pin, ...] = ()
) -> Conditions:
    """One to four things asked at once; manner: pinned already."""
    free = book.gathered().choices
    families = ("alike", "shapes", "quotas", "pins", "costliest")
    wanted = set(dice.sample(families, dice.choice((1, 1, 2, 2, 3, 4))))
    pins = _pins(dice, case, free, book) if "pins" in wanted and free else ()
    made = Conditions(
        alike=_alike(dice) if "alike" in wanted else None,
        shapes=_shapes(dice, case, book, free) if "shapes" in wanted else None,
        quotas=_quotas(dice, case, free, book.moments) if "quotas" in wanted else (),
        pins=manner + pins,
        costliest=_costliest(dice) if "costliest" in wanted else None,
    )
    if free and dice.random() < 0.35:
        made = replace(made, near=near_for(dice, book))
    if free and dice.random() < 0.3:
        made = replace(made, limits=limits_for(dice, case, book, free))
    return made


def _bar_limit(dice: random.Random, bar: int, percent: int) -> BarLimit:
    if dice.random() < 0.5:
        return BarLimit(bar, least=min(1000, percent + dice.choice((0, 1, 20, 60))))
    return BarLimit(bar, max(0, percent - dice.choice((0, 0, 1, 10, 40))))


def limits_for(
    dice: random.Random, case: Instance, book: Book, free: tuple[Choice, ...]
) -> Limits | None:
    """One or two caps about what the best needs, bars now and then easier than it has them."""
    moments = book.moments[: len(free)]
    percents = bar_difficulties(free, moments, case.instrument, case.hand)
    down = max(len(choice.grip.down) for choice in free)
    top = max(max(choice.grip.frets) for choice in free)
    kinds = dice.sample(("fingers", "reach", "time", "fret", "barred", "bars"), dice.choice((1, 2)))
    bars = [
        _bar_limit(dice, bar, percent) for bar, percent in percents.items() if dice.random() < 0.6
    ]
    return Limits.of(
        fingers=max(0, down - dice.choice((0, 1, 1, 2))) if "fingers" in kinds else None,
        reach=dice.choice((0, 30, 50, 70, 90)) if "reach" in kinds else None,
        time=dice.choice((20, 40, 60, 100, 250)) if "time" in kinds else None,
        fret=max(0, top - dice.choice((0, 1, 2, 4))) if "fret" in kinds else None,
        barred="barred" not in kinds,
        bars=tuple(bars) if "bars" in kinds else (),
    )


def near_for(dice: random.Random, book: Book) -> Near | None:
    """Frets of standings here and there, some strings unnamed, some silent, some nowhere."""
    rows = {}
    for index, moment in enumerate(book.moments):
        if dice.random() < 0.4:
            continue
        choice = dice.choice(book.standings[index]).choice
        frets = [
            dice.choice((fret, fret, fret, None, -1, dice.randint(0, 12)))
            for fret in choice.grip.frets
        ]
        offset = moment.offset + dice.choice((0, 0, 0, 0, 0, 1))
        rows[moment.bar, offset] = Placed(moment.bar, offset, tuple(frets))
    return Near(tuple(rows.values()), dice.choice(PRICES)) if rows else None


def _alike(dice: random.Random) -> Alike:
    price = None if dice.random() < 0.5 else dice.choice(PRICES)
    return Alike(dice.choice(list(COMES_AGAIN)), price)


def _shapes(dice: random.Random, case: Instance, book: Book, free: tuple[Choice, ...]) -> FewShapes:
    used = {pupil_shape(choice.grip) for choice in free} - {()}
    most = dice.randint(0, len(used)) if dice.random() < 0.6 else None
    if most is not None and dice.random() < 0.6:
        return FewShapes(most)
    grips = sorted({s.choice.grip for row in book.standings for s in row if s.choice.grip.down})
    known = []
    for grip in dice.sample(grips, min(len(grips), dice.randint(0, 4))):
        stops = {course: (fret, finger) for course, fret, finger in pupil_shape(grip)}
        courses = range(len(grip.frets))
        frets = tuple(stops[c][0] if c in stops else None for c in courses)
        fingers = tuple(stops[c][1] if c in stops else None for c in courses)
        known.append(LearnedShape(frets, None if dice.random() < 0.5 else fingers))
    if dice.random() < 0.1:
        known.append(LearnedShape((*[None] * (len(case.instrument.courses) - 1), 1)))
    price = None if dice.random() < 0.5 else dice.choice(PRICES)
    return FewShapes(most, tuple(known), price)


def _quotas(
    dice: random.Random, case: Instance, free: tuple[Choice, ...], moments: tuple[Moment, ...]
) -> tuple[Quota, ...]:
    return tuple(
        _quota(dice, case, free, moments[: len(free)]) for _ in range(dice.choice((1, 1, 2)))
    )


def _quota(
    dice: random.Random, case: Instance, choices: tuple[Choice, ...], moments: tuple[Moment, ...]
) -> Quota:
    what = dice.choice(list(COUNTED))
    bars = _bars(dice, case.tune) if dice.random() < 0.5 else WHOLE
    above = None
    if what == "hard":
        percents: dict[int, int] = {}
        if choices:  # nothing can be rated where nothing can be played
            percents = bar_difficulties(choices, moments, case.instrument, case.hand)
        about = dice.choice([20, 60, *percents.values()])
        above = max(0, min(1000, about + dice.choice((-20, -1, -1, 0))))
        count = sum(percent > above for percent in percents.values())
    elif what == "barred":
        grips = [None, *(choice.grip for choice in choices)]
        count = sum(lies_across_anew(one, other) for one, other in pairwise(grips) if other)
    elif what == "passing":
        count = sum(choice.role == "passing" for choice in choices)
    else:
        count = dice.randint(0, 4)
    if dice.random() < 0.2:
        return Quota(what, None, dice.choice((0, 0, 1)), above, bars, each=True)
    if what == "hard" and dice.random() < 0.3:
        return Quota(what, 1, None, above, bars, each=True)
    if dice.random() < 0.7:
        return Quota(what, None, max(0, count - dice.choice((0, 1, 1, 2))), above, bars)
    least = count + dice.choice((0, 1, 1, 2))
    return Quota(
        what, least, None if dice.random() < 0.5 else least + dice.randint(0, 1), above, bars
    )


def _bars(dice: random.Random, tune: Tune) -> Bars:
    names = [bar.section for bar in tune.bars if bar.section]
    if names and dice.random() < 0.5:
        return Bars(section=dice.choice((str.lower, str.upper))(dice.choice(names)))
    one, other = sorted(dice.choice(tune.bars).number for _ in range(2))
    return Bars(one, other)


def _costliest(dice: random.Random) -> Costliest:
    return Costliest(None if dice.random() < 0.5 else dice.choice((1, 2, 5, 30, 1_000)))


def _pins(
    dice: random.Random, case: Instance, free: tuple[Choice, ...], book: Book
) -> tuple[Pin, ...]:
    if dice.random() < 0.15:
        return _kept(dice, case, book)
    pins = (_pin(dice, case, free, book) for _ in range(dice.choice((1, 1, 2))))
    return tuple(pin for pin in pins if pin is not None)


def _kept(dice: random.Random, case: Instance, book: Book) -> tuple[Pin, ...]:
    """A bar as some sequence has it."""
    way = next(way for _, way in book.sequences())
    numbers = [bar.number for bar in case.tune.bars]
    there = [
        case.tune.bars[moment.written].number
        for moment in book.moments
        if numbers.count(case.tune.bars[moment.written].number) == 1
    ]
    number = dice.choice(there)
    made = Arrangement(*case.asked, book.moments, book.choices(way), Proof(UNPROVEN, 0, 0))
    return kept_bars(made, Bars(number, number))


def _pin(dice: random.Random, case: Instance, free: tuple[Choice, ...], book: Book) -> Pin | None:
    """What the best does somewhere, forbidden, or what another might do there, fixed."""
    forbid = dice.random() < 0.5
    index = dice.randrange(len(book.moments))
    moment = book.moments[index]
    choice = free[index] if forbid else dice.choice(book.standings[index]).choice
    pinned = _pinned(dice, case, choice, forbid)
    if pinned is None or moment.chord is None:
        return None
    number = case.tune.bars[moment.written].number
    bars = Bars(number, number) if dice.random() < 0.7 else _bars(dice, case.tune)
    beat = None
    if bars == Bars(number, number) and dice.random() < 0.3:
        time = bar_times(case.tune)[moment.bar - 1]
        beat = (time.phase + moment.offset) // time.metre.beat + 1
    return Pin(bars, pinned, forbid, beat)


def _pinned(dice: random.Random, case: Instance, choice: Choice, forbid: bool) -> Pinned | None:
    grip, courses = choice.grip, len(case.instrument.courses)
    course = dice.randrange(courses)
    fret, finger = grip.frets[course], grip.fingers[course]
    kind = dice.choice(("string", "shape", "note", "role", "finger"))
    if kind == "note" and choice.struck[0]:
        pitch = case.instrument.pitch(0, grip.frets[0])
        octave = "" if dice.random() < 0.5 else str(pitch // 12 - 1)
        return BassNote(NAMES[pitch % 12] + octave)
    if kind == "role" and choice.role is not None:
        return BassRole(choice.role)
    if kind == "finger" and forbid:
        down = sorted(grip.down)
        return Barred() if not down or dice.random() < 0.2 else FingerDown(dice.choice(down))
    if kind == "shape":
        shown = [dice.random() < 0.7 for _ in range(courses)]
        shown[course] = True
        named = dice.random() < 0.5 and bool(grip.down)
        frets = tuple(f if show else None for f, show in zip(grip.frets, shown, strict=True))
        fingers = tuple(f if show else None for f, show in zip(grip.fingers, shown, strict=True))
        return Shape(frets, fingers if named else None)
    if finger >= 0 and dice.random() < 0.5:
        return OneString(course, courses, None if dice.random() < 0.5 else fret, finger)
    return OneString(course, courses, fret)
