"""An arrangement to listen to: blocks of stereo sound, one after another.

Public: render, render_pieces, Rest, Piece.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from solver.result import Arrangement
from undersong.sheet.errors import SheetError
from undersong.sound.mix import BLOCK, mixed
from undersong.sound.plan import LONGEST, plan_of
from undersong.sound.sound_options import SoundOptions
from undersong.sound.strings import RATE, Samples


@dataclass(frozen=True)
class Rest:
    """Silence between two pieces."""

    seconds: float

    def __post_init__(self) -> None:
        if not 0 <= self.seconds <= LONGEST:
            raise SheetError(f"a rest lasts 0 to {LONGEST} seconds, not {self.seconds:g}")


Piece = SoundOptions | Rest


def render(arrangement: Arrangement, options: SoundOptions | None = None) -> Iterator[Samples]:
    """Blocks of (frames, 2) at ``strings.RATE`` frames a second, left and right, -1 to 1.

    SheetError, one sentence, for what this tune or instrument cannot do; it is raised at once, not
    when the first block is asked for.
    """
    plan = plan_of(arrangement, options or SoundOptions())
    return mixed(plan.events(), arrangement.instrument, float(plan.seconds))


def render_pieces(arrangement: Arrangement, pieces: Iterable[Piece]) -> Iterator[Samples]:
    """The same for passages played in turn, each as its own options ask, with rests between.

    All pieces are looked at before the first block; no more than one is held in memory at a time.
    """
    kept = tuple(pieces)
    plans = {
        piece: plan_of(arrangement, piece) for piece in kept if isinstance(piece, SoundOptions)
    }
    lasting = sum(
        piece.seconds if isinstance(piece, Rest) else float(plans[piece].seconds) for piece in kept
    )
    if lasting > LONGEST:
        raise SheetError(
            f"all of it would last {lasting / 3600:.1f} hours; ask for at most {LONGEST // 3600}"
        )

    def blocks() -> Iterator[Samples]:
        for piece in kept:
            if isinstance(piece, Rest):
                yield from _silence(piece.seconds)
            else:
                plan = plans[piece]
                yield from mixed(plan.events(), arrangement.instrument, float(plan.seconds))

    return blocks()


def _silence(seconds: float) -> Iterator[Samples]:
    left = round(seconds * RATE)
    while left > 0:
        yield np.zeros((min(BLOCK, left), 2), np.float32)
        left -= BLOCK
