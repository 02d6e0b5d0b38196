"""Ratings counted move by move, from the formula in words: the greater of two shares and the
additions, one finger after another. For tests only."""

from collections.abc import Sequence

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice, Shapes
from scoring.counts import barred_anew
from scoring.difficulty import FINGER, LAID, MOST, SHIFT, stretch_difficulty
from scoring.moment import Moment
from scoring.move import Move


def plain_bars(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> dict[int, int]:
    """Played bar's number → percent."""
    found: dict[int, int] = {}
    for index, (choice, moment) in enumerate(zip(choices, moments, strict=True)):
        shapes = Shapes.of([(choice.grip, choice.struck)], instrument, hand)
        percent = int(stretch_difficulty(shapes)[0])
        if index:
            last = choices[index - 1]
            before = Shapes.of([(last.grip, last.struck)], instrument, hand)
            ms, damped = moments[index - 1].ms, moments[index - 1].damped
            percent = plain_step(Move(before, shapes, ms, damped), percent)
        found[moment.bar] = max(found.get(moment.bar, 0), percent)
    return found


def plain_step(move: Move, stretch: int) -> int:
    """One move's percent."""
    shift, way = int(move.whole.ms[0]), move.fingers
    there_is = way.free(move.ms, move.damped)[0].tolist()
    fingers = [finger for finger in range(5) if way.moves[0, finger]]
    shares = [_share(int(way.ms[0, finger]) + shift, there_is[finger]) for finger in fingers]
    hurry = max(shares, default=_share(shift, move.ms))
    added = SHIFT * (shift > 0) + LAID * bool(barred_anew(move)[0]) + FINGER * len(fingers)
    return min(MOST, max(hurry, stretch) + added)


def _share(needed: int, there_is: int) -> int:
    if needed == 0:
        return 0
    return min(MOST, -(-100 * needed // there_is)) if there_is > 0 else MOST
