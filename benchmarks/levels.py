"""What five nested levels take beside one answer at the hardest of them.

Each is measured in processes of their own, as a player's commands are, that have loaded everything
and solved nothing: the hardest level's bass manner alone, without caps, and the five bundled levels
of a song. Each level has a bass manner of its own, so five choice graphs are built where one answer
needs one. The same once more in the same process takes less of both, since fingerings are known by
then; their ratio is told too. The target is the project's own: five levels take no more than three
times one answer. Processor seconds, since other work on the machine stretches the clock's; the
search uses one thread.

Public: run.
"""

import time

from benchmarks.alone import Answered, alone, both
from benchmarks.rows import Row
from fretboard.presets import instrument
from solver.style import Style
from solver.watch import Watch
from undersong.api import read_tune
from undersong.levels import levels_for
from undersong.session import Session

TUNES = ("harrow-lane", "wet-boots-in-the-porch", "long-way-round-the-green")
RUNS = 5
TIMES = 3.0


def run(tunes: tuple[str, ...] = TUNES, runs: int = RUNS) -> list[Row]:
    """tunes: bundled ones or files; runs: processes of each."""
    rows = []
    for tune in tunes:
        pairs = [(_alone("hardest", tune), _alone("all_five", tune)) for _ in range(runs)]
        one, five = zip(*pairs, strict=True)
        rows += [
            Row(f"{tune}, the hardest alone", tuple(each.first for each in one), "s"),
            Row("  five levels", tuple(each.first for each in five), "s"),
            Row("  times as long", tuple(b.first / a.first for a, b in pairs), "", TIMES),
            Row("  the same once more", tuple(b.again / a.again for a, b in pairs), ""),
        ]
    return rows


def _alone(what: str, tune: str) -> Answered:
    return Answered(**alone("levels", f"{what}({tune!r})"))


def hardest(name: str) -> Answered:
    style, tune = levels_for("song")[-1].style(Style(), instrument()), read_tune(name)
    return both(lambda: Session(tune, style=style).arrange(watch=Watch(600)), time.process_time)


def all_five(name: str) -> Answered:
    tune = read_tune(name)
    return both(lambda: Session(tune).levels(watch=Watch(600)), time.process_time)
