"""The difficulty rating in JSON: written for those who read it, verified when it is read back.

Public: difficulty_out, check_difficulty.
"""

from typing import Any

from scoring.difficulty import BarRating, Rating
from undersong.sheet.json_node import Node
from undersong.wording import many


def difficulty_out(rating: Rating) -> dict[str, Any]:
    """Percents and counts, whole numbers; times in ms."""
    return {
        "bars": [_bar_out(bar) for bar in rating.bars],
        "hardest": rating.hardest,
        "median": rating.median,
    }


def check_difficulty(node: Node, rating: Rating) -> None:
    """Refuses a rating that is not that of the choices; SheetError, one sentence."""
    asked = difficulty_out(rating)
    node.object(*asked)
    bars = node["bars"].items()
    if len(bars) != len(asked["bars"]):
        node["bars"].fail(
            f"{many(len(bars), 'bar')} here, and something begins in {len(asked['bars'])}"
        )
    for item, bar in zip(bars, asked["bars"], strict=True):
        item.object(*bar)
        for name, value in bar.items():
            _same(item[name], value)
    for name in ("hardest", "median"):
        _same(node[name], asked[name])


def _same(node: Node, value: int) -> None:
    if node.whole() != value:
        node.wrong(f"{value}, which is what these choices are rated")


def _bar_out(bar: BarRating) -> dict[str, int]:
    parts = bar.parts
    return {
        "bar": bar.bar,
        "rating": bar.rating,
        "stretch": parts.stretch,
        "needed_ms": parts.needed,
        "time_ms": parts.time,
        "shift": int(parts.shift),
        "laid": int(parts.laid),
        "fingers": parts.fingers,
        "shifts": bar.shifts,
        "changes": bar.changes,
        "barred": bar.barred,
    }
