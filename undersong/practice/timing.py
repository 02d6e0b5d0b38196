"""How a practice plan is played along with, and how long that takes.

Before each tempo a bar is counted in; a click goes on each beat. After each round stands the rest
that the plan writes, with clicks, so that the next round begins in time; after the last of a tempo
the strings ring out into it.

Public: played, rest_left, rung_seconds, plan_seconds.
"""

from undersong.practice.ladder import Rung
from undersong.practice.plan import PAUSE, WARM_UP, Plan, Spot
from undersong.sound.plan import RING_OUT, plan_of
from undersong.sound.sound_options import SoundOptions


def played(spot: Spot) -> SoundOptions:
    """How one rung is played; the tempo is that of ``Spot.at``."""
    gap = spot.rest_beats if spot.rounds > 1 else 0
    return SoundOptions(count_in=1, click=True, times=spot.rounds, gap=gap)


def rest_left(spot: Spot, rung: Rung) -> float:
    """Seconds of the rest after a tempo's last round that are left when the strings have rung
    out."""
    loop = spot.at(rung.tempo).tune
    rest = loop.tempo_at(len(loop.bars) - 1).milliseconds(spot.rest_ticks) / 1000
    return max(0.0, rest - float(RING_OUT))


def rung_seconds(spot: Spot, rung: Rung) -> float:
    """How long a tempo takes: counting in, its rounds, each with its rest."""
    music = plan_of(spot.at(rung.tempo), played(spot)).seconds
    return float(music) + rest_left(spot, rung)


def plan_seconds(plan: Plan) -> float:
    """Warming up, all loops, and the rests between them."""
    loops = sum(rung_seconds(spot, rung) for spot in plan.spots for rung in spot.rungs)
    return WARM_UP + loops + PAUSE * len(plan.spots)
