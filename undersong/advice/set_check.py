"""The check of a set: every rule and sum anew, without the solver and what it was asked by.

What is done between two tunes is counted from the words that the player gets (``Retuning``).

Public: faults.
"""

from scoring.set_order import join_work, priced, relation
from solver.result import Arrangement
from undersong.advice.set_asked import SetAsked
from undersong.advice.sets import SetPlace, TuneSet


def faults(made: TuneSet) -> tuple[str, ...]:
    """What is wrong with a set, one sentence each; empty where nothing is."""
    asked, places = made.asked, made.places
    wrong = []
    numbers = [
        next(at for at, one in enumerate(asked.tunes) if one is place.tune) for place in places
    ]
    gone = {
        at
        for at, one in enumerate(asked.tunes)
        if any(one is each.tune for each in made.not_played)
    }
    if sorted([*numbers, *gone]) != list(range(len(asked.tunes))):
        wrong.append("a tune is missing or played twice")
    if asked.first is not None and numbers[0] != asked.first:
        wrong.append("another tune is first")
    if asked.last is not None and numbers[-1] != asked.last:
        wrong.append("another tune is last")
    row = 0
    for at, place in enumerate(places):
        joined = at > 0 and _of_one_medley(asked, numbers[at - 1], numbers[at])
        alike = at > 0 and place.tune.tune.key == places[at - 1].tune.tune.key
        row = row + 1 if alike else 1
        if asked.in_a_row is not None and row > asked.in_a_row:
            wrong.append(f"{row} tunes in {place.tune.tune.key} follow one another")
        if place.joined != joined:
            wrong.append(f"{place.tune.title} is {'not ' * joined}joined to the tune before it")
        if joined and place.retuning is not None and not place.retuning.nothing:
            wrong.append(f"strings or capo change within a medley before {place.tune.title}")
        if place.instrument not in place.tune.instruments:
            wrong.append(f"{place.tune.title} is in a tuning that it was not given")
        before = places[at - 1] if at else None
        old = asked.start if before is None else before.instrument
        if place.retuning is not None and (place.retuning.before, place.retuning.after) != (
            old, place.instrument
        ):  # fmt: skip
            wrong.append(f"before {place.tune.title} other strings are tuned than it is played on")
        if priced(_anew(before, place, joined), asked.prices) != place.cost:
            wrong.append(f"what stands before {place.tune.title} was added up wrongly")
    for group in asked.medleys.values():
        spots = sorted(numbers.index(tune) for tune in group.intersection(numbers))
        if spots and spots[-1] - spots[0] != len(spots) - 1:
            wrong.append("a medley is parted")
    total = sum(place.cost for place in places)
    if total != made.order.cost:
        wrong.append(f"the search counted {made.order.cost} ms, the places {total}")
    if made.order.cost < made.order.bound:
        wrong.append("the order costs less than its bound")
    return tuple(wrong)


def _of_one_medley(asked: SetAsked, one: int, other: int) -> bool:
    return any({one, other} <= group for group in asked.medleys.values())


def _anew(before: SetPlace | None, place: SetPlace, joined: bool) -> dict[str, int]:
    """What counts before and in a tune, by the names of its prices."""
    amounts: dict[str, int] = {}
    if place.retuning is not None:
        amounts["string"] = place.retuning.strings
        amounts["semitone"] = place.retuning.semitones
        amounts["capo-move"] = place.retuning.capo_moves
    if before is not None:
        amounts[relation(before.tune.ends, place.tune.begins)] = 1
        if joined:
            amounts["join"] = _join(before.arrangement, place.arrangement)
    if place.arrangement is not None:
        amounts["work"] = place.arrangement.asked_cost
    return amounts


def _join(before: Arrangement | None, after: Arrangement | None) -> int:
    """ms from the last shape of one tune to the first of the next; nothing where they are not
    arranged, which the sums tell."""
    if before is None or after is None:
        return 0
    last = before.choices[-1], before.moments[-1]
    first = after.choices[0], after.moments[0]
    return join_work(last, first, after.instrument, after.hand, after.weights)
