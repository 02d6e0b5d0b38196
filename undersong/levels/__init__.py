"""Levels: easier and harder versions of one tune, nested bar by bar.

Public: Level, levels_for, read_levels, LevelSet, Made, make_levels, Step, steps_of,
reasons, why_not.
"""

from undersong.levels.level import Level, levels_for, read_levels
from undersong.levels.level_set import LevelSet, Made
from undersong.levels.nesting import make_levels
from undersong.levels.told import Step, reasons, steps_of, why_not

__all__ = [
    "Level",
    "LevelSet",
    "Made",
    "Step",
    "levels_for",
    "make_levels",
    "read_levels",
    "reasons",
    "steps_of",
    "why_not",
]
