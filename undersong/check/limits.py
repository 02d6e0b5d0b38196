"""What every moment is to hold by itself: fingers down, reach, time, frets, bars, bars' ratings.

Worked out from the grips and ``scoring.move``'s times; a rating is ``scoring.difficulty``'s word.

Public: limits_true, held_faults, times_needed.
"""

from collections.abc import Iterator
from itertools import combinations
from math import ceil, hypot

import numpy as np

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Shapes
from scoring.move import Move
from solver.conditions.limits import Limits
from undersong.check.fault import Fault
from undersong.check.passage import Passage
from undersong.rated import rated_bars
from undersong.wording import many


def limits_true(passage: Passage, limits: Limits) -> Iterator[Fault]:
    """Every fault against the limits: what a hand does too much of, at each moment; a bar's rating
    at its first."""
    arrangement = passage.arrangement
    instrument, hand = arrangement.instrument, arrangement.hand
    needs = _times(passage) if limits.time is not None else {}
    for index, choice in enumerate(passage.choices):
        for message in held_faults(choice.grip, limits, instrument, hand):
            yield passage.fault(index, "limits", message)
        if limits.time is not None and needs.get(index, 0) > limits.time:
            yield passage.fault(
                index,
                "limits",
                f"the move needs {needs[index]} % of its time, and at most {limits.time} % is "
                "asked for",
            )
    if not limits.bars:
        return
    rated = rated_bars(passage.choices, passage.moments, instrument, hand)[0]
    begins = {moment.bar: n for n, moment in reversed(list(enumerate(passage.moments)))}
    for limit in limits.bars:
        if limit.bar not in begins:
            yield Fault(0, 0, "limits", f"played bar {limit.bar} is limited, and nothing is there")
        elif rated[limit.bar] < limit.least:
            yield passage.fault(
                begins[limit.bar],
                "limits",
                f"the bar is {rated[limit.bar]} % hard, and at least {limit.least} % is asked for",
            )
        elif rated[limit.bar] > limit.most:
            yield passage.fault(
                begins[limit.bar],
                "limits",
                f"the bar is {rated[limit.bar]} % hard, and at most {limit.most} % is asked for",
            )


def held_faults(grip: Grip, limits: Limits, instrument: Instrument, hand: Hand) -> Iterator[str]:
    """What is wrong with a grip by itself."""
    stopped = [course for course, finger in enumerate(grip.fingers) if finger >= 0]
    down = {grip.fingers[course] for course in stopped}
    if limits.fingers is not None and len(down) > limits.fingers:
        yield f"{many(len(down), 'finger')} down, and at most {limits.fingers} asked for"
    if limits.reach is not None:
        reach = widest(grip, instrument, hand)
        if reach > limits.reach:
            yield f"the stretch is {reach} % of the greatest, and {limits.reach} % is asked for"
    if limits.fret is not None:
        top = max((grip.frets[course] for course in stopped), default=0)
        if top > limits.fret:
            yield (
                f"fret {instrument.told(top)} is stopped, and nothing above "
                f"{instrument.told(limits.fret)} is asked for"
            )
    if not limits.barred and len(down) < len(stopped):
        yield "a finger lies across strings, and none is to"


def widest(grip: Grip, instrument: Instrument, hand: Hand) -> int:
    """Percent, counted up, of the greatest stretch between two fingers; places on the strings are
    whole tenths of a mm, as the hand's measure is."""
    most = 0
    stopped = [course for course, finger in enumerate(grip.fingers) if finger >= 0]
    for one, other in combinations(stopped, 2):
        first, second = sorted((grip.fingers[one], grip.fingers[other]))
        if first == second:
            continue
        lengthwise = instrument.along(grip.frets[one]) - instrument.along(grip.frets[other])
        apart = round(hypot(lengthwise, 10 * instrument.spacing_mm * (other - one)))
        most = max(most, ceil(100 * apart / hand.greatest[first, second]) if apart else 0)
    return most


def _times(passage: Passage) -> dict[int, int]:
    """For each moment but the first, what the move into it needs (``times_needed``)."""
    arrangement = passage.arrangement
    rows = [(choice.grip, choice.struck) for choice in passage.choices]
    shapes = Shapes.of(rows, arrangement.instrument, arrangement.hand)
    kinds: dict[tuple[int, bool], list[int]] = {}
    for index, moment in enumerate(passage.moments[:-1]):
        kinds.setdefault((moment.ms, moment.damped), []).append(index)
    out: dict[int, int] = {}
    for (ms, damped), indexes in kinds.items():
        tails = np.array(indexes, np.intp)
        needed = times_needed(Move(shapes.take(tails), shapes.take(tails + 1), ms, damped))
        out |= {index + 1: percent for index, percent in zip(indexes, needed, strict=True)}
    return out


def times_needed(move: Move) -> list[int]:
    """For each of the moves the percent, counted up, of its time that the most pressed finger
    needs, the hand's shift before it; of the whole moment for a hand that puts none down."""
    fingers = move.fingers
    rows = zip(
        move.whole.ms.tolist(),
        fingers.ms.tolist(),
        fingers.free(move.ms, move.damped).tolist(),
        fingers.moves.tolist(),
        strict=True,
    )
    out = []
    for shift, ways, free, moves in rows:
        needs = [
            _percent(way + shift, there_is)
            for way, there_is, moved in zip(ways, free, moves, strict=True)
            if moved
        ]
        out.append(max(needs, default=_percent(shift, move.ms)))
    return out


def _percent(needed: int, there_is: int) -> int:
    if needed <= 0:
        return 0
    return min(1000, -(-100 * needed // there_is)) if there_is > 0 else 1000
