"""What changes from one level to the next, and in which bars, in words to teach from; and why a
level cannot be met.

Every figure is counted in the two versions; nothing here is judged.

Public: Step, steps_of, reasons, why_not.
"""

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import pairwise

from scoring.choice import Shapes
from scoring.difficulty import stretch_difficulty
from solver.conditions.few_shapes import LearnedShape, learned
from solver.result import Arrangement
from undersong.compared import figures, named_bars
from undersong.levels.level_set import LevelSet, Made
from undersong.wording import listed, many

_BASS = {
    "held": "the bass is held",
    "roots": "the root is struck on every bass beat",
    "alternating": "the bass goes root and fifth in turn",
    "alternating-fourth": "the bass goes root and fourth in turn",
    "walking": "the bass walks",
    "runs": "the bass runs into new chords",
    "free": "the bass goes as it likes",
    "figure": "the bass repeats a figure",
}
"""A bass manner → what the bass does."""

_TURN = ("alternating", "alternating-fourth")
"""Manners in which another note takes turns with the root."""

_FEW = 4
"""A change in less than one bar of so many is said to be in these bars only."""

_OUT = ", so this level may be left out"

_TEXTURE = {
    "song": "chords under a voice",
    "solo": "the melody with chords around it",
    "bass": "a bass part",
    "drone": "the melody over open strings",
}


@dataclass(frozen=True)
class Step:
    """lower, higher: numbers of two levels; changes: what is new, each with its bars, or that
    nothing is; same: played bars in which the two are the same as heard and fretted; new: whether
    anything is."""

    lower: int
    higher: int
    changes: tuple[str, ...]
    same: tuple[int, ...]
    new: bool = True

    def __str__(self) -> str:
        return f"Level {self.lower} to {self.higher}: {'; '.join(self.changes)}."


def steps_of(found: LevelSet) -> tuple[Step, ...]:
    """Between each level that came out and the next that did. A shape is new that no easier level
    has."""
    met = found.met
    return tuple(
        _step(one, other, _shapes(met[: at + 1])) for at, (one, other) in enumerate(pairwise(met))
    )


def _shapes(made: Sequence[Made]) -> frozenset[LearnedShape]:
    """Every shape that any of them uses."""
    return frozenset(
        shape
        for one in made
        if one.arrangement is not None
        for choice in one.arrangement.choices
        if (shape := learned(choice.grip)) is not None
    )


def reasons(found: LevelSet) -> tuple[str, ...]:
    """Why levels are not met, or not as they should be, a sentence each; levels with the same
    reason share one."""
    numbers: dict[tuple[str, bool], list[int]] = {}
    for one in found.made:
        if one.arrangement is None:
            numbers.setdefault((why_not(one), one.open), []).append(one.level.number)
    told = [
        f"{_levels(each, len(found.made), open_)}: {why}" for (why, open_), each in numbers.items()
    ]
    told += [
        f"level {one.level.number}: there was no time to settle every shape on one fingering"
        for one in found.met
        if one.unsettled
    ]
    return tuple(told)


def why_not(made: Made) -> str:
    """Why a level cannot be met, and what would do: ``it can be met with … or with …``."""
    first, *others = made.nearest or ("",)
    nearest = [first.replace("it can with", "it can be met with", 1)]
    nearest += [other.removeprefix("it can ") for other in others]
    return f"{made.why}; {', or '.join(nearest)}" if first else made.why


def _levels(numbers: Sequence[int], of: int, open_: bool) -> str:
    """``level 2 cannot be met``, ``levels 1, 2 and 4 …``, ``none of the 5 levels can be met``;
    open_: that is not proven."""
    if len(numbers) == 1:
        return f"level {numbers[0]} {'is not met' if open_ else 'cannot be met'}"
    if len(numbers) == of:
        return f"none of the {of} levels {'is' if open_ else 'can be'} met"
    some = f"levels {listed([str(number) for number in numbers])}"
    return f"{some} {'are not met' if open_ else 'cannot be met'}"


def _step(one: Made, other: Made, known: Set[LearnedShape]) -> Step:
    """known: the shapes of all easier levels."""
    lower, higher = one.arrangement, other.arrangement
    assert lower is not None
    assert higher is not None
    same = _same_bars(lower, higher)
    whole = len(same) == len({moment.bar for made in (lower, higher) for moment in made.moments})
    changes = [*_music(lower, higher), *_hand(lower, higher)]
    fresh = len(_shapes([other]) - known)
    if fresh:
        changes.append(f"{many(fresh, 'new shape')} to learn")
    changes += _bars(one, other, lower)
    new, bass = bool(changes), _nothing_in_the_bass(lower, higher)
    if not new and whole:
        changes.append(f"nothing is new: every bar has the same frets and strokes as before{_OUT}")
    elif bass:
        changes.insert(0, bass if new else f"{bass}{_OUT}")
    elif not new:
        changes.append(f"nothing is new to learn{_OUT}")
    stopped = [bar for bar in same if bar in _sounding(lower)]
    if stopped and (new or not whole):
        changes.append(f"the same frets as before in {named_bars(lower.tune, stopped)}")
    return Step(one.level.number, other.level.number, tuple(changes), same, new)


def _music(lower: Arrangement, higher: Arrangement) -> Iterator[str]:
    """What the right hand and the bass do otherwise."""
    old, new = lower.style, higher.style
    if old.texture != new.texture:
        yield f"now {_TEXTURE[new.texture]}"
    if old.right_hand.name != new.right_hand.name:
        yield f"the right hand plays {new.right_hand.name}"
    bars = _other_bass(lower, higher)
    if bars:
        only = "only " if len(bars) * _FEW < len(_bass(higher)) else ""
        what = _BASS[new.manner] if _other_manner(lower, higher) else "other bass notes"
        yield f"{what} ({only}{named_bars(lower.tune, bars)})"


