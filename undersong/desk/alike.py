"""Whether two ways of asking ask for the same answer, and where they differ.

Public: differing, Asking.
"""

from collections import Counter
from dataclasses import replace

from solver.demands import Wanted
from solver.result import Arrangement
from undersong.desk.settings import Begun

Asking = Begun | Wanted | Arrangement


def differing(one: Asking, other: Asking) -> tuple[str, ...]:
    """Where they differ: ``tune``, ``style``, ``instrument``, ``hand``, ``conditions``. Names of
    instruments and hands, and the order in which pins and limits stand, decide nothing."""
    same = {
        "tune": one.tune == other.tune,
        "style": one.style == other.style,
        "instrument": replace(one.instrument, name="") == replace(other.instrument, name=""),
        "hand": replace(one.hand, name="") == replace(other.hand, name=""),
        "conditions": _unordered(one) == _unordered(other),
    }
    return tuple(name for name, is_same in same.items() if not is_same)


def _unordered(asked: Asking) -> tuple[object, ...]:
    conditions = asked.conditions
    rest = replace(conditions, pins=(), quotas=())
    return Counter(conditions.pins), Counter(conditions.quotas), rest
