"""What was found over links before: a question that changes a bar asks the rest again for nothing.

Backward passes over the same links with the same outlook, but for a constant, give the same again;
so do bars that come again, and everything after the last place where two questions differ.

Public: Recalled, Remainder.
"""

from dataclasses import dataclass, replace
from hashlib import blake2b

import numpy as np

from solver.arrays import FAR, Cost
from solver.links import Bans, LinkCost

ROOM = 1 << 27
"""How many bytes may be recalled; beyond that all is found anew."""


@dataclass(frozen=True, eq=False)
class Remainder:
    """What is still to come from a moment's nodes beyond the least, FAR where no way leads on; the
    same object for the same values."""

    values: Cost
    digest: bytes

    def whole(self, least: int) -> Cost:
        """With the least."""
        return np.where(self.values < FAR, self.values + least, FAR)


class Recalled:
    """Links with bans, and what links make of what lies ahead of them."""

    def __init__(self) -> None:
        self._links: dict[tuple[int, Bans], tuple[LinkCost, LinkCost]] = {}
        self._found: dict[tuple[object, ...], tuple[LinkCost, Cost | None, Cost]] = {}
        self._ahead: dict[bytes, Remainder] = {}
        self._before: dict[tuple[int, int, int], tuple[object, Remainder, int]] = {}
        self._held = 0

    def banned(self, link: LinkCost, bans: Bans) -> LinkCost:
        """The link with more bans; the same object for the same ones."""
        if not bans:
            return link
        key = id(link), bans
        if key not in self._links:
            self._links[key] = link, replace(link, bans=(*link.bans, *bans))
        return self._links[key][1]

    def ahead(self, on: Cost) -> tuple[Remainder, int]:
        """What is still to come, beyond the least, and the least."""
        least = on.min()
        values = np.where(on < FAR, on - least, FAR)
        digest = blake2b(values.tobytes(), digest_size=32).digest()
        if digest not in self._ahead:
            self._ahead[digest] = Remainder(values, digest)
            self._held += values.nbytes
        return self._ahead[digest], int(least)

    def before(self, nodes: Cost, link: LinkCost, ahead: Remainder) -> tuple[Remainder, int]:
        """What is still to come a moment earlier, whose nodes cost so much, and by how much more
        the least is."""
        key = id(nodes), id(link), id(ahead)
        if key not in self._before:
            self._make_room()
            rest = self._rest(link, ahead)
            on = np.where((nodes < FAR) & (rest < FAR), nodes + rest, FAR)
            found, least = self.ahead(on)
            self._before[key] = (nodes, link, ahead), found, least
            self._held += nodes.nbytes
        return self._before[key][1:]

    def back(
        self, link: LinkCost, on: Cost, own: Cost | None = None, most: int | None = None
    ) -> Cost:
        """What ``LinkCost.back`` gives; own: needed where there is a ceiling ``most``."""
        ahead, least = self.ahead(on)
        rest = self._rest(link, ahead, own, most)
        return np.where(rest < FAR, rest + least, FAR)

    def _rest(
        self, link: LinkCost, ahead: Remainder, own: Cost | None = None, most: int | None = None
    ) -> Cost:
        limit = () if most is None else (id(own), most)
        key = (id(link), ahead.digest, *limit)
        if key not in self._found:
            self._make_room()
            found = link.back(ahead.values, own, most)
            # what ids stand for is kept beside, so that they stand for nothing else
            self._found[key] = link, own, found
            self._held += found.nbytes
        return self._found[key][2]

    def _make_room(self) -> None:
        if self._held > ROOM:
            self._links.clear()
            self._found.clear()
            self._ahead.clear()
            self._before.clear()
            self._held = 0
