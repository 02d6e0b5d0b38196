"""The levels of a tune in one view, and what changes between them.

Public: levels_view.
"""

from typing import Any

from undersong.desk.views.answer import answer_view
from undersong.levels import LevelSet, steps_of

KEPT = " Bars that you kept as they were are not kept in the levels, each of which has its own."


def levels_view(found: LevelSet, kept: bool = False) -> dict[str, Any]:
    """The easiest first; a level that is not met has a reason in its answer's place. kept: bars
    that were kept as they were are left out of what is asked."""
    versions = [
        {
            "number": one.level.number,
            "teaches": one.level.teaches,
            "caps": one.level.caps,
            "answer": (
                None
                if one.arrangement is None
                else answer_view(one.arrangement, seconds=found.seconds)
            ),
            "why": one.why,
            "open": one.open,
            "nearest": list(one.nearest),
        }
        for one in found.made
    ]
    return {
        "versions": versions,
        "steps": [str(step) for step in steps_of(found)],
        "verdict": _verdict(found) + (KEPT if kept else ""),
    }


def _verdict(found: LevelSet) -> str:
    if not found.met:
        return "No level can be met."
    if not found.proven:
        return "The time was not enough to prove that these are the best such versions."
    if found.best:
        return "Proven: no set of versions that builds up bar by bar asks less of the hands."
    return "Each version is proven the best that is in no bar harder than the next."
