"""The practice plan to play along with: loop after loop, tempo after tempo, rests and all.

Between two places it is silent for the plan's pause.

Public: practice_sound.
"""

from collections.abc import Iterator

from undersong.practice.plan import PAUSE, Plan
from undersong.practice.timing import plan_seconds, played, rest_left
from undersong.sheet.errors import SheetError
from undersong.sound.plan import LONGEST
from undersong.sound.render import Rest, render, render_pieces
from undersong.sound.strings import Samples


def practice_sound(plan: Plan) -> Iterator[Samples]:
    """Blocks of stereo sound; SheetError, one sentence, where there is nothing to play, or hours
    and hours of it.

    One loop at one tempo is held in memory at a time.
    """
    if not plan.spots:
        raise SheetError(
            "there is no change to practise in this tune, so nothing to play along with; write "
            ".txt or .pdf"
        )
    seconds = plan_seconds(plan)
    if seconds > LONGEST:
        raise SheetError(
            f"all of it would last {seconds / 3600:.1f} hours; ask for at most {LONGEST // 3600}, "
            "with fewer places or fewer rounds"
        )
    return _blocks(plan)


def _blocks(plan: Plan) -> Iterator[Samples]:
    for at, spot in enumerate(plan.spots):
        if at:
            yield from render_pieces(plan.arrangement, [Rest(PAUSE)])
        for rung in spot.rungs:
            loop = spot.at(rung.tempo)
            yield from render(loop, played(spot))
            yield from render_pieces(loop, [Rest(rest_left(spot, rung))])
