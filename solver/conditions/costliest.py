"""Costliest moment first: the worst moment's cost counts before, or along with, the whole tune's.

Public: Costliest.
"""

from dataclasses import dataclass

from solver.errors import ConditionError

MOST = 1_000


@dataclass(frozen=True)
class Costliest:
    """weight: how many ms of the whole tune's work one ms less in the costliest moment is worth;
    None: the costliest moment comes first, the sum only decides between equals.

    A moment's cost is its own and that of the move that leads to it (``Bill.at``).
    """

    weight: int | None = None

    def __post_init__(self) -> None:
        if self.weight is not None and not 1 <= self.weight <= MOST:
            raise ConditionError(
                f"the costliest moment can weigh 1 to {MOST} times its ms, or come first, "
                f"not {self.weight}"
            )

    @classmethod
    def parse(cls, text: str) -> "Costliest":
        """``first``, or the weight as a number."""
        word = text.strip().casefold()
        if word == "first":
            return cls()
        if not (word.isascii() and word.isdigit() and len(word) < 7):
            raise ConditionError(
                f"write first, or how many times its ms the costliest moment weighs (1 to {MOST}), "
                f"not {text!r}"
            )
        return cls(int(word))

    def __str__(self) -> str:
        return "first" if self.weight is None else str(self.weight)
