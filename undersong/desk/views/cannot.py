"""Why it cannot be played so, and what would mend it: each mend as a change of the work.

Public: cannot_view.
"""

from typing import Any

from solver.clash import Clash
from undersong.desk.views.patches import patch_of
from undersong.desk.work import Work
from undersong.mends.mend import Mend, Mends

SHOWN = 8


def cannot_view(
    sentence: str, clash: Clash | None, mends: Mends | None, work: Work
) -> dict[str, Any]:
    """The mends cheapest first, those that ask more of the hand last."""
    told = "" if clash is None else str(clash)
    return {
        "sentence": sentence,
        "clash": told if told and told != sentence else None,
        "mends": [] if mends is None else [_mend(mend, work) for mend in mends.best(SHOWN)],
        "untried": 0 if mends is None else mends.untried,
    }


def _mend(mend: Mend, work: Work) -> dict[str, Any]:
    return {
        "words": mend.words,
        "loses": mend.loses or "nothing lost",
        "cost": mend.cost,
        "proven": mend.proven,
        "more_of_the_hand": mend.kind.asks_more_of_the_hand,
        "patch": patch_of(mend, work),
    }
