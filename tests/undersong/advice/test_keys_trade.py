"""Facts of the trade that the advice has to come to by itself (tests/TRADE.md, "Tunings").

Sources there: *The Dulcimer Capo and How It Works*; *Capo positions, tunings, chords*; D-A-A Ionian
from 3 and D-A-c Aeolian from 1 under "Tunings". The melodies are invented.
"""

from pathlib import Path

import pytest

from solver.style import Style
from tests.undersong.advice.keyed import choices, melody
from undersong.advice.keys import KeyAdvice, KeysAsked, keys
from undersong.chords import MAKERS

CAPOS = (0, 2, 5, 7)
"""Semitones of no capo and of frets 1, 3 and 4."""


def _drone(folder: Path, key: str, notes: str, **more: object) -> KeyAdvice:
    tune = MAKERS["drone"](melody(folder, key, notes))
    style = Style(texture="drone", manner="held")
    wanted = choices(**{"semitones": (0,), "capos": CAPOS, **more})  # type: ignore[arg-type]
    return keys(KeysAsked(tune, wanted, style=lambda _, __: style))


@pytest.mark.parametrize(
    ("key", "capo", "notes"),
    [
        ("Edor", 2, "E F G A B c d e B A G F E B E E"),
        ("G", 5, "G A B c d e f g d B A B G d G G"),
        ("A", 7, "A B c d e f e a e c B c A e A A"),
    ],
)
def test_capos_on_d_a_d(tmp_path: Path, key: str, capo: int, notes: str) -> None:
    """Capo 1 serves E Dorian, capo 3 G, capo 4 A."""
    advice = _drone(tmp_path, key, notes, tunings=("D-A-d",))
    assert advice.proven
    assert advice.rows[0].best.instrument.capo == capo


def test_d_a_a_has_the_ionian_scale_from_fret_three(tmp_path: Path) -> None:
    """Without 6+ D-A-d has no C sharp above its open string, D-A-A has the scale from 3."""
    advice = _drone(
        tmp_path, "D", "D E F G A B c d c B A F D A D D", tunings=("D-A-d", "D-A-A"), capos=(0,),
        instrument="traditional",
    )  # fmt: skip
    assert [row.best.tuning for row in advice.rows] == ["D-A-A"]
    (near,) = advice.nearest
    assert near.combination.tuning == "D-A-d"
    assert {note.name for note in near.notes} == {"C#5"}


def test_d_a_c_has_the_aeolian_scale_from_fret_one(tmp_path: Path) -> None:
    advice = _drone(
        tmp_path, "Dm", "D E F G A B c d c B A F D A D D", tunings=("D-A-d", "D-A-c"), capos=(0,)
    )
    assert [row.best.tuning for row in advice.rows] == ["D-A-c"]
    assert [near.combination.tuning for near in advice.nearest] == ["D-A-d"]
