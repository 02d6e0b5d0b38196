"""What several alternatives take beside one answer.

Each run begins with a fresh session, in this process: first the best alone, then, in another fresh
session, five alternatives (the best among them) that differ from one another in four played bars
and lie within ten percent. Both build the choice graph. The target is the project's own: five
alternatives take no more than three times one answer. Processor seconds of this process, since
other work on the machine stretches the clock's; the search uses one thread.
"""

import time
from collections.abc import Callable

from benchmarks.rows import Row
from solver.style import Style
from solver.watch import Watch
from undersong.alternatives import ENOUGH
from undersong.session import Session

TUNES = ("harrow-lane", "wet-boots-in-the-porch")
MANNERS = ("alternating", "walking")
COUNT, WITHIN, DIFFER = 5, 10, 4
RUNS = 5
TIMES = 3.0


def run() -> list[Row]:
    _alternatives(_session(TUNES[0], MANNERS[0]))  # so that everything is imported
    rows = []
    for tune in TUNES:
        for manner in MANNERS:
            one, several = [], []
            for _ in range(RUNS):
                one.append(_timed(_one, _session(tune, manner)))
                several.append(_timed(_alternatives, _session(tune, manner)))
            ratios = tuple(many / single for many, single in zip(several, one, strict=True))
            name = f"{tune}, {manner}"
            rows.append(Row(f"{name}, one", tuple(one), "s"))
            rows.append(Row(f"  {COUNT} alternatives", tuple(several), "s"))
            rows.append(Row("  times as long", ratios, "", TIMES))
    return rows


def _session(tune: str, manner: str) -> Session:
    return Session(tune, style=Style(manner=manner))


def _one(session: Session) -> None:
    session.arrange(watch=Watch(600))


def _alternatives(session: Session) -> None:
    found = session.alternatives(COUNT, WITHIN, DIFFER, watch=Watch(600))
    if found.end != ENOUGH:
        raise SystemExit(f"{session.tune.title}: {found.why}")


def _timed(what: Callable[[Session], None], session: Session) -> float:
    begun = time.process_time()
    what(session)
    return time.process_time() - begun
