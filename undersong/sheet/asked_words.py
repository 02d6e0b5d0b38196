"""What was asked of a whole tune, in words for a page: a level's many limits of bars and settled
fingerings are a phrase each.

Public: asked_words.
"""

from dataclasses import replace

from solver.conditions import Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.limits import MOST_PERCENT, Limits
from solver.conditions.pinned import Fingering
from solver.conditions.words import parts_of


def asked_words(asked: Conditions) -> list[str]:
    """One thing after another; none where nothing was asked."""
    others = tuple(pin for pin in asked.pins if not isinstance(pin.pinned, Fingering))
    settled = [pin for pin in asked.pins if isinstance(pin.pinned, Fingering)]
    if len(settled) < 2:
        others, settled = asked.pins, []
    words = [part.words for part in parts_of(replace(asked, limits=None, pins=others))]
    words = [text.removeprefix(f"{WHOLE}: ") for text in words]
    words += [f"the same fingers each time for {len(settled)} shapes"] if settled else []
    return words + (_limits(asked.limits) if asked.limits else [])


def _limits(limits: Limits) -> list[str]:
    """A level's caps; what its bars are kept to beside other levels is a phrase or two."""
    own = limits.with_bars(())
    caps = [str(part) for part in own.parts] if own else []
    if len(limits.bars) == 1:
        return [*caps, str(limits.bars[0])]
    if any(limit.most < MOST_PERCENT for limit in limits.bars):
        caps.append("each bar no harder than on the next level")
    if floors := len(limits.floors):
        bars = "1 bar" if floors == 1 else f"{floors} bars"
        caps.append(f"{bars} as hard as an easier level needs")
    return caps
