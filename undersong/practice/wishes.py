"""What a player may ask of a practice plan.

Public: Wishes.
"""

from dataclasses import dataclass

from undersong.sheet.errors import SheetError

MOST_SPOTS, MOST_ROUNDS = 12, 20


@dataclass(frozen=True)
class Wishes:
    """spots: how many places are practised at the most; rounds: how often each loop is played at
    each tempo."""

    spots: int = 4
    rounds: int = 3

    def __post_init__(self) -> None:
        if not 1 <= self.spots <= MOST_SPOTS:
            raise SheetError(f"a practice plan has 1 to {MOST_SPOTS} places, not {self.spots}")
        if not 1 <= self.rounds <= MOST_ROUNDS:
            raise SheetError(
                f"a loop is played 1 to {MOST_ROUNDS} times a tempo, not {self.rounds}"
            )
