"""Where everything of a bound book stands.

Public: Bound.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Bound:
    """pages: of the whole book; begins: a tune's number (``Entry.number``) → the page of the book,
    from 1, on which each of its parts begins, in their order; tunes without pages are not there."""

    pages: int
    begins: Mapping[int, tuple[int, ...]]

    def page_of(self, number: int, part: int = 0) -> int | None:
        """The page on which that part (from 0) of that tune begins; None where it has none."""
        found = self.begins.get(number, ())
        return found[part] if part < len(found) else None
