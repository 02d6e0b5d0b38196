"""The practice plan to play along with: loop after loop, tempo after tempo, rests and all.

Before each tempo a bar is counted in; after each round stands the rest that the plan writes, with
clicks, so that the next round begins in time. Between two places it is silent for the plan's pause.

Public: practice_sound.
"""

from collections.abc import Iterator

from undersong.practice.plan import PAUSE, Plan, Spot
from undersong.sound.render import Rest, render, render_pieces
from undersong.sound.sound_options import MOST_GAP, SoundOptions
from undersong.sound.strings import Samples


def practice_sound(plan: Plan) -> Iterator[Samples]:
    """Blocks of stereo sound; SheetError, one sentence, for what cannot be played.

    One loop at one tempo is held in memory at a time.
    """
    for at, spot in enumerate(plan.spots):
        if at:
            yield from render_pieces(plan.arrangement, [Rest(PAUSE)])
        for rung in spot.rungs:
            yield from render(spot.at(rung.tempo), _played(spot))


def _played(spot: Spot) -> SoundOptions:
    """How one rung is played; the loop's own tempo is the rung's."""
    beat = spot.arrangement.tune.bars[
        spot.arrangement.tune.played[spot.first - 1].written
    ].metre.beat
    gap = min(MOST_GAP, -(-spot.rest_ticks // beat)) if spot.rounds > 1 else 0
    return SoundOptions(count_in=1, click=True, times=spot.rounds, gap=gap)
