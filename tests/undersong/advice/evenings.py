"""Short tunes and sets of them, invented in the Harrow Lane class, for tests of sets.

Public: TUNES, write_tunes, set_of, on, D_A_D, D_A_A, D_G_D.
"""

from functools import cache
from pathlib import Path

from fretboard import presets
from fretboard.instrument import Instrument
from tune.tune import Tune
from undersong.advice.piece import Piece
from undersong.advice.set_asked import SetAsked, SetTune
from undersong.api import read_tune
from undersong.session import Session

TUNES = {
    "gate": "title: Gate Left Open\nkey: D\nmetre: 4/4\n| D | G | A7 | D |\n",
    "coats": "title: Coats on Hooks\nkey: G\nmetre: 4/4\n| G | D | C D | G |\n",
    "urn": "title: The Tea Urn\nkey: A mixolydian\nmetre: 4/4\n| A | G | D | A |\n",
    "frost": "title: Frost Inside\nkey: E minor\nmetre: 3/4\n| Em | D | G | Em |\n",
    "door": "title: Mind the Door\nkey: D\nmetre: 3/4\n| D | A | G | D |\n",
    "raffle": "title: Raffle Tickets\nkey: D\nmetre: 2/4\n| D | A | D | D |\n",
}


@cache
def _session(tune: Tune, instrument: Instrument) -> Session:
    return Session(tune, instrument=instrument)


class Kept(Piece):
    """A tune whose sessions serve all tests, so that each is built but once."""

    def session(self, instrument: Instrument) -> Session:
        return _session(self.tune, instrument)


def write_tunes(folder: Path) -> None:
    for name, chart in TUNES.items():
        (folder / f"{name}.chart").write_text(chart, encoding="utf-8")


def on(tuning: str, capo: str | int = 0) -> Instrument:
    return presets.instrument(tuning=tuning, capo=capo)


def set_of(
    folder: Path, *lines: tuple[str, tuple[Instrument, ...], str], **asked: object
) -> SetAsked:
    """A set of those tunes: name, ways, medley."""
    write_tunes(folder)
    tunes = tuple(
        SetTune(Kept(name, read_tune(folder / f"{name}.chart")), ways, medley)
        for name, ways, medley in lines
    )
    return SetAsked(tunes, presets.instrument(), **asked)  # type: ignore[arg-type]


D_A_D, D_A_A, D_G_D = on("D-A-d"), on("D-A-A"), on("D-G-d")
