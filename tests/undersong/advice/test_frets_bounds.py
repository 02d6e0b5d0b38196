"""What more frets can do: choices are only added, costs are not only lowered, bounds hold."""

from dataclasses import replace
from random import Random

import pytest

from fretboard.errors import FretboardError
from fretboard.frets import fret_semitones
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.moment import Moment, Strokes
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.pinned import BassManner
from solver.conditions.pins import Pin
from solver.errors import ArrangeError
from solver.held import Held
from solver.moments import moments_of
from solver.search import search
from solver.style import Style
from solver.watch import Watch
from tests.solver.instances import EXTRAS, Instance, small
from undersong.advice.at_least import WideRoom, at_least, may_be_bounded
from undersong.advice.piece import Piece
from undersong.api import read_tune

ONE_PLUS = fret_semitones("1+")


def with_more(own: Instrument, seed: int, count: int) -> Instrument:
    """With so many extra frets more, where there is room for them."""
    made = own
    for fret in Random(seed).sample(EXTRAS, len(EXTRAS)):
        try:
            more = made.with_fret(fret)
        except FretboardError:
            continue
        count -= more != made
        made = more
        if count == 0:
            break
    return made


def piece_of(case: Instance) -> Piece:
    return Piece("", case.tune, case.hand, case.weights, style=lambda _: case.style)


def cost_on(case: Instance, on: Instrument) -> int | None:
    """ms of the best there, by the search; None where it cannot be played."""
    try:
        return search(case.tune, on, case.hand, case.style, case.weights).cost
    except ArrangeError:
        return None


def examine(seed: int) -> str:
    """What came of one case: AssertionError where a bound is none."""
    case = small(seed)
    some, all_of_them = (with_more(case.instrument, seed, count) for count in (1, 3))
    piece = piece_of(case)
    if not may_be_bounded(piece, case.instrument, all_of_them) or some == case.instrument:
        return "not bounded"
    own = cost_on(case, case.instrument)
    there = [cost_on(case, on) for on in (some, all_of_them)]
    if own is None:
        return "opened" if any(cost is not None for cost in there) else "cannot"
    bounds = at_least(piece, case.instrument, (some, all_of_them), Watch())
    for least, cost in zip(bounds, there, strict=True):
        assert cost is not None, "what could be played can be played with more frets"
        assert least <= cost, seed
        assert least <= own, "own hands cost no more where the room is her own"
    assert bounds[1] <= bounds[0]
    return "dearer" if max(cost for cost in there if cost is not None) > own else "bounded"


def test_bounds_hold_on_small_random_cases() -> None:
    seen = [examine(seed) for seed in range(40)]
    assert seen.count("bounded") + seen.count("dearer") > 15
    assert "opened" in seen
    assert "dearer" in seen, "more frets are not always cheaper"


@pytest.mark.slow
def test_bounds_hold_on_many_random_cases() -> None:
    seen = [examine(seed) for seed in range(40, 1000)]
    print({kind: seen.count(kind) for kind in sorted(set(seen))})
    assert seen.count("bounded") + seen.count("dearer") > 400


def rows_of(held: Held, moment: Moment) -> set[tuple[Grip, Strokes]]:
    shapes = held.at(moment).shapes
    return {shapes.row(row) for row in range(len(shapes))}


@pytest.mark.parametrize("texture", ["song", "solo"])
def test_every_shape_that_there_was_is_there_with_more_frets(texture: str) -> None:
    tune, style = read_tune("lantern-path"), Style(texture=texture)
    own, more = instrument("traditional"), instrument("1+6+8+13+")
    fewer, all_frets = (Held(on, Hand(), style) for on in (own, more))
    seen = 0
    for moment in moments_of(tune, style, 3)[:24]:
        before, after = (rows_of(held, moment) for held in (fewer, all_frets))
        assert before <= after
        seen += len(after - before)
    assert seen, "and there are new ones"


def test_a_fret_more_can_cost_more() -> None:
    """A new fret narrows the room behind the next one: 1+ that behind fret 2, which Harrow Lane's
    song lives on. Not monotone in cost, so nobody may take that for granted."""
    tune = read_tune("harrow-lane")
    own = instrument()
    costs = [Piece("", tune).session(on).arrange().cost for on in (own, own.with_fret(ONE_PLUS))]
    assert costs[1] > costs[0]
    assert at_least(Piece("", tune), own, [own.with_fret(ONE_PLUS)], Watch()) == (costs[0],)


def test_the_wide_room_is_never_less_than_any_fretboard_between_has() -> None:
    own, full = instrument("traditional"), instrument("1+6+8+13+")
    wide = WideRoom(full.name, full.courses, own=own)
    for between in (own, instrument(), instrument("1+6+"), instrument("6+13+"), full):
        for fret in between.frets(1)[1:]:
            assert wide.gap(1, fret) >= between.gap(1, fret)
    assert all(wide.gap(2, fret) == own.gap(2, fret) for fret in own.frets(2)[1:])


def test_nothing_is_bounded_where_frets_change_what_is_asked() -> None:
    tune, own, more = read_tune("harrow-lane"), instrument(), instrument("1+6+")
    piece = Piece("", tune)
    assert may_be_bounded(piece, own, more)
    figure = Style("figure", texture="bass")
    assert not may_be_bounded(replace(piece, style=lambda _: figure), own, more)
    pinned = Conditions(pins=(Pin(Bars(2, 2), BassManner("figure")),))
    assert not may_be_bounded(replace(piece, conditions=pinned), own, more)

    def ceiling(on: Instrument) -> Style:
        return Style(texture="bass", bass_ceiling=12 + len(on.extra_frets))

    assert not may_be_bounded(replace(piece, style=ceiling), own, more)
