"""What was asked of a whole tune, in words for a page: a level's many limits of bars and settled
fingerings are a phrase each.

Public: asked_words.
"""

from dataclasses import replace

from solver.conditions.bars import WHOLE
from solver.conditions.limits import Limits
from solver.conditions.pinned import Fingering
from solver.conditions.words import parts_of
from solver.result import Arrangement
from undersong.compared import named_bars
from undersong.tempo_within import ALL


def asked_words(arrangement: Arrangement) -> list[str]:
    """One thing after another; none where nothing was asked."""
    asked, written = arrangement.conditions, arrangement.instrument.told
    others = tuple(pin for pin in asked.pins if not isinstance(pin.pinned, Fingering))
    settled = [pin for pin in asked.pins if isinstance(pin.pinned, Fingering)]
    if len(settled) < 2:
        others, settled = asked.pins, []
    words = [part.words for part in parts_of(replace(asked, limits=None, pins=others), written)]
    words = [text.removeprefix(f"{WHOLE}: ") for text in words]
    words += [f"the same fingers each time for {len(settled)} shapes"] if settled else []
    return words + (_limits(asked.limits, arrangement) if asked.limits else [])


def _limits(limits: Limits, made: Arrangement) -> list[str]:
    """A level's caps; what its bars are kept to beside other levels is a phrase or two."""
    own = limits.with_bars(())
    caps = [part.shown(made.instrument.told) for part in own.parts] if own else []
    if any(limit.most < ALL for limit in limits.bars):  # the hardest level keeps to the hand alone
        caps.append("each bar no harder than on the next level")
    if limits.floors:
        bars = named_bars(made.tune, sorted(limits.floors))
        caps.append(f"{bars} harder than need be, so that an easier level can be met")
    return caps
