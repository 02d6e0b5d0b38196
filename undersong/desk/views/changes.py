"""What is different in an answer against the one that was on the page before.

Public: changes_view.
"""

from typing import Any

from solver.result import Arrangement
from undersong.compare import CompareError, side_by_side
from undersong.compare.shown import shown_hands
from undersong.compare.side import Side
from undersong.compared import printed_bars


def changes_view(before: Arrangement, after: Arrangement) -> list[dict[str, Any]]:
    """A row for each played bar that differs; one row for all where the bars do not correspond."""
    try:
        found = side_by_side((before, after))
    except CompareError:
        return [{"played": 0, "number": "", "words": "another tune: every bar is new"}]
    rows = []
    for row in found.differing:
        old, new = (_hands(answer, side) for answer, side in
                    zip(found.answers, row.sides, strict=True))  # fmt: skip
        differs = ", ".join(row.differs)
        words = f"{differs}: {old} became {new}" if old != new else differs
        rows.append(
            {
                "played": row.bar,
                "number": printed_bars(after.tune, (row.bar,)),
                "words": words,
            }
        )
    return rows


def _hands(answer: Arrangement, side: Side) -> str:
    shapes = [shown_hands(answer, s.frets, s.fingers, s.struck) for s in side.strokes]
    return ", ".join(shapes) or "rings on"
