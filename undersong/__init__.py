"""Chords with a moving bass for the fretted dulcimer: the easiest playable arrangement, proven.

In short::

    import undersong

    tune = undersong.read_tune("harrow-lane")
    tab = undersong.arrange(tune, instrument="standard", hand="small")
    undersong.write(tab, "harrow-lane.txt")

Every public name stands in ``__all__``. Names are looked up when they are first used, so that
importing the package costs nothing.

What is wrong with the input raises a ValueError of one sentence: ``TuneError`` (music),
``FretboardError`` (instrument, tuning, hand), ``WeightError``, ``SheetError`` (files written), or
``ArrangeError`` (settings), of which ``NotPlayable`` is the answer that a bar cannot be played as
asked. ``WrongAnswer`` means that a result of ours failed its check: a fault of this program.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fretboard.errors import FretboardError
    from fretboard.presets import hand, instrument
    from scoring.weights import WeightError, Weights
    from solver.errors import ArrangeError, NotPlayable
    from solver.result import Arrangement
    from solver.righthand import right_hand
    from solver.style import Style
    from tune.errors import TuneError
    from undersong.api import WrongAnswer, arrange, read_tune, verify
    from undersong.sheet.document import from_json, to_json
    from undersong.sheet.errors import SheetError
    from undersong.sheet.text import text_tab
    from undersong.sheet.write import write

__all__ = [
    "ArrangeError",
    "Arrangement",
    "FretboardError",
    "NotPlayable",
    "SheetError",
    "Style",
    "TuneError",
    "WeightError",
    "Weights",
    "WrongAnswer",
    "arrange",
    "from_json",
    "hand",
    "instrument",
    "read_tune",
    "right_hand",
    "text_tab",
    "to_json",
    "verify",
    "write",
]

_HOMES = {
    "ArrangeError": "solver.errors",
    "Arrangement": "solver.result",
    "FretboardError": "fretboard.errors",
    "NotPlayable": "solver.errors",
    "SheetError": "undersong.sheet.errors",
    "Style": "solver.style",
    "TuneError": "tune.errors",
    "WeightError": "scoring.weights",
    "Weights": "scoring.weights",
    "WrongAnswer": "undersong.api",
    "arrange": "undersong.api",
    "from_json": "undersong.sheet.document",
    "hand": "fretboard.presets",
    "instrument": "fretboard.presets",
    "read_tune": "undersong.api",
    "right_hand": "solver.righthand",
    "text_tab": "undersong.sheet.text",
    "to_json": "undersong.sheet.document",
    "verify": "undersong.api",
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
