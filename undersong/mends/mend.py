"""A mend: one change of what was asked, under which the tune can be played.

Public: Kind, Mend, Idea, Mends, in_order.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from solver.demands import Wanted


class Kind(Enum):
    """What sort of change a mend is."""

    PIN = "a pin dropped"
    LIMIT = "a limit loosened"
    NO_LIMIT = "a limit dropped"
    SHAPES = "more shapes"
    KNOWN = "shapes beyond the known ones"
    ALIKE = "repeats that differ"
    CHORD = "another chord in a bar"
    CHORDS = "other chords everywhere"
    MANNER_THERE = "another bass manner in a bar"
    CEILING = "a higher bass"
    HIGHEST = "higher frets"
    BELOW = "strings below the bass"
    MANNER = "another bass manner"
    RIGHT_HAND = "another right hand"
    FRET = "an extra fret"
    CAPO = "a capo"
    TUNING = "a tuning"
    KEY = "a key"
    OCTAVE = "the melody in another octave"
    BAR = "a finger that bars"
    FINGER = "a finger that was to rest"
    REACH = "a wider reach"

    @property
    def is_wish(self) -> bool:
        """Whether it takes back, or softens, what the player wished besides the rules."""
        return self in (
            Kind.PIN, Kind.LIMIT, Kind.NO_LIMIT, Kind.SHAPES, Kind.KNOWN, Kind.ALIKE,
        )  # fmt: skip

    @property
    def asks_more_of_the_hand(self) -> bool:
        """Whether a hand would do what its owner said it should not; advised last, with the
        caution."""
        return self in (Kind.BAR, Kind.FINGER, Kind.REACH)


@dataclass(frozen=True)
class Idea:
    """A change that might mend. kind: what sort of change it is; words: what to do, as one tells a
    player; option: what to type for it, or nothing where the tune itself is changed; loses: what
    is given up, nothing where nothing is; request: what is asked then; which: the index of the
    limit that is changed, of several; loosened: how far a numbered limit is loosened, in its own
    unit, None for any other change."""

    kind: Kind
    words: str
    option: str
    loses: str
    request: Wanted
    which: int = 0
    loosened: int | None = None

    @property
    def of_one_sort(self) -> tuple[Kind, int]:
        """Alike in ideas that differ only in how much they change."""
        return self.kind, self.which


@dataclass(frozen=True)
class Mend:
    """An idea that was solved and checked. cost: ms asked of the answer that it gives; proven:
    whether there is none cheaper with it; idea: what is changed, see ``Idea``."""

    idea: Idea
    cost: int
    proven: bool

    @property
    def kind(self) -> Kind:
        return self.idea.kind

    @property
    def words(self) -> str:
        return self.idea.words

    @property
    def option(self) -> str:
        return self.idea.option

    @property
    def loses(self) -> str:
        return self.idea.loses

    @property
    def request(self) -> Wanted:
        return self.idea.request

    def __str__(self) -> str:
        typed = f" ({self.option})" if self.option else ""
        about = "" if self.proven else "at most "
        lost = self.loses or "nothing lost"
        return f"{self.words}{typed}: {about}{self.cost} ms of hand work; {lost}"


@dataclass(frozen=True)
class Mends:
    """found: sufficient ones, the cheapest first, those that ask more of the hand last; tried: how
    many ideas were looked at to the end; untried: how many were not, for want of time or because
    nothing was found and nothing proven."""

    found: tuple[Mend, ...]
    tried: int
    untried: int

    def told(self, most: int) -> tuple[str, ...]:
        """The best in words, and behind them how many there was no time for."""
        words = [str(mend) for mend in self.best(most)]
        if self.untried:
            words.append(f"{self.untried} more could not be tried in the time there was")
        return tuple(words)

    def best(self, most: int) -> tuple[Mend, ...]:
        """At most so many: what takes back a wish before all others, then the cheapest of each
        sort before more of the same, then what asks more of the hand; in the order of found."""
        met: dict[tuple[Kind, int], int] = {}
        ranks = []
        for mend in self.found:
            sort = mend.idea.of_one_sort
            met[sort] = met.get(sort, 0) + 1
            rank = 0 if mend.kind.is_wish else 1
            rank = rank if met[sort] <= 2 else 2
            ranks.append(3 if mend.kind.asks_more_of_the_hand else rank)
        order = sorted(range(len(ranks)), key=lambda place: ranks[place])  # stable
        return tuple(self.found[place] for place in sorted(order[:most]))


def in_order(found: Sequence[Mend]) -> tuple[Mend, ...]:
    """The cheapest first, those that ask more of the hand last."""
    return tuple(
        sorted(found, key=lambda m: (m.kind.asks_more_of_the_hand, m.cost, m.words, m.option))
    )
