"""Bass parts that cannot be played, and what is called impossible in one, against every sequence.

Judged as in ``test_clash`` and ``test_impossible``; the sentences are those a bass player reads.
"""

from collections.abc import Callable

import pytest

from fretboard.presets import instrument
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.pinned import BassManner
from solver.conditions.quota import COUNTED, Quota
from solver.errors import StyleError
from solver.impossible import least_and_most
from solver.moments import moments_of
from solver.passes import Costs
from solver.question import Question
from solver.style import Style, manners_in
from tests.solver.bass_instances import tiny_part, tiny_part_again
from tests.solver.brute import Page
from tests.solver.instances import Instance
from tests.solver.laid_out import tune
from tests.solver.made import case_of, graph_of
from tests.solver.test_clash import examine, pinned, pins, short, told
from tests.solver.test_conditions_melody import asked_of

MAKERS = [tiny_part, tiny_part_again]
Make = Callable[[int], Instance]


def clashes(make: Make, seeds: range) -> int:
    """How many cases clash, each with nothing that could be dropped."""
    cases = [(short(make(seed)), seed) for seed in seeds]
    return sum(examine(case, pinned(case, seed)) for case, seed in cases)


@pytest.mark.parametrize("make", MAKERS)
def test_nothing_can_be_dropped_from_a_clash(make: Make) -> None:
    assert 15 <= clashes(make, range(60)) <= 45


@pytest.mark.slow
@pytest.mark.parametrize("make", MAKERS)
def test_nothing_can_be_dropped_from_many_clashes(make: Make) -> None:
    assert clashes(make, range(100, 1_100)) > 200


def counted(make: Make, seeds: range) -> int:
    """How many cases could be counted out and agree."""
    cases = 0
    for seed in seeds:
        asked = asked_of(make, seed)
        if asked is None or any(isinstance(p.pinned, BassManner) for p in asked.conditions.pins):
            continue
        graph, song = graph_of(asked.case), asked.case.tune
        costs = Costs.of(graph, Weights())
        question = Question(song, graph.moments, graph, costs, Conditions())
        page = Page(asked.book, song)
        for what in COUNTED:
            quota = Quota(what, most=0, above=30 if what == "hard" else None)
            found, told = least_and_most(question, quota), page.counted(quota)
            assert found is not None
            if what == "hard":  # looser, and never on the wrong side
                assert found[0] <= told.min() <= told.max() <= found[1]
            else:
                assert found == (told.min(), told.max()), (seed, what)
        cases += 1
    return cases


@pytest.mark.parametrize("make", MAKERS)
def test_least_and_most_are_those_of_every_sequence(make: Make) -> None:
    assert counted(make, range(25)) >= 5


@pytest.mark.parametrize("texture", ["song", "solo"])  # a drone has a sentence of its own
def test_a_figure_is_for_the_bass_alone(texture: str) -> None:
    with pytest.raises(StyleError, match=r"for the bass texture alone|a drone has no bass line"):
        Style(texture=texture, manner="figure")
    assert "figure" not in manners_in(texture)


def test_a_bar_of_a_song_cannot_take_the_figure_either() -> None:
    song = tune("4/4", "D", "G")
    with pytest.raises(StyleError, match="for the bass texture alone"):
        moments_of(song, Style(), 3, {1: "figure"})
    assert moments_of(song, Style(texture="bass"), 3, {1: "figure"})


def test_a_root_that_the_bass_string_lacks() -> None:
    style = Style(texture="bass")
    assert told(case_of("D", "Eb", style=style)) == (
        "bar 2 cannot be played as asked: the bass begins on Eb (the root of Eb) "
        "(manner alternating): the bass string has no Eb at any fret"
    )
    assert 39 % 12 not in {instrument().pitch(0, fret) % 12 for fret in instrument().frets(0)}


def test_pins_that_contradict_each_other() -> None:
    said = told(case_of("D", "D", style=Style(texture="bass")), pins("2: bass 0", "2: bass 7"))
    assert "(1) the pin 'bar 2: bass 0'; (2) the pin 'bar 2: bass 7'" in said


def test_a_chord_without_reach_above_the_bass_is_no_clash() -> None:
    """C# minor needs frets for its third and fifth that nobody asks a bass part to sound."""
    song = Style(highest=0)
    part = Style(texture="bass", highest=0)
    assert "cannot be played" in told(case_of("Em", style=song))
    assert told(case_of("Em", style=part)) == "None"
