"""The checker on what was asked of the whole tune: passages made by hand, counted by hand."""

from dataclasses import replace

import pytest

from fretboard.hand import Hand
from scoring.difficulty import bar_difficulties
from solver.conditions import Conditions
from solver.conditions.alike import Alike, classes_of
from solver.conditions.bars import Bars
from solver.conditions.cost import extra_cost
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, LearnedShape
from solver.conditions.quota import Quota
from solver.result import PROVEN, Arrangement, Proof
from tests.undersong.passages import SOUND, alternating, arranged, bar, style_of, tune_of, with_line
from undersong.check import Fault, check
from undersong.check.conditions import conditions_cost, places_again

CONDITION_RULES = {"alike", "shapes", "quota", "pin"}

D = LearnedShape((None, None, 4), (None, None, 1))
G = LearnedShape((5, 2, None), (0, 1, None))


def asked(arrangement: Arrangement, **conditions: object) -> Arrangement:
    """The same with conditions and a proof of its cost."""
    made = replace(arrangement, conditions=Conditions(**conditions))  # type: ignore[arg-type]
    return replace(made, proof=Proof(PROVEN, made.asked_cost, 0))


def told(arrangement: Arrangement) -> list[Fault]:
    return [fault for fault in check(arrangement) if fault.rule in CONDITION_RULES]


ROUND = "0 x x | - - - | 100 | b-- | root\n0 0 4 | - - I | 140 | -ms\n"
OTHER = "0 x x | - - - | 100 | b-- | root\n0 5 4 | - T I | 140 | -ms\n"


def four_times(lines: str) -> Arrangement:
    """D under the names A, B, a, and the A before again: two strokes a bar, in two."""
    bars = [bar("D", number=1, section="A"), bar("D", number=2, section="B", repeat_times=2),
            bar("D", number=3, section="a")]  # fmt: skip
    halves = [replace(one, repeat_start=one.number == 2) for one in bars]
    return arranged(tune_of(*halves), style_of("roots"), lines)


@pytest.mark.parametrize("name", SOUND)
def test_nothing_asked_is_no_fault(name: str) -> None:
    assert told(SOUND[name]()) == []
    assert conditions_cost(SOUND[name]()) == 0


@pytest.mark.parametrize(
    ("what", "pairs"),
    [
        ("repeats", {8: 4, 9: 5, 10: 6, 11: 7}),
        ("sections", {8: 4, 9: 5, 10: 6, 11: 7, 12: 0, 13: 1, 14: 2, 15: 3}),
        ("bars", {4: 0, 5: 1, 6: 2, 7: 3, 8: 0, 9: 1, 10: 2, 11: 3, 12: 0, 13: 1, 14: 2, 15: 3}),
    ],
)
def test_what_comes_again(what: str, pairs: dict[int, int]) -> None:
    """Four strokes a bar; that the last two lead to no chord is nothing to a root."""
    made = four_times(ROUND * 8)
    again = places_again(made.tune, made.moments, what)
    assert {n: first for n, first in enumerate(again) if n != first} == pairs
    classes = classes_of(made.tune, made.moments, what)
    assert [classes.index(number) for number in classes] == again


def test_a_way_on_to_another_chord_matters_to_approach_notes() -> None:
    """Walking, every bar of D: the weak beats may take an approach note where a chord follows."""
    made = SOUND["walking"]()
    again = places_again(made.tune, made.moments, "bars")
    assert "approach" in made.moments[3].roles
    assert again[8:] == [0, 1, 2, 11]
    assert "approach" not in made.moments[2].roles


@pytest.mark.parametrize("what", ["repeats", "sections", "bars"])
def test_other_hands_the_second_time_are_named(what: str) -> None:
    same = asked(four_times(ROUND * 8), alike=Alike(what))
    assert check(same) == ()
    other = asked(four_times(ROUND * 4 + OTHER + ROUND * 3), alike=Alike(what))
    first = 1 if what == "bars" else 2
    faults = check(other)
    assert [(f.bar, f.rule) for f in faults] == [(3, "alike")]
    assert f"comes again as in bar {first}," in faults[0].message


