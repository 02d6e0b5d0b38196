"""What was found over links before: a question that changes a bar asks the rest again for nothing.

Backward passes over the same links with the same outlook, but for a constant, give the same again;
so do bars that come again, and everything after the last place where two questions differ.

Public: Recalled.
"""

from dataclasses import replace
from hashlib import blake2b

import numpy as np

from solver.arrays import FAR, Cost
from solver.links import Bans, LinkCost

ROOM = 1 << 27
"""How many bytes may be recalled; beyond that all is found anew."""


class Recalled:
    """Links with bans, and what links make of what lies ahead of them."""

    def __init__(self) -> None:
        self._links: dict[tuple[int, Bans], tuple[LinkCost, LinkCost]] = {}
        self._found: dict[tuple[object, ...], tuple[LinkCost, Cost | None, Cost]] = {}
        self._held = 0

    def banned(self, link: LinkCost, bans: Bans) -> LinkCost:
        """The link with more bans; the same object for the same ones."""
        if not bans:
            return link
        key = id(link), bans
        if key not in self._links:
            self._links[key] = link, replace(link, bans=(*link.bans, *bans))
        return self._links[key][1]

    def back(
        self, link: LinkCost, on: Cost, own: Cost | None = None, most: int | None = None
    ) -> Cost:
        """What ``LinkCost.back`` gives; own: needed where there is a ceiling ``most``."""
        base = on.min()
        ahead = np.where(on < FAR, on - base, FAR)
        digest = blake2b(ahead.tobytes(), digest_size=32).digest()
        key = (id(link), digest) if most is None else (id(link), digest, id(own), most)
        if key not in self._found:
            self._keep(key, link, own, link.back(ahead, own, most))
        rest = self._found[key][2]
        return np.where(rest < FAR, rest + base, FAR)

    def _keep(self, key: tuple[object, ...], link: LinkCost, own: Cost | None, found: Cost) -> None:
        """What ids stand for is kept beside, so that they stand for nothing else."""
        if self._held > ROOM:
            self._links.clear()
            self._found.clear()
            self._held = 0
        self._found[key] = link, own, found
        self._held += found.nbytes
