"""Chords with a moving bass for the fretted dulcimer: the easiest playable arrangement, proven.

In short::

    import undersong

    tune = undersong.read_tune("harrow-lane")
    tab = undersong.arrange(tune, instrument="standard", hand="small")
    undersong.write(tab, "harrow-lane.txt")

Asked again with other wishes, a session answers in a fraction of the time::

    session = undersong.Session("harrow-lane", hand="small")
    alike = undersong.Conditions(alike=undersong.Alike("repeats"))
    tab = session.arrange(conditions=alike)
    print(*session.prices(tab))

Every public name stands in ``__all__``. Names are looked up when they are first used, so that
importing the package costs nothing.

What is wrong with the input raises a ValueError of one sentence: ``TuneError`` (music),
``FretboardError`` (instrument, tuning, hand), ``WeightError``, ``SheetError`` (files written), or
``ArrangeError`` (settings), with ``ConditionError`` (what was asked of the tune as a whole). Some
are answers: ``NotPlayable`` (a bar cannot be played as asked), ``Unfulfillable`` (no arrangement
holds the conditions), ``NotFound`` (none was found), ``OutOfTime`` and ``Stopped``.
``WrongAnswer`` means that a result of ours failed its check: a fault of this program.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fretboard.errors import FretboardError
    from fretboard.presets import hand, instrument
    from scoring.harmony_weights import HarmonyWeights
    from scoring.weights import WeightError, Weights
    from solver.clash import Clash
    from solver.conditions import Conditions
    from solver.conditions.alike import Alike
    from solver.conditions.bars import Bars
    from solver.conditions.costliest import Costliest
    from solver.conditions.few_shapes import FewShapes, LearnedShape
    from solver.conditions.limits import Limits
    from solver.conditions.near import Near, Placed
    from solver.conditions.pins import Pin
    from solver.conditions.quota import Quota
    from solver.errors import ArrangeError, ConditionError, NotFound, NotPlayable, Unfulfillable
    from solver.result import Arrangement
    from solver.righthand import right_hand
    from solver.style import Style
    from solver.watch import OutOfTime, Standing, Stopped, Watch
    from tune.errors import TuneError
    from undersong.alternatives import Alternative, Alternatives
    from undersong.api import arrange, read_tune, verify
    from undersong.chords import lay_chords, propose_chords, with_drone
    from undersong.compare import side_by_side
    from undersong.handed.checking import Checked, check_tab
    from undersong.handed.reading import TabOrder
    from undersong.handed.tab import TabError
    from undersong.ideas import Idea, Ideas
    from undersong.learn import learn_weights
    from undersong.levels.level import Level, read_levels
    from undersong.levels.level_set import LevelSet
    from undersong.levels.nesting import make_levels
    from undersong.mends.mend import Mend
    from undersong.session import Price, Session, WrongAnswer
    from undersong.sheet.document import from_json, to_json
    from undersong.sheet.errors import SheetError
    from undersong.sheet.text import text_tab
    from undersong.sheet.write import write
    from undersong.why import explain_bar

__all__ = [
    "Alike",
    "Alternative",
    "Alternatives",
    "ArrangeError",
    "Arrangement",
    "Bars",
    "Checked",
    "Clash",
    "ConditionError",
    "Conditions",
    "Costliest",
    "FewShapes",
    "FretboardError",
    "HarmonyWeights",
    "Idea",
    "Ideas",
    "LearnedShape",
    "Level",
    "LevelSet",
    "Limits",
    "Mend",
    "Near",
    "NotFound",
    "NotPlayable",
    "OutOfTime",
    "Pin",
    "Placed",
    "Price",
    "Quota",
    "Session",
    "SheetError",
    "Standing",
    "Stopped",
    "Style",
    "TabError",
    "TabOrder",
    "TuneError",
    "Unfulfillable",
    "Watch",
    "WeightError",
    "Weights",
    "WrongAnswer",
    "arrange",
    "check_tab",
    "explain_bar",
    "from_json",
    "hand",
    "instrument",
    "lay_chords",
    "learn_weights",
    "make_levels",
    "propose_chords",
    "read_levels",
    "read_tune",
    "right_hand",
    "side_by_side",
    "text_tab",
    "to_json",
    "verify",
    "with_drone",
    "write",
]

_HOMES = {
    "Alike": "solver.conditions.alike",
    "Alternative": "undersong.alternatives",
    "Alternatives": "undersong.alternatives",
    "ArrangeError": "solver.errors",
    "Arrangement": "solver.result",
    "Bars": "solver.conditions.bars",
    "Checked": "undersong.handed.checking",
    "Clash": "solver.clash",
    "ConditionError": "solver.errors",
    "Conditions": "solver.conditions",
    "Costliest": "solver.conditions.costliest",
    "FewShapes": "solver.conditions.few_shapes",
    "FretboardError": "fretboard.errors",
    "HarmonyWeights": "scoring.harmony_weights",
    "Idea": "undersong.ideas",
    "Ideas": "undersong.ideas",
    "LearnedShape": "solver.conditions.few_shapes",
    "Level": "undersong.levels.level",
    "LevelSet": "undersong.levels.level_set",
    "Limits": "solver.conditions.limits",
    "Mend": "undersong.mends.mend",
    "Near": "solver.conditions.near",
    "NotFound": "solver.errors",
    "NotPlayable": "solver.errors",
    "OutOfTime": "solver.watch",
    "Pin": "solver.conditions.pins",
    "Placed": "solver.conditions.near",
    "Price": "undersong.session",
    "Quota": "solver.conditions.quota",
    "Session": "undersong.session",
    "SheetError": "undersong.sheet.errors",
    "Standing": "solver.watch",
    "Stopped": "solver.watch",
    "Style": "solver.style",
    "TabError": "undersong.handed.tab",
    "TabOrder": "undersong.handed.reading",
    "TuneError": "tune.errors",
    "Unfulfillable": "solver.errors",
    "Watch": "solver.watch",
    "WeightError": "scoring.weights",
    "Weights": "scoring.weights",
    "WrongAnswer": "undersong.session",
    "arrange": "undersong.api",
    "check_tab": "undersong.handed.checking",
    "explain_bar": "undersong.why",
    "from_json": "undersong.sheet.document",
    "hand": "fretboard.presets",
    "instrument": "fretboard.presets",
    "lay_chords": "undersong.chords",
    "learn_weights": "undersong.learn",
    "make_levels": "undersong.levels.nesting",
    "propose_chords": "undersong.chords",
    "read_levels": "undersong.levels.level",
    "read_tune": "undersong.api",
    "right_hand": "solver.righthand",
    "side_by_side": "undersong.compare",
    "text_tab": "undersong.sheet.text",
    "to_json": "undersong.sheet.document",
    "verify": "undersong.api",
    "with_drone": "undersong.chords",
    "write": "undersong.sheet.write",
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found: object = getattr(import_module(_HOMES[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted(__all__)
