"""A mend: one change of what was asked, under which the tune can be played.

Public: Mend, Idea, Mends.
"""

from dataclasses import dataclass

from solver.demands import Wanted

WISHES = ("pin", "limit", "no", "shapes", "known", "alike")
"""First words of the kinds that take back, or soften, what the player wished besides the rules."""


@dataclass(frozen=True)
class Idea:
    """A change that might mend. kind: what sort of change it is; words: what to do, as one tells a
    player; option: what to type for it, or nothing where the tune itself is changed; loses: what
    is given up, nothing where nothing is; request: what is asked then."""

    kind: str
    words: str
    option: str
    loses: str
    request: Wanted


@dataclass(frozen=True)
class Mend:
    """An idea that was solved and checked. cost: ms asked of the answer that it gives; proven:
    whether there is none cheaper with it; the rest as in ``Idea``."""

    kind: str
    words: str
    option: str
    loses: str
    request: Wanted
    cost: int
    proven: bool

    def __str__(self) -> str:
        typed = f" ({self.option})" if self.option else ""
        about = "" if self.proven else "at most "
        lost = self.loses or "nothing lost"
        return f"{self.words}{typed}: {about}{self.cost:,} ms of hand work; {lost}"


@dataclass(frozen=True)
class Mends:
    """found: sufficient ones, the cheapest first; tried, untried: how many ideas were looked at,
    and for how many there was no time."""

    found: tuple[Mend, ...]
    tried: int
    untried: int

    def best(self, most: int) -> tuple[Mend, ...]:
        """At most so many: what takes back a wish before all others, then the cheapest of each
        kind before more of the same; cheapest first."""
        rank: dict[str, int] = {}
        ranked = []
        for mend in self.found:
            rank[mend.kind] = rank.get(mend.kind, 0) + 1
            first = 0 if mend.kind.split()[0] in WISHES else 1
            ranked.append((first if rank[mend.kind] <= 2 else 2, mend))
        ranked.sort(key=lambda pair: pair[0])  # stable: cheapest first within
        chosen = [mend for _, mend in ranked[:most]]
        return tuple(sorted(chosen, key=lambda mend: (mend.cost, mend.words)))
