"""Short tunes, fretboards and rows made up by hand, for tests of advice on extra frets.

Public: IN_D, OWN, piece, boards, made_up.
"""

from fretboard.instrument import Instrument
from fretboard.presets import instrument
from solver.style import Style
from tests.undersong.arranged import chart
from tune.tune import Tune
from undersong.advice.all_frets import FretsAdvice
from undersong.advice.fretboards import Fretboard, with_frets, without_frets
from undersong.advice.frets import CANNOT, NO_EASIER, PLAYED, Outcome, Row
from undersong.advice.piece import Piece

IN_D = chart("key: D\nmetre: 4/4\n| D | G A7 | D |\n")

OWN = instrument()


def piece(tune: Tune, name: str = "a tune", **style: object) -> Piece:
    made = Style(**style)  # type: ignore[arg-type]
    return Piece(name, tune, style=lambda _: made)


def boards(own: Instrument = OWN) -> tuple[Fretboard, ...]:
    return without_frets(own, None) + with_frets(own, None)


def made_up() -> FretsAdvice:
    """Rows by hand: three tunes, with 1+ and with 8+."""
    more = with_frets(OWN, ((3,), (15,)))

    def played(cost: int) -> Outcome:
        return Outcome(PLAYED, cost, cost, cost)

    no = Outcome(CANNOT, why="bar 1: no")
    rows = (
        Row("a", "A", played(1000), (played(900), Outcome(NO_EASIER, None, 1000, 1030))),
        Row("b", "B", no, (played(500), played(600))),
        Row("c", "C", played(800), (played(850), played(700))),
    )
    return FretsAdvice(OWN, more, rows)
