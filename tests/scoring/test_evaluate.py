"""The bill: what holds for every passage, weights or no weights."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fretboard.fingering import fingerings
from fretboard.grip import Grip
from scoring.choice import Choice, Shapes, Stands, remembered, sounding_bits, stands
from scoring.evaluate import evaluate
from scoring.moment import ROLES, Moment
from scoring.terms import SHAPE_TERMS, STAND_TERMS, TERMS
from scoring.weights import DEFAULTS, Weights
from tests.scoring.passage import HAND, STANDARD, moment, step
from tests.scoring.test_fitts import grips
from tune.chord import parse_chord

CHORDS = ("D", "G", "A7", "Em", "Bm7", "C/D", "Asus4", "A9", None)


@st.composite
def passages(draw: st.DrawFn) -> tuple[list[Choice], list[Moment]]:
    """One to four moments in which anything may be struck or silent."""
    choices, moments = [], []
    for _ in range(draw(st.integers(1, 4))):
        grip = draw(grips())
        silent = draw(st.tuples(*[st.booleans()] * 3)) if not grip.down else (False,) * 3
        frets = tuple(-1 if off else f for off, f in zip(silent, grip.frets, strict=True))
        struck = tuple(f >= 0 and draw(st.booleans()) for f in frets)
        role = draw(st.sampled_from(ROLES)) if struck[0] else None
        choices.append(Choice(Grip(frets, grip.fingers, grip.place), struck, role))
        flags = {
            name: draw(st.booleans())
            for name in ("change", "downbeat", "half_bar", "moves", "run", "judged", "damped")
        }
        lengths = {"length": draw(st.integers(1, 40320)), "ms": draw(st.integers(1, 4000))}
        moments.append(moment(draw(st.sampled_from(CHORDS)), **flags, **lengths))
    return choices, moments


WEIGHTS = st.dictionaries(st.sampled_from(sorted(DEFAULTS)), st.integers(0, 100)).map(Weights.of)


@settings(max_examples=40, deadline=None)
@given(passages(), WEIGHTS, WEIGHTS)
def test_amounts_are_whole_and_no_weight_touches_them(
    passage: tuple[list[Choice], list[Moment]], one: Weights, other: Weights
) -> None:
    bills = [evaluate(*passage, STANDARD, HAND, weights) for weights in (one, other)]
    assert bills[0].amounts == bills[1].amounts
    for row in bills[0].amounts:
        assert all(type(amount) is int and amount > 0 for amount in row.values())
        assert set(row) <= set(DEFAULTS)


@settings(max_examples=40, deadline=None)
@given(passages(), WEIGHTS)
def test_the_total_is_weight_times_amount(
    passage: tuple[list[Choice], list[Moment]], weights: Weights
) -> None:
    made = evaluate(*passage, STANDARD, HAND, weights)
    by_hand = sum(
        amount * dict(weights.items())[name] for row in made.amounts for name, amount in row.items()
    )
    assert made.total == by_hand
    assert made.total == sum(made.at(index) for index in range(len(made.amounts)))
    assert list(made.terms) == [term.about.name for term in TERMS]
    for name, (amount, cost) in made.terms.items():
        assert amount == sum(row.get(name, 0) for row in made.amounts)
        assert cost == amount * weights[name]


@settings(max_examples=25, deadline=None)
@given(passages())
def test_a_passage_costs_what_its_pairs_cost(passage: tuple[list[Choice], list[Moment]]) -> None:
    # moving terms look at two moments, so cutting a passage in two changes only the cut
    choices, moments = passage
    whole = evaluate(choices, moments, STANDARD, HAND, Weights()).amounts
    moving = {"hand-shift", "finger-travel", "finger-slide", "finger-down", "finger-up", "hurry",
              "voice-leap", "parallel-fifths"}  # fmt: skip
    for at, pair in enumerate(pairwise(zip(choices, moments, strict=True))):
        two = evaluate([c for c, _ in pair], [m for _, m in pair], STANDARD, HAND, Weights())
        assert _only(two.amounts[1], moving) == _only(whole[at + 1], moving)
        assert not _only(two.amounts[0], moving)


def _only(row: dict[str, int], names: set[str]) -> dict[str, int]:
    return {name: amount for name, amount in row.items() if name in names}


@settings(max_examples=25, deadline=None)
@given(st.data(), st.sampled_from([chord for chord in CHORDS if chord]))
def test_many_shapes_at_once_cost_what_each_costs_alone(data: st.DataObject, chord: str) -> None:
    rows = [
        (grip, (True, True, True)) for grip in data.draw(st.lists(grips(), min_size=2, max_size=6))
    ]
    here = moment(chord, change=True, judged=True, half_bar=True)
    shapes = Shapes.of(rows, STANDARD, HAND)
    heard = sounding_bits(shapes, here.chord) & remembered(here.chord)
    zeros = np.zeros(len(rows), np.int32)
    together = Stands(shapes, zeros, shapes.pitch[:, 0], heard)
    singly = [stands([Choice(*row, "root")], [here], STANDARD, HAND) for row in rows]
    for shape in SHAPE_TERMS:
        alone = [int(shape.amount(one.shapes)[0]) for one in singly]
        assert shape.amount(shapes).tolist() == alone, shape.about.name
    for stand in STAND_TERMS:
        alone = [int(stand.amount(one, here)[0]) for one in singly]
        assert stand.amount(together, here).tolist() == alone, stand.about.name


def test_a_bill_worked_by_hand() -> None:
    # D 0-0-2, judged, then G 3-1-0 a slow quarter later, then the same again
    choices = [
        step("0-0-2", "--M", 160),
        step("3-1-0", "TI-", 100),
        step("3-1-0", "TI-", 100),
    ]
    moments = [
        moment("D", change=True, judged=True, ms=4000),
        moment("G", change=True, judged=True, ms=4000),
        moment("G", judged=True, ms=4000),
    ]
    made = evaluate(choices, moments, STANDARD, HAND, Weights())
    # 0-0-2: M on the melody string is not its habit, nothing else is wrong
    # to 3-1-0: the hand 60 mm onto fret 3's 30.5 mm: 60 + 100·log2(2.967) = 216.9
    # T hovers at +41.0, lands at 172.0 − 100 = 72.0: 31.0 along, 16 across: 34.9, W = 30.5:
    #   20 + 45·log2(2.144) = 69.5; I hovers at 0, lands at 74.8 − 100 = −25.2: 25.2 along, 16
    #   across: 29.9, W = 74.8: 20 + 45·log2(1.400) = 41.8; M lifted
    # hurry: 217 + 70 of 4000: none; melody F♯ → D leaps 4 semitones, two beyond a step;
    # middle A → B is a step; bass D → G 5 semitones, three beyond a step
    assert made.amounts == (
        {"unaccustomed-finger": 1},
        {"hand-shift": 217, "finger-travel": 70 + 42, "finger-down": 2, "finger-up": 1,
         "bass-leap": 3, "voice-leap": 2},
        {},
    )  # fmt: skip
    cost = {name: DEFAULTS[name] for name in DEFAULTS}
    assert made.at(0) == cost["unaccustomed-finger"]
    assert made.at(2) == 0
    assert made.total == made.at(0) + made.at(1)


def test_choices_and_moments_go_together() -> None:
    with pytest.raises(ValueError, match="zip"):
        evaluate([step("0-0-0")], [moment(), moment()], STANDARD, HAND, Weights())


def test_what_is_remembered_is_all_but_the_fifth() -> None:
    chord = parse_chord("A7")  # bits: root 1, third 2, fifth 4, seventh 8
    assert remembered(chord) == 1 + 2 + 8
    assert remembered(None) == 0
    frets = tuple(Grip(f, (-1, -1, -1), 100) for f in ((0, 0, 0), (-1, -1, -1)))
    shapes = Shapes.of([(grip, (True,) * 3) for grip in frets], STANDARD, HAND)
    assert sounding_bits(shapes, chord).tolist() == [1, 0]  # D A D has A's root only
    assert sounding_bits(shapes, None).tolist() == [0, 0]


def test_the_line_and_the_tones_heard_follow_along() -> None:
    choices = [step("0-0-2", "--M"), step("4-0-0", "M--", struck=".um"), step("x-x-x")]
    moments = [moment("D", change=True), moment("D"), moment(None)]
    passage = stands(choices, moments, STANDARD, HAND)
    assert passage.line.tolist() == [50, 50, -1]
    assert passage.heard.tolist()[:2] == [1 + 2, 1 + 2]
    assert passage.role.tolist() == [ROLES.index("root"), -1, -1]


def test_shapes_give_back_the_rows_they_were_made_of() -> None:
    rows = [(grip, (True, False, True)) for grip in fingerings((5, 5, 9), STANDARD, HAND)]
    shapes = Shapes.of(rows, STANDARD, HAND)
    assert [shapes.row(index) for index in range(len(shapes))] == rows
    assert shapes.take(np.array([2, 0])).row(0) == rows[2]
