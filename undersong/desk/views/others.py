"""Other good ways to play the tune.

Public: others_view.
"""

from typing import Any

from undersong.alternatives import Alternative, Alternatives
from undersong.compared import changes, named_bars
from undersong.desk.views.answer import answer_view
from undersong.desk.views.why import keeping


def others_view(found: Alternatives) -> list[dict[str, Any]]:
    """The best first; more: ms above it; pins: what leaves its bars as they are, texts that a work
    takes: without them the next search would find the best again."""
    best = found.best
    return [
        {
            "name": "the best" if one.arrangement is best else f"way {number}",
            "more": one.more,
            "words": (
                ""
                if one.arrangement is best
                else f"differs in {named_bars(best.tune, one.bars)}: "
                f"{changes(best, one.arrangement) or 'the same work'}"
            ),
            "pins": [] if one.arrangement is best else _pins(one),
            "answer": answer_view(one.arrangement, seconds=0.0),
        }
        for number, one in enumerate(found.found, 1)
    ]


def _pins(one: Alternative) -> list[str]:
    texts = [text for played in one.bars for text in keeping(one.arrangement, played)]
    return list(dict.fromkeys(texts))
