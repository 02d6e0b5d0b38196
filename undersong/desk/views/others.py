"""Other good ways to play the tune.

Public: others_view.
"""

from typing import Any

from undersong.alternatives import Alternatives
from undersong.compared import changes, printed_bars
from undersong.desk.views.answer import answer_view


def others_view(found: Alternatives) -> list[dict[str, Any]]:
    """The best first; more: ms above it."""
    best = found.best
    return [
        {
            "name": "the best" if one.arrangement is best else f"way {number}",
            "more": one.more,
            "words": (
                ""
                if one.arrangement is best
                else f"differs in bars {printed_bars(best.tune, one.bars)}: "
                f"{changes(best, one.arrangement) or 'the same work'}"
            ),
            "answer": answer_view(one.arrangement, seconds=0.0),
        }
        for number, one in enumerate(found.found, 1)
    ]