def test_differing_bars_are_counted_once() -> None:
    both = four_times(ROUND * 4 + OTHER * 2 + OTHER + ROUND)
    for what, bars in (("repeats", 1), ("sections", 2), ("bars", 2)):
        made = asked(both, alike=Alike(what, 70))
        assert conditions_cost(made) == 70 * bars
        assert made.asked_cost == made.cost + 70 * bars
        assert check(made) == ()


def test_the_place_of_the_hand_and_its_way_do_not_count() -> None:
    """The hand waits elsewhere with no finger down."""
    moved = "0 x x | - - - | 60 | b-- | root\n0 0 4 | - - I | 140 | -ms\n"
    assert told(asked(four_times(ROUND * 4 + moved + ROUND * 3), alike=Alike("bars"))) == []


# shapes


@pytest.mark.parametrize(("most", "wrong"), [(0, True), (8, True), (9, False), (20, False)])
def test_different_shapes_are_counted(most: int, wrong: bool) -> None:
    """- - 4; 7 - 4; 5 - -; 5 2 -; - 2 -; 7 - -; 7 4 2; 2 4 2: eight, and the strum of bar 4 in
    other fingers makes nine."""
    made = with_line(alternating(), 13, "0 0 4 | - - M | 160 | -ms")
    made = with_line(made, 14, "0 0 4 | - - M | 160 | b-- | root")
    made = with_line(made, 15, "0 0 4 | - - M | 160 | -ms")
    faults = told(asked(made, shapes=FewShapes(most)))
    assert [(f.bar, f.rule) for f in faults] == [(0, "shapes")] * wrong
    if wrong:
        assert "9 different shapes" in faults[0].message
        assert f"at most {most} " in faults[0].message


def test_shapes_that_nobody_knows_are_named() -> None:
    known = (D, LearnedShape((7, None, 4)), LearnedShape((5, None, None)), G)
    faults = told(asked(alternating(), shapes=FewShapes(known=known)))
    # bar 2 lifts the thumb; bar 3 has the root alone, and two more
    assert [(f.bar, f.offset > 0, f.rule) for f in faults] == [
        (2, True, "shapes"), (3, False, "shapes"), (3, True, "shapes"), (3, True, "shapes"),
    ]  # fmt: skip
    assert [f.message.split(" is ")[0] for f in faults] == [
        "the shape x-1-x (- I -)",
        "the shape 4-x-x (T - -)",
        "the shape 4-2-1 (T I R)",
        "the shape 1-2-1 (P I R)",
    ]
    priced = asked(alternating(), shapes=FewShapes(known=known, price=30))
    assert told(priced) == []
    assert conditions_cost(priced) == 120


def test_a_known_shape_with_other_fingers_is_another() -> None:
    with_thumb = LearnedShape((None, None, 4), (None, None, 0))
    for known, others in (
        ((), 1),
        ((D,), 0),
        ((with_thumb,), 1),
        ((LearnedShape((None, None, 4)),), 0),
    ):
        made = asked(four_times(ROUND * 8), shapes=FewShapes(known=known, price=1))
        assert conditions_cost(made) == others
        assert (
            extra_cost(made.conditions, made.tune, made.moments, made.choices, made.bill) == others
        )


# quotas


def counts(arrangement: Arrangement, quota: Quota) -> int:
    """What the checker counted, by asking for more than can be."""
    (fault,) = told(asked(arrangement, quotas=(replace(quota, least=99, most=None),)))
    assert (fault.bar, fault.rule) == (0, "quota")
    return int(fault.message.split()[2])


@pytest.mark.parametrize(
    ("quota", "count"),
    [
        (Quota("passing", 0), 1),  # of the three foreign notes one is passing
        (Quota("passing", 0, bars=Bars(1, 1)), 1),
        (Quota("passing", 0, bars=Bars(2, 3)), 0),
        (Quota("barred", 0), 0),
        # I from place 70 to 140, 30 mm on, 60 on, 50 on, and 50 back, then far back; every one of
        # them more than the fingers give, and no finger stays
        (Quota("shifts", 0), 11),
        (Quota("shifts", 0, bars=Bars(2, 2)), 4),
    ],
)
def test_what_is_counted_in_a_walk(quota: Quota, count: int) -> None:
    walk = SOUND["walking"]()
    numbered = replace(
        walk.tune, bars=tuple(replace(one, number=n) for n, one in enumerate(walk.tune.bars, 1))
    )
    assert counts(replace(walk, tune=numbered), quota) == count


