"""Random bass parts, small enough to be counted out in full.

A ``tiny`` case's bars are played over and over, so that sections end, with fills, and there is room
to breathe; the ceiling is often high enough for a figure's octave.

Public: tiny_part, tiny_part_again, small_part.
"""

import random
from dataclasses import replace

from solver.style import Style, manners_in
from tests.solver.instances import Instance, small, tiny, tiny_again

CEILINGS = (2, 5, 7, 12)


def tiny_part(seed: int) -> Instance:
    """Four to six bars in two sections."""
    return _part(random.Random(f"bass {seed}"), tiny(seed), 4, 6)


def small_part(seed: int) -> Instance:
    """As many bars with more frets and fingers to choose from."""
    return _part(random.Random(f"small bass {seed}"), small(seed), 4, 6)


def tiny_part_again(seed: int) -> Instance:
    """A few bars and what comes again of them, as the page has it."""
    dice = random.Random(f"bass again {seed}")
    case = tiny_again(seed)
    return replace(case, style=_style(dice, case))


def _part(dice: random.Random, case: Instance, least: int, most: int) -> Instance:
    bars = (case.tune.bars * 5)[: dice.randint(least, most)]
    begins = {0, dice.randint(1, len(bars) - 1)}
    sections = ["A" if index in begins else "" for index in range(len(bars))]
    made = tuple(
        replace(one, number=number, section=section, repeat_times=1, endings=())
        for number, (one, section) in enumerate(zip(bars, sections, strict=True), 1)
    )
    return replace(case, tune=replace(case.tune, bars=made), style=_style(dice, case))


def _style(dice: random.Random, case: Instance) -> Style:
    manner = dice.choice(manners_in("bass"))
    return replace(case.style, texture="bass", manner=manner, bass_ceiling=dice.choice(CEILINGS))