def _nothing_in_the_bass(lower: Arrangement, higher: Arrangement) -> str:
    """Why another bass manner gives the same bass notes; nothing where it gives others, or where
    none was asked for."""
    if _other_bass(lower, higher) or not _other_manner(lower, higher):
        return ""
    why = "the bass notes stay as they were"
    if higher.style.manner in _TURN and _on_roots(higher):
        why = "no chord lasts until another note than its root takes its turn"
    return f"nothing new in the bass: {why}"


def _other_manner(lower: Arrangement, higher: Arrangement) -> bool:
    old, new = lower.style, higher.style
    return old.manner != new.manner or old.texture != new.texture


def _other_bass(lower: Arrangement, higher: Arrangement) -> tuple[int, ...]:
    """Played bars with other bass notes."""
    bass = _bass(lower), _bass(higher)
    return tuple(bar for bar in bass[1] if bass[0].get(bar) != bass[1][bar])


def _on_roots(made: Arrangement) -> bool:
    """Whether every bass note struck is the root, or the note after a slash."""
    pairs = zip(made.moments, made.choices, strict=True)
    asked = [moment.roles for moment, choice in pairs if choice.struck[0]]
    return all(roles <= {"root", "slash bass"} for roles in asked)


def _hand(lower: Arrangement, higher: Arrangement) -> Iterator[str]:
    """What is asked of the left hand for the first time."""
    instrument = lower.instrument
    stretches = _stretches(lower), _stretches(higher)
    before = max(stretches[0].values())
    widest = max(stretches[1].values())
    if widest > before:
        bar = next(bar for bar, percent in stretches[1].items() if percent == widest)
        then = f", before {before} %, in" if before else ", before there was none, in"
        yield (
            f"the widest stretch is now {widest} % of the hand's greatest{then} "
            f"{named_bars(lower.tune, (bar,))}"
        )
    top, bars = _beyond(_fingers(lower), _fingers(higher))
    if bars:
        yield f"now {many(top, 'finger')} down at once ({named_bars(lower.tune, bars)})"
    top, bars = _beyond(_top(lower), _top(higher))
    if bars:
        yield f"now up to fret {instrument.told(top)} ({named_bars(lower.tune, bars)})"
    old, new = figures(lower), figures(higher)
    if new.barred > old.barred:
        yield f"a finger laid across strings {_more(new.barred - old.barred, 'time')}"
    if new.shifts > old.shifts:
        yield f"{_more(new.shifts - old.shifts, 'shift')} of the hand"


def _bars(one: Made, other: Made, lower: Arrangement) -> Iterator[str]:
    """The bar that becomes harder by most."""
    rise = {bar: percent - one.ratings.get(bar, 0) for bar, percent in other.ratings.items()}
    bar = max(rise, key=lambda bar: (rise[bar], -bar))
    if rise[bar] > 0:
        rated = one.ratings.get(bar, 0), other.ratings[bar]
        yield (
            f"the greatest step up in difficulty is {named_bars(lower.tune, (bar,))}, from "
            f"{rated[0]} to {rated[1]} %"
        )


def _same_bars(lower: Arrangement, higher: Arrangement) -> tuple[int, ...]:
    """Played bars with the same frets and strokes at the same places."""
    sounds = [
        {
            (moment.bar, moment.offset): (choice.grip.frets, choice.struck)
            for moment, choice in zip(made.moments, made.choices, strict=True)
        }
        for made in (lower, higher)
    ]
    by_bar: list[dict[int, dict[int, object]]] = [{}, {}]
    for number, places in enumerate(sounds):
        for (bar, offset), sound in places.items():
            by_bar[number].setdefault(bar, {})[offset] = sound
    return tuple(bar for bar, here in by_bar[0].items() if by_bar[1].get(bar) == here)


def _sounding(made: Arrangement) -> set[int]:
    """Played bars in which a string is struck."""
    pairs = zip(made.moments, made.choices, strict=True)
    return {moment.bar for moment, choice in pairs if any(choice.struck)}


def _bass(made: Arrangement) -> dict[int, tuple[tuple[int, int], ...]]:
    """Played bar → (offset, fret) of its bass notes."""
    out: dict[int, tuple[tuple[int, int], ...]] = {}
    for moment, choice in zip(made.moments, made.choices, strict=True):
        struck = ((moment.offset, choice.grip.frets[0]),) if choice.struck[0] else ()
        out[moment.bar] = out.get(moment.bar, ()) + struck
    return out


def _stretches(made: Arrangement) -> dict[int, int]:
    shapes = Shapes.of(
        [(choice.grip, choice.struck) for choice in made.choices], made.instrument, made.hand
    )
    return _greatest(made, stretch_difficulty(shapes).tolist())


def _beyond(old: dict[int, int], new: dict[int, int]) -> tuple[int, tuple[int, ...]]:
    """The greatest of the new, and the bars that go beyond all of the old."""
    most = max(old.values())
    return max(new.values()), tuple(bar for bar, value in new.items() if value > most)


def _fingers(made: Arrangement) -> dict[int, int]:
    return _greatest(made, [len(choice.grip.down) for choice in made.choices])


def _top(made: Arrangement) -> dict[int, int]:
    capo = made.instrument.capo
    return _greatest(made, [max(*choice.grip.frets, capo) for choice in made.choices])


def _greatest(made: Arrangement, values: Sequence[int]) -> dict[int, int]:
    """Played bar → its greatest value."""
    out: dict[int, int] = {}
    for moment, value in zip(made.moments, values, strict=True):
        out[moment.bar] = max(out.get(moment.bar, 0), value)
    return out


def _more(number: int, what: str) -> str:
    return many(number, f"more {what}")
