"""The check of a set: every rule and sum anew, without the solver and what it was asked by.

What is done between two tunes is counted from the words that the player gets (``Retuning``).

Public: faults.
"""

from scoring.set_order import priced, relation
from undersong.advice.sets import Place, TuneSet, join_of


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
        alike = at > 0 and place.tune.tune.key == places[at - 1].tune.tune.key
        row = row + 1 if alike else 1
        if asked.in_a_row is not None and row > asked.in_a_row:
            wrong.append(f"{row} tunes in {place.tune.tune.key} follow one another")
        if place.joined and place.retuning is not None and not place.retuning.nothing:
            wrong.append(f"strings or capo change within a medley before {place.tune.title}")
        if place.instrument not in place.tune.instruments:
            wrong.append(f"{place.tune.title} is in a tuning that it was not given")
    for group in asked.medleys.values():
        spots = sorted(numbers.index(tune) for tune in group.intersection(numbers))
        if spots and spots[-1] - spots[0] != len(spots) - 1:
            wrong.append("a medley is parted")
    before: Place | None = None
    for place in places:
        if priced(_anew(before, place), asked.prices) != place.cost:
            wrong.append(f"what stands before {place.tune.title} was added up wrongly")
        before = place
    total = sum(place.cost for place in places)
    if total != made.order.cost:
        wrong.append(f"the search counted {made.order.cost} ms, the places {total}")
    if made.order.cost < made.order.bound:
        wrong.append("the order costs less than its bound")
    return tuple(wrong)


def _anew(before: Place | None, place: Place) -> dict[str, int]:
    """What counts before and in a tune, by the names of its prices."""
    amounts: dict[str, int] = {}
    if place.retuning is not None:
        amounts["string"] = place.retuning.strings
        amounts["semitone"] = place.retuning.semitones
        amounts["capo-move"] = place.retuning.capo_moves
    if before is not None:
        amounts[relation(before.tune.ends, place.tune.begins)] = 1
        if place.joined:
            amounts["join"] = join_of(before.arrangement, place.arrangement)
    if place.arrangement is not None:
        amounts["work"] = place.arrangement.asked_cost
    return amounts
