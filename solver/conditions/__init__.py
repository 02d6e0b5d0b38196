"""What a player may ask of the whole tune, beyond its weights: conditions, each a small value.

The page's bar numbers name bars, and a condition on a bar holds every time through.

Public: Conditions, NONE; the values are in the modules beside.
"""

from dataclasses import dataclass, replace

from solver.conditions.alike import Alike
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes
from solver.conditions.limits import Limits
from solver.conditions.near import Near
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota


@dataclass(frozen=True)
class Conditions:
    """alike: repeats with the same hands; shapes: how many, which; quotas: how often something
    may or must be; pins: what is fixed or forbidden, and where; costliest: the worst moment comes
    before, or into, the sum; near: frets to be as close to as can be; limits: caps that every
    moment holds by itself."""

    alike: Alike | None = None
    shapes: FewShapes | None = None
    quotas: tuple[Quota, ...] = ()
    pins: tuple[Pin, ...] = ()
    costliest: Costliest | None = None
    near: Near | None = None
    limits: Limits | None = None

    @property
    def reach_over_the_tune(self) -> bool:
        """Whether any of them ties moments that are not neighbours."""
        return bool(self.alike or self.shapes or self.quotas or self.floors)

    @property
    def costliest_first(self) -> bool:
        """Whether answers are ranked by their costliest moment before their cost."""
        return self.costliest is not None and self.costliest.weight is None

    @property
    def floors_alone(self) -> bool:
        """Whether nothing but floors reaches beyond single moments."""
        return self.bars_alone and not self.quotas

    @property
    def bars_alone(self) -> bool:
        """Whether nothing but floors and quotas reaches beyond single moments."""
        return not (self.alike or self.shapes or self.costliest)

    @property
    def without_floors(self) -> "Conditions":
        """All but the floors."""
        return self if self.limits is None else replace(self, limits=self.limits.without_floors)

    @property
    def floors(self) -> dict[int, int]:
        """Played bars that are to be rated at least so many percent."""
        return {} if self.limits is None else self.limits.floors


NONE = Conditions()
"""Nothing asked."""
