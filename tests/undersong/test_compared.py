"""Two arrangements side by side: figures, bars that differ, words. Values are worked out by hand
from the shapes that the test itself puts together."""

import re
from dataclasses import replace

import pytest

from fretboard.grip import Grip
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.terms import TERMS
from scoring.weights import Weights
from solver.moments import moments_of
from solver.result import UNPROVEN, Arrangement, Proof
from solver.style import Style
from tests.solver.made import TWO_FINGERS, tune_of
from tests.undersong.arranged import chart
from tune.readers.abc import read_abc
from tune.tune import Tune
from undersong.compared import (
    _MANY,
    _MUCH,
    bar_cell,
    bars_apart,
    changes,
    figures,
    named_bars,
    printed_bars,
    saves,
)

STRUCK = (True, True, True)
OPEN = Grip((0, 0, 0), (-1, -1, -1), 70)
ONE = Grip((0, 2, 0), (-1, 1, -1), 70)
OTHER_FINGER = Grip((0, 2, 0), (-1, 2, -1), 70)
ACROSS = Grip((0, 9, 9), (-1, 1, 1), 300)


def played(*grips: Grip, struck: tuple[bool, bool, bool] = STRUCK) -> Arrangement:
    """Two moments a bar; the bass' role does not matter here."""
    tune = tune_of(*["D"] * (len(grips) // 2))
    half = tune.bars[0].metre.bar // 2
    moments = tuple(m for m in moments_of(tune, Style(), 3) if m.offset in (0, half))
    choices = tuple(Choice(grip, struck, "root") for grip in grips)
    return Arrangement(
        tune, instrument(), TWO_FINGERS, Style(), Weights(), moments, choices,
        Proof(UNPROVEN, 0, 0),
    )  # fmt: skip


def test_figures_count_what_a_player_counts() -> None:
    found = figures(played(OPEN, ONE, ACROSS, ACROSS))
    assert (found.lowest, found.highest) == (2, 9)
    assert found.shapes == 2, "open strings need no learning"
    assert found.barred == 1, "laid once, then left"
    assert found.shifts == 1, "from the second fret to the fifth"
    assert found.costliest == 2


def test_open_strings_stop_nothing() -> None:
    found = figures(played(OPEN, OPEN))
    assert (found.lowest, found.highest, found.shapes, found.shifts) == (None, None, 0, 0)


def test_bars_are_apart_by_frets_strings_and_strokes_not_by_fingers() -> None:
    one = played(ONE, ONE, ONE, ONE)
    assert bars_apart(one, one) == ()
    assert bars_apart(one, played(ONE, OTHER_FINGER, ONE, ONE)) == ()
    assert bars_apart(one, played(ONE, ONE, ONE, OPEN)) == (2,)
    silent = Grip((0, 2, -1), (-1, 1, -1), 70)
    assert bars_apart(one, played(silent, ONE, ONE, silent)) == (1, 2)
    assert bars_apart(one, played(ONE, ONE, ONE, ONE, struck=(True, True, False))) == (1, 2)


REPEATED = chart("key: D\nmetre: 4/4\n|: D | G | A7 :|\n| D | G |\n")


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((), ""),
        ((1,), "1 (1st time)"),
        ((1, 4), "1"),
        ((1, 2, 4, 5), "1-2"),
        ((4, 5, 6), "1-3 (2nd time)"),
        ((1, 4, 5, 7), "1, 2 (2nd time), 4"),
        ((1, 2, 3, 4, 5, 6, 7, 8), "1-5"),
        ((1, 3, 8), "1 (1st time), 3 (1st time), 5"),
    ],
)
def test_bars_are_named_as_on_the_page(numbers: tuple[int, ...], words: str) -> None:
    assert len(REPEATED.played) == 8
    assert printed_bars(REPEATED, numbers) == words


UPBEAT = chart("key: D\nmetre: 3/4\npickup: 1/4\n| D | G | A7 | D |\n")
COMES_AGAIN = read_abc('X:1\nT:Gate\nM:3/4\nL:1/4\nK:D\n|: A | "D"d3 | "D"d2 :|\n')


@pytest.mark.parametrize(
    ("tune", "numbers", "words", "cell"),
    [
        (UPBEAT, (1,), "the pickup", "pickup"),
        (UPBEAT, (1, 2), "the pickup and bar 1", "pickup, 1"),
        (UPBEAT, (1, 2, 3, 5), "the pickup and bars 1-2, 4", "pickup, 1-2, 4"),
        (UPBEAT, (2, 3), "bars 1-2", "1-2"),
        (UPBEAT, (), "bar ", ""),
        (COMES_AGAIN, (1, 4), "the pickup", "pickup"),
        (COMES_AGAIN, (4, 5), "the pickup (2nd time) and bar 1 (2nd time)",
         "pickup (2nd time), 1 (2nd time)"),
    ],
)  # fmt: skip
def test_a_pickup_is_called_so(tune: Tune, numbers: tuple[int, ...], words: str, cell: str) -> None:
    """A pickup has no number of its own on the page (common practice, no source)."""
    assert tune.bars[0].number == 0
    assert named_bars(tune, numbers) == words
    assert bar_cell(tune, numbers) == cell


def test_changes_are_the_bills_own() -> None:
    best, other = played(OPEN, OPEN), played(OPEN, ONE)
    assert changes(best, best) == ""
    words = changes(best, other)
    down = dict(other.bill.terms)["finger-down"][1] - dict(best.bill.terms)["finger-down"][1]
    assert down == 40
    assert "more finger" in words
    assert changes(other, best).startswith(("less ", "fewer "))


def test_changes_add_up_to_what_the_other_costs_more() -> None:
    many = played(OPEN, ONE, ACROSS, ONE), played(ACROSS, OPEN, ACROSS, OPEN)
    for best, other in (many, many[::-1]):
        words = changes(best, other)
        assert "in all else" in words
        amounts = re.findall(r"(less|fewer|more)[^()]*\((\d+) ms\)", words)
        (rest,) = re.findall(r"(\d+) ms (less|more) in all else", words)
        told = sum(int(ms) * (1 if way == "more" else -1) for way, ms in amounts)
        told += int(rest[0]) * (1 if rest[1] == "more" else -1)
        assert told == other.cost - best.cost


def test_only_what_is_less_is_saved() -> None:
    best, other = played(ONE, ACROSS), played(ONE, ONE)
    words = saves(best, other)
    assert "1 shift" in words
    assert "1 barred shape" in words
    assert "1 shape" in words
    assert "highest fret 1, not 5" in words
    assert saves(other, best) == ""
    assert "open strings only" in saves(best, played(OPEN, OPEN))


def test_frets_can_be_counted_from_the_capo() -> None:
    strung = instrument(capo="1")
    low = Grip((2, 4, 2), (-1, 1, -1), 140)
    high = Grip((2, 9, 9), (-1, 1, 1), 300)
    best = replace(played(low, high), instrument=strung)
    other = replace(played(low, low), instrument=strung)
    assert "not 5" in saves(best, other)
    assert "not 4" in saves(best, other, from_capo=True)


def test_every_cost_has_words_of_its_own() -> None:
    names = {term.about.name for term in TERMS}
    assert set(_MUCH) | set(_MANY) == names
    assert not set(_MUCH) & set(_MANY)
