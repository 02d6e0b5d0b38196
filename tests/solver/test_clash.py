"""Clashes are real and nothing can be dropped from them: counted out by writing every way down."""

import random
from dataclasses import replace

import pytest

from fretboard.hand import Hand
from fretboard.presets import instrument
from solver.clash import can_be_played, clash_of_bars
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import FewShapes, known_shapes
from solver.conditions.pinned import Barred, FingerDown, OneString
from solver.conditions.pins import Pin
from solver.demands import Demanded, Wanted, demands_in
from solver.righthand import right_hand
from solver.style import Style
from tests.solver.instances import Instance, tiny
from tests.solver.loose_book import LooseBook
from tests.solver.made import case_of

NEAR = 7
"""Semitones above the capo beyond which the cases here have no fret, so that all ways can be
written down even where most demands are left out."""


def short(case: Instance) -> Instance:
    """The case on a fretboard that ends early."""
    capo = case.instrument.capo
    courses = tuple(
        replace(course, frets=tuple(fret for fret in course.frets if fret <= capo + NEAR))
        for course in case.instrument.courses
    )
    return replace(case, instrument=replace(case.instrument, courses=courses))


def wanted_of(case: Instance, conditions: Conditions | None = None) -> Wanted:
    return Wanted(case.tune, case.instrument, case.hand, case.style, conditions or Conditions())


def pinned(case: Instance, seed: int) -> Conditions:
    """Up to three pins by lot, which need not agree with anything."""
    dice = random.Random(f"clash {seed}")
    courses = len(case.instrument.courses)
    pins = []
    for _ in range(dice.choice((0, 0, 1, 2, 3))):
        number = dice.choice(case.tune.bars).number
        course = dice.randrange(courses)
        fret = dice.choice((case.instrument.capo, *case.instrument.frets(course)[:5]))
        forbid = dice.random() < 0.4
        what = OneString(course, courses, fret)
        if forbid and dice.random() < 0.4:
            what = dice.choice((Barred(), FingerDown(dice.randrange(5))))
        pins.append(Pin(Bars(number, number), what, forbid))
    return Conditions(pins=tuple(pins))


def examine(case: Instance, conditions: Conditions) -> bool:
    """Whether there is a clash; AssertionError where it is not just what it says."""
    wanted = wanted_of(case, conditions)
    clash = clash_of_bars(wanted)
    everything = LooseBook(wanted, _all(wanted), 1, len(case.tune.played))
    if clash is None:
        assert everything.playable
        return False
    assert not everything.playable
    assert clash.irreducible
    assert clash.proven
    first, last = clash.played
    kept = frozenset(clash.kept)
    assert not LooseBook(wanted, kept, first, last).playable
    for demand in clash.kept:
        assert LooseBook(wanted, kept - {demand}, first, last).playable, (demand, clash)
    return True


def _all(wanted: Wanted) -> frozenset[Demanded]:
    return frozenset(demands_in(wanted, range(len(wanted.tune.bars))))


@pytest.mark.parametrize("seed", [0, 1, 2, 4, 5, 12, 16, 19, 20, 22, 25, 26, 28, 34])
def test_nothing_can_be_dropped_from_a_clash(seed: int) -> None:
    case = short(tiny(seed))
    assert examine(case, pinned(case, seed)) == (seed != 5)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 300))
def test_nothing_can_be_dropped_from_many_clashes(seed: int) -> None:
    case = short(tiny(seed))
    examine(case, pinned(case, seed))


def pins(*texts: str) -> Conditions:
    return Conditions(pins=tuple(p for t in texts for p in Pin.parse(t, False, instrument())))


def told(case: Instance, conditions: Conditions | None = None) -> str:
    return str(clash_of_bars(wanted_of(case, conditions)))


def test_a_root_that_no_fret_has() -> None:
    assert told(case_of("D", "Eb")) == (
        "bar 2 cannot be played as asked: the bass begins on Eb (the root of Eb) "
        "(manner alternating): the bass string has no Eb at any fret"
    )


def test_a_root_above_the_ceiling_names_both() -> None:
    case = case_of("D", "A", style=Style(bass_ceiling=4))
    assert "(1) the bass goes no higher than fret 2; (2) the bass begins on A" in told(case)


def test_two_pins_that_contradict_each_other() -> None:
    case = case_of("D", "D")
    said = told(case, pins("2: bass 0", "2: bass 7"))
    assert "(1) the pin 'bar 2: bass 0'; (2) the pin 'bar 2: bass 7'" in said
    assert can_be_played(wanted_of(case, pins("2: bass 0")))


def test_one_finger_cannot_stop_two_frets() -> None:
    hand = Hand(name="index alone", may_bar="", not_used="TMRP")
    style = Style(right_hand=right_hand("full-strum"), bass_ceiling=9, highest=5)
    said = told(case_of("Em", hand=hand, style=style), pins("1: 1-1-*"))
    assert "the fingers T M R P are not used" in said
    assert "no finger may bar" in said


def test_no_known_shape_fits() -> None:
    known = FewShapes(known=known_shapes("0-0-1", instrument()))
    said = told(case_of("G"), Conditions(shapes=known))
    assert "every shape is one that is known" in said


def test_what_can_be_played_has_no_clash() -> None:
    case = case_of("D", "G")
    assert clash_of_bars(wanted_of(case)) is None


def test_hands_kept_that_strike_other_strings_clash_with_nothing_but_the_music() -> None:
    """With every other demand left out there would be too much to look at, were all frets tried."""
    case = case_of("D", "G")
    kept = pins("1: keep 0-x-x (bass) then 2-0-0 R (bass+middle+melody) "
                "then 4-0-0 T (bass) then 4-3-0 TR (bass+middle+melody)")  # fmt: skip
    clash = clash_of_bars(wanted_of(case, kept))
    assert clash is not None
    assert clash.irreducible
    assert [demand.kind for demand in clash.kept] == ["pin"]
