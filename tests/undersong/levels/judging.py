"""Levels judged by the checker's and the scoring room's figures, never by the search's; and a tune
of four bars to judge them on.

Public: SHORT, rated, judged.
"""

import itertools

from scoring.difficulty import bar_difficulties
from solver.result import Arrangement
from undersong.check import check
from undersong.levels import Level, LevelSet

SHORT = """X:1
T:Lamps Along the Lane
M:4/4
L:1/4
Q:1/4=100
K:D
|:"D"d2 A2|"G"B2 d2|"A7"c2 e2|"D"d4:|
"""


def rated(made: Arrangement) -> dict[int, int]:
    return bar_difficulties(made.choices, made.moments, made.instrument, made.hand)


def judged(found: LevelSet) -> list[Arrangement]:
    """The versions that came out, nested and within their caps by what can be counted."""
    versions = [one.arrangement for one in found.made if one.arrangement is not None]
    for one, made in zip(found.met, versions, strict=True):
        assert check(made) == ()
        within_its_caps(one.level, made)
    for easier, harder in itertools.pairwise(versions):
        above = rated(harder)
        for bar, percent in rated(easier).items():
            assert percent <= above.get(bar, 0), (found, bar)
    assert found.bound <= found.cost
    for one in found.made:
        assert (one.arrangement is None) == bool(one.why)
    return versions


def within_its_caps(level: Level, made: Arrangement) -> None:
    assert made.style.manner == level.bass
    capo = made.instrument.capo
    for choice in made.choices:
        grip = choice.grip
        stopped = [finger for finger in grip.fingers if finger >= 0]
        if level.fingers is not None:
            assert len(set(stopped)) <= level.fingers
        if level.highest is not None:
            assert max(grip.frets) <= capo + level.highest
        assert not {"TIMRP".index(letter) for letter in level.unused} & set(stopped)
        if not level.barred:
            assert len(set(stopped)) == len(stopped)
    if level.shifts is not None:
        shifted: dict[int, int] = {}
        for moment, amounts in zip(made.moments, made.bill.amounts, strict=True):
            shifted[moment.bar] = shifted.get(moment.bar, 0) + (amounts.get("hand-shift", 0) > 0)
        assert max(shifted.values()) <= level.shifts
