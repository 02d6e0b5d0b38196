"""Where everything of a bound book stands.

Even pages lie on the left, odd ones on the right, as page 1 does.

Public: Bound, turns.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Bound:
    """pages: of the whole book; begins: a tune's number (``Entry.number``) → the page of the book,
    from 1, on which each of its parts begins, in their order; tunes without pages are not there;
    empty: pages before a tune that are left empty, so that it takes fewer turns of the page."""

    pages: int
    begins: Mapping[int, tuple[int, ...]]
    empty: frozenset[int] = frozenset()

    def page_of(self, number: int, part: int = 0) -> int | None:
        """The page on which that part (from 0) of that tune begins; None where it has none."""
        found = self.begins.get(number, ())
        return found[part] if part < len(found) else None


def turns(begins: Sequence[int], end: int) -> int:
    """How often a page is turned within a version. begins: the page, from 1, on which each begins;
    end: the page behind the last of them."""
    ends = [*begins[1:], end]
    return sum(
        page % 2
        for begin, behind in zip(begins, ends, strict=True)
        for page in range(begin, behind - 1)
    )
