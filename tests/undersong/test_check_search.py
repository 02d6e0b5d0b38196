"""What the search finds is sound to a checker that shares no code with it.

A fault here is a bug in one of the two. Slow: every bundled tune in every manner with every right
hand, and a few tunes on other instruments and with other hands.
"""

from itertools import product

import pytest

import corpus
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import hand, instrument
from scoring.weights import Weights
from solver.errors import ArrangeError
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.righthand import right_hands
from solver.search import search
from solver.style import Style, manners_in
from tests.undersong.passages import bar, style_of, tune_of
from tune.readers import read
from tune.time import Metre
from tune.tune import Tune
from undersong.check import check

WALTZ = Metre(3, 4)
JIG = Metre(6, 8)
PATTERNS = tuple(pattern.name for pattern in right_hands())
UNPLAYABLE = "the-vicars-piano"
ROUND = tune_of(
    "D", bar("Bm . G .", section="B"), "A7 . - D/F#", bar("G . A .", repeat_times=2), "D"
)
"""Split bars, a rest, a slash bass, a repeat."""


def found(tune: Tune, style: Style, on: Instrument, left: Hand, weights: Weights) -> Arrangement:
    answer = search(tune, on, left, style, weights)
    proof = Proof(PROVEN if answer.optimal else UNPROVEN, answer.bound, answer.cost - answer.bound)
    return Arrangement(tune, on, left, style, weights, answer.moments, answer.choices, proof)


def assert_sound(
    tune: Tune,
    style: Style,
    on: Instrument | None = None,
    left: Hand | None = None,
    **weights: int,
) -> None:
    priced = Weights.of({name.replace("_", "-"): ms for name, ms in weights.items()})
    arrangement = found(tune, style, on or instrument(), left or Hand(), priced)
    assert [str(fault) for fault in check(arrangement)] == []


SAMPLE = tuple(zip(manners_in("song"), (*PATTERNS, *PATTERNS), strict=False))
"""Each manner once, with the patterns in turn."""


@pytest.mark.parametrize(("manner", "pattern"), SAMPLE)
def test_a_short_tune_in_every_manner(manner: str, pattern: str) -> None:
    assert_sound(ROUND, style_of(manner, pattern))


@pytest.mark.parametrize("manner", ["alternating", "runs"])
@pytest.mark.parametrize("metre", [WALTZ, JIG], ids=str)
def test_a_short_tune_in_other_metres(metre: Metre, manner: str) -> None:
    tune = tune_of(*(bar(chord, metre) for chord in ("D", "", "G", "A", "D")))
    assert_sound(tune, style_of(manner))


def test_foreign_notes_that_cost_nothing_are_sound() -> None:
    """Weights that ask for as many passing, neighbour and approach notes as there may be."""
    weights = {"foreign_bass": 0, "bass_still": 900, "bass_leap": 60}
    assert_sound(ROUND, style_of("walking", "bass-only"), **weights)
    assert_sound(tune_of("D", "G", "D"), style_of("free"), **weights)


@pytest.mark.parametrize(
    ("on", "left", "fields"),
    [
        ("standard", "beginner", {}),
        ("standard", "medium", {"no_chord": "carry"}),
        ("standard", "medium", {"bass_lowest": False}),
        ("chromatic", "small", {"bass_ceiling": 9}),
        pytest.param("four-equidistant", "large", {}, marks=pytest.mark.slow),
    ],
)
def test_other_instruments_and_hands(on: str, left: str, fields: dict[str, object]) -> None:
    style = style_of("alternating", "full-strum", **fields)
    assert_sound(ROUND, style, instrument(on), hand(left))


def test_a_fifth_out_of_reach_gives_way_to_the_root() -> None:
    """Search and checker must agree on when that is."""
    style = style_of("alternating", "full-strum", highest=2)
    for span in (190, 205, 220, 260):
        assert_sound(tune_of("D", "Em", "D"), style, left=Hand(span_mm=span))


def test_an_answer_spoiled_afterwards_is_caught() -> None:
    """The checker is no rubber stamp: the same answer under a lower ceiling does not pass."""
    good = found(ROUND, style_of("alternating"), instrument(), Hand(), Weights())
    style = style_of("alternating", bass_ceiling=4)
    low = Arrangement(
        good.tune, good.instrument, good.hand, style, good.weights, good.moments, good.choices,
        good.proof,
    )  # fmt: skip
    assert {fault.rule for fault in check(low)} == {"fret"}


@pytest.mark.slow
@pytest.mark.parametrize(("manner", "pattern"), tuple(product(manners_in("song"), PATTERNS)))
@pytest.mark.parametrize("name", corpus.names())
def test_every_tune_in_every_manner(name: str, manner: str, pattern: str) -> None:
    tune = read(str(corpus.path(name)))
    style = style_of(manner, pattern)
    if name == UNPLAYABLE:
        with pytest.raises(ArrangeError):
            search(tune, instrument(), Hand(), style, Weights())
    else:
        assert_sound(tune, style)
