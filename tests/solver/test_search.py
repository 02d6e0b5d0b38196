"""The search from a tune to an answer: what is kept between solves, what is told, what is refused.

How an answer is proven is tested in ``test_proof``.
"""

from dataclasses import replace

import pytest

import corpus
import solver.search as searching
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.evaluate import evaluate
from scoring.moment import FOREIGN
from scoring.weights import DEFAULTS, Weights
from solver.conditions import NONE, Conditions
from solver.conditions.alike import Alike
from solver.conditions.bars import WHOLE
from solver.conditions.few_shapes import FewShapes
from solver.conditions.pinned import BassManner
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.errors import NotPlayable, Unfulfillable
from solver.moments import moments_of
from solver.righthand import right_hand
from solver.search import Search, search
from solver.style import Style
from solver.watch import OutOfTime, Standing, Stopped, Watch
from tests.solver.made import case_of
from tune.readers import read

CASE = case_of("D", "G", "A7", "D")
SHORT = case_of("Em", "A", metre="2/4", hand=Hand(not_used="TMRP"))


def timeless(answer):
    return replace(answer, seconds=0.0)


def test_seconds_are_the_clocks_and_nothing_else_changes() -> None:
    one, other = search(*CASE.asked), search(*CASE.asked)
    assert one.seconds > 0
    assert timeless(one) == timeless(other)


def test_the_answer_costs_what_the_scoring_room_says() -> None:
    answer = search(*CASE.asked)
    bill = evaluate(answer.choices, answer.moments, CASE.instrument, CASE.hand, CASE.weights)
    assert answer.cost == answer.bound == answer.free == bill.total
    assert answer.optimal


ASKED = {
    "nothing": NONE,
    "alike": Conditions(alike=Alike("bars")),
    "few shapes": Conditions(shapes=FewShapes(6)),
    "quota": Conditions(quotas=(Quota("shifts", most=0),)),
    "manner": Conditions(pins=(Pin(WHOLE, BassManner("roots")),)),
}


def test_a_search_that_is_used_again_answers_as_a_new_one_would() -> None:
    """Whatever was asked of it before: graphs and costs are kept, answers are not."""
    kept = Search(*CASE.asked[:4])
    other = CASE.weights.updated({"foreign-bass": 0, "bass-leap": 60})
    asked = [(w, c) for c in ASKED.values() for w in (CASE.weights, other)]
    for weights, conditions in [*asked, *asked[::-3]]:
        fresh = search(*CASE.asked[:4], weights, conditions)
        assert timeless(kept.solve(weights, conditions)) == timeless(fresh)


def test_the_graph_is_built_once_for_each_manner(monkeypatch) -> None:
    built = []

    def counted(*asked):
        built.append(asked)
        return true(*asked)

    true = searching.build_graph
    monkeypatch.setattr(searching, "build_graph", counted)
    kept = Search(*CASE.asked[:4])
    for conditions in [*ASKED.values(), *ASKED.values()]:
        kept.solve(CASE.weights, conditions)
    assert len(built) == 2


def test_free_is_what_the_easiest_way_costs_with_the_same_pins() -> None:
    pin = Pin(WHOLE, BassManner("roots"))
    pinned = search(*CASE.asked, Conditions(pins=(pin,)))
    both = search(*CASE.asked, Conditions(pins=(pin,), shapes=FewShapes(6)))
    assert both.free == pinned.cost == pinned.free
    assert both.cost > both.free


def test_progress_is_told_in_order() -> None:
    told: list[Standing] = []
    answer = search(*CASE.asked, ASKED["few shapes"], watch=Watch(tell=told.append))
    stages = list(dict.fromkeys(standing.stage for standing in told))
    assert stages == ["laying out", "weighing", "exploring", "pricing", "proving"]
    bars = answer.moments[-1].bar
    laying = [standing for standing in told if standing.stage == "laying out"]
    assert [s.done for s in laying] == [moment.bar - 1 for moment in answer.moments]
    assert {s.total for s in told} == {bars}
    assert all(s.bound is s.best is None for s in laying)
    assert told[-1].best == answer.cost


def test_without_time_there_is_one_sentence() -> None:
    with pytest.raises(OutOfTime, match="0 s were not enough to find any arrangement"):
        search(*CASE.asked, watch=Watch(0.0))


def test_stopped_before_it_began() -> None:
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped, match="the search was stopped"):
        search(*CASE.asked, watch=watch)


def test_no_way_from_one_moment_to_the_next_names_the_bar(monkeypatch) -> None:
    """The bass string must be struck again on its note, and is asked for another one."""
    case = case_of(
        "D", "G", metre="3/4", style=Style("roots", right_hand("full-strum"), "rest", 9, 5)
    )
    moments = list(moments_of(case.tune, case.style, 3))
    again = next(i for i, m in enumerate(moments) if m.bar == 2 and m.keeps)
    moments[again] = replace(moments[again], roles=frozenset({"fifth"}))
    monkeypatch.setattr(searching, "moments_of", lambda *_: tuple(moments))
    with pytest.raises(NotPlayable) as refused:
        search(*case.asked)
    assert (refused.value.bar, refused.value.chord) == (2, "G")
    assert str(refused.value) == (
        "bar 2: G cannot be reached from what comes before it as asked; "
        "another bass manner or right hand may reach it"
    )


@pytest.mark.parametrize(
    "conditions",
    [
        pytest.param(Conditions(shapes=FewShapes(0)), id="no shape where a finger is needed"),
        pytest.param(Conditions(quotas=(Quota("passing", least=90),)), id="more than moments"),
        pytest.param(Conditions(quotas=(Quota("hard", most=0, above=0),)), id="never difficult"),
        pytest.param(
            Conditions(quotas=(Quota("shifts", most=1), Quota("shifts", least=2))),
            id="one quota against the other",
        ),
    ],
)
def test_what_no_arrangement_holds(conditions: Conditions) -> None:
    with pytest.raises(Unfulfillable, match=r"cannot (be|both) h|no arrangement holds all"):
        search(*SHORT.asked, conditions)


def test_what_cannot_be_held_together_is_found_impossible_though_all_work_is_free() -> None:
    """Each by itself can be: two shapes, and 14 shifts; the multipliers then rise without end."""
    free = dict.fromkeys(DEFAULTS, 0)
    bars = ("G", "G", "D", "A7") * 2
    style = Style("alternating", right_hand("bass-only"), "rest", 9, 3)
    case = case_of(*bars, style=style, weights=Weights.of(free | {"third-missing": 1}))
    asked = Conditions(shapes=FewShapes(2), quotas=(Quota("shifts", least=14),))
    for part in (replace(asked, shapes=None), replace(asked, quotas=())):
        assert search(*case.asked, part, watch=Watch(60.0)).cost >= 0
    with pytest.raises(Unfulfillable):
        search(*case.asked, asked, watch=Watch(60.0))


@pytest.mark.parametrize("tune", ["kettle-on-at-nine", "wet-boots-in-the-porch"])
def test_a_bass_that_walks_in_two_steps_between_its_strums(tune: str) -> None:
    """In 6/8 and 2/4 a strum falls between two bass notes; passing and approach notes ring
    through it (Lehmann, second species: dissonance on weak beats, by step)."""
    answer = search(
        read(str(corpus.path(tune))), instrument(), Hand(), Style(manner="walking"), Weights()
    )
    roles = {choice.role for choice in answer.choices}
    assert roles & set(FOREIGN)
    assert answer.optimal
