"""Ratings and shifts of an answer's bars, as two mappings.

Public: rated_bars, Rater.
"""

from collections.abc import Sequence

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice, Shapes
from scoring.counts import shifts
from scoring.difficulty import MOST, rate, step_difficulty, stretch_difficulty
from scoring.moment import Moment
from scoring.move import Move

_Step = tuple[Choice, Choice, int, bool]
"""Before and after, the ms there are, whether the strings are damped."""


def rated_bars(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> tuple[dict[int, int], dict[int, int]]:
    """Played bar's number → its rating in percent, and → the shifts of the hand that lead to its
    moments."""
    rating = rate(choices, moments, instrument, hand)
    return rating.by_bar, {bar.bar: bar.shifts for bar in rating.bars}


class Rater:
    """The same of many answers that are much alike, on one instrument in one hand: a step that was
    rated before is not rated again."""

    def __init__(self, instrument: Instrument, hand: Hand) -> None:
        self.instrument, self.hand = instrument, hand
        self._known: dict[_Step, tuple[int, bool]] = {}

    def bars(
        self, choices: Sequence[Choice], moments: Sequence[Moment]
    ) -> tuple[dict[int, int], dict[int, int]]:
        """What ``rated_bars`` gives."""
        steps = [
            (choices[index], choices[index + 1], moment.ms, moment.damped)
            for index, moment in enumerate(moments[:-1])
        ]
        self._rate([step for step in dict.fromkeys(steps) if step not in self._known])
        first = self._shapes(choices[:1])
        rated = {moments[0].bar: min(MOST, int(stretch_difficulty(first)[0]))}
        shifted = {moments[0].bar: 0}
        for moment, step in zip(moments[1:], steps, strict=True):
            percent, shift = self._known[step]
            rated[moment.bar] = max(percent, rated.get(moment.bar, 0))
            shifted[moment.bar] = shifted.get(moment.bar, 0) + shift
        return rated, shifted

    def _rate(self, steps: Sequence[_Step]) -> None:
        kinds: dict[tuple[int, bool], list[_Step]] = {}
        for step in steps:
            kinds.setdefault((step[2], step[3]), []).append(step)
        for (ms, damped), alike in kinds.items():
            before = self._shapes([before for before, *_ in alike])
            after = self._shapes([after for _, after, *_ in alike])
            move = Move(before, after, ms, damped)
            found = zip(step_difficulty(move).tolist(), shifts(move).tolist(), strict=True)
            self._known.update(zip(alike, found, strict=True))

    def _shapes(self, choices: Sequence[Choice]) -> Shapes:
        rows = [(choice.grip, choice.struck) for choice in choices]
        return Shapes.of(rows, self.instrument, self.hand)