def test_limits_are_held_to() -> None:
    walk = SOUND["walking"]()
    for quota in (Quota("passing", 1), Quota("passing", most=1), Quota("passing", 0, 2)):
        assert told(asked(walk, quotas=(quota,))) == []
    (few,) = told(asked(walk, quotas=(Quota("passing", 2, 5),)))
    assert few.message == "there is 1 passing note in the whole tune; at least 2 asked for"
    (many,) = told(asked(walk, quotas=(Quota("passing", most=0),)))
    assert many.message == "there is 1 passing note in the whole tune; at most 0 asked for"


def test_bars_laid_anew_are_counted() -> None:
    """G over B with the middle finger across two strings, twice the same: laid once; and the
    first moment of all counts."""
    assert counts(SOUND["strummed"](), Quota("barred", 0)) == 1
    barred = "9 5 5 | T M M | 210 | bms | slash bass\n"
    made = arranged(tune_of("G/B", "G/B"), style_of("roots", "full-strum"), barred * 8)
    assert counts(made, Quota("barred", 0)) == 1
    lifted = barred * 4 + barred.replace("T M M", "T M R") * 1 + barred * 3
    assert counts(replace(made, choices=arranged(
        made.tune, made.style, lifted).choices), Quota("barred", 0)) == 2  # fmt: skip


def test_hard_bars_are_counted_every_time() -> None:
    made = four_times(ROUND * 6 + OTHER * 2)
    percents = bar_difficulties(made.choices, made.moments, made.instrument, made.hand)
    assert set(percents) == {1, 2, 3, 4}
    assert counts(made, Quota("hard", 0, above=0)) == 4
    assert counts(made, Quota("hard", 0, above=0, bars=Bars(2, 2))) == 2
    least, most = min(percents.values()), max(percents.values())
    assert least < most == percents[4]
    assert counts(made, Quota("hard", 0, above=most - 1)) == 1
    assert counts(made, Quota("hard", 0, above=most)) == 0
    assert counts(made, Quota("hard", 0, above=least - 1)) == 4


def test_bars_that_the_tune_does_not_have() -> None:
    (fault,) = told(asked(alternating(), quotas=(Quota("shifts", 0, bars=Bars(section="C")),)))
    assert "section C, which the tune does not have" in fault.message


def test_sections_are_counted_wherever_they_come() -> None:
    made = four_times(ROUND * 8)
    for name, bars in (("a", 2), ("B", 2)):
        quota = Quota("hard", 0, above=0, bars=Bars(section=name))
        assert counts(made, quota) == bars


# the price of the costliest moment


def test_the_costliest_moment_is_priced() -> None:
    made = asked(alternating(), costliest=Costliest(3))
    worst = max(made.bill.at(n) for n in range(len(made.moments)))
    assert conditions_cost(made) == 3 * worst == made.asked_cost - made.cost
    assert check(made) == ()
    first = asked(alternating(), costliest=Costliest())
    assert conditions_cost(first) == 0


def test_a_proof_that_forgets_what_was_asked_is_caught() -> None:
    made = asked(alternating(), costliest=Costliest(3))
    forgot = replace(made, proof=Proof(PROVEN, made.cost, 0))
    assert [fault.rule for fault in check(forgot)] == ["cost"]
    assert "for what was asked" in check(forgot)[0].message


def test_hands_that_cannot_be_timed_are_not_counted() -> None:
    """A fret that is not there is the only thing to say."""
    made = asked(alternating(), quotas=(Quota("shifts", most=0),))
    wrong = with_line(replace(made, hand=Hand()), 1, "0 0 3 | - - I | 100 | -ms")
    assert "quota" not in {fault.rule for fault in check(wrong)}
