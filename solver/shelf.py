"""The shelf: what links' moves cost, counted when it is asked for, kept while there is room.

Public: Shelf, Charges, Bans.
"""

from collections import OrderedDict
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np

from scoring.choice import Bools
from solver.arrays import FAR, Moves, far_of, fits_short
from solver.bans import Ban
from solver.charges import Charge
from solver.tables import MoveTables

if TYPE_CHECKING:
    from solver.links import Link

Charges = tuple[Charge, ...]
Bans = tuple[Ban, ...]

SHELF_BYTES = 1 << 29
"""How much the moves that are kept may take together."""


class Shelf:
    """Moves that were counted, the last used last, at most ``room`` bytes of them."""

    def __init__(self, room: int = SHELF_BYTES) -> None:
        self.room = room
        self.held = 0
        self._kept: OrderedDict[tuple[object, ...], tuple[Any, Link]] = OrderedDict()

    def moves(
        self, link: "Link", tables: MoveTables, charges: Charges = (), bans: Bans = ()
    ) -> Moves:
        """What ``link.moves`` gives, each charge's price where it counts, and what marks the
        unreachable where a ban forbids the move; from the shelf if it is there."""
        key = (*link.told_apart, tables.key, charges, bans)
        if bans:
            return np.asarray(self._get(key, link, lambda: self._left(link, tables, charges, bans)))
        if not charges:
            return np.asarray(self._get(key, link, lambda: link.moves(tables)))
        return np.asarray(self._get(key, link, lambda: self._charged(link, tables, charges)))

    def _left(self, link: "Link", tables: MoveTables, charges: Charges, bans: Bans) -> Moves:
        left = self.moves(link, tables, charges).copy()
        for ban in bans:
            if ban.what == "shifts":
                forbidden = self._counts(link, tables, Charge("shifts", 0))
            else:
                forbidden = ban.forbids(self.ratings(link, tables))
            np.copyto(left, far_of(left), where=forbidden)
        return left

    def ratings(self, link: "Link", tables: MoveTables) -> Moves:
        """What ``link.rated`` gives, from the shelf if it is there."""
        key = (*link.told_apart, "rated")
        return np.asarray(self._get(key, link, lambda: link.rated))

    def _charged(self, link: "Link", tables: MoveTables, charges: Charges) -> Moves:
        plain = self.moves(link, tables)
        far, total = far_of(plain), plain
        moment = link.before.moment
        most = tables.most(moment.ms, moment.damped) + sum(abs(each.price) for each in charges)
        if not fits_short(most):
            total = np.where(plain >= far, FAR, plain.astype(np.int64))
        for each in charges:
            counts = self._counts(link, tables, each)
            total = total + counts * total.dtype.type(each.price)
        return np.where(plain >= far, far_of(total), total)

    def _counts(self, link: "Link", tables: MoveTables, charge: Charge) -> Bools:
        if charge.what == "hard":
            return Ban("hard", charge.above).forbids(self.ratings(link, tables))
        key = (*link.told_apart, charge.what)
        return np.asarray(self._get(key, link, lambda: link.counts(charge)), np.bool_)

    def _get(self, key: tuple[object, ...], link: "Link", make: Callable[[], Any]) -> Any:
        if key in self._kept:
            self._kept.move_to_end(key)
            return self._kept[key][0]
        made = make()
        self._kept[key] = made, link
        self.held += made.nbytes
        while self.held > self.room and len(self._kept) > 1:
            _, (oldest, _) = self._kept.popitem(last=False)
            self.held -= oldest.nbytes
        return made
