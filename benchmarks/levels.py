"""What five nested levels take beside one answer at the hardest of them.

Each run begins with a fresh session, in this process: first the hardest level's bass manner alone,
without caps, then, in other fresh sessions, the five bundled levels of a song. Each level has a
bass manner of its own, so five choice graphs are built where one answer needs one. The target is
the project's own: five levels take no more than three times one answer. Processor seconds of this
process, since other work on the machine stretches the clock's; the search uses one thread.
"""

import time
from collections.abc import Callable

from benchmarks.rows import Row
from solver.style import Style
from solver.watch import Watch
from undersong.levels import levels_for
from undersong.session import Session

TUNES = ("harrow-lane", "wet-boots-in-the-porch", "long-way-round-the-green")
RUNS = 5
TIMES = 3.0


def run(tunes: tuple[str, ...] = TUNES, runs: int = RUNS) -> list[Row]:
    """tunes: bundled ones or files; runs: of each."""
    _one(tunes[0])  # so that everything is imported
    rows = []
    for tune in tunes:
        one, five, rounds = [], [], 0
        for _ in range(runs):
            one.append(_timed(_one, tune))
            begun = time.process_time()
            rounds = _five(tune)
            five.append(time.process_time() - begun)
        ratios = tuple(many / single for many, single in zip(five, one, strict=True))
        rows.append(Row(f"{tune}, the hardest alone", tuple(one), "s"))
        rows.append(Row("  five levels", tuple(five), "s", note=f"{rounds} rounds"))
        rows.append(Row("  times as long", ratios, "", TIMES))
    return rows


def _one(tune: str) -> None:
    hardest = levels_for("song")[-1]
    Session(tune, style=hardest.style(Style())).arrange(watch=Watch(600))


def _five(tune: str) -> int:
    return Session(tune).levels(watch=Watch(600)).rounds


def _timed(what: Callable[[str], None], tune: str) -> float:
    begun = time.process_time()
    what(tune)
    return time.process_time() - begun
