"""The bundled tunes against the oracles, in full: every bar, repeats and all.

With a whole hand and an octave of frets a tune has millions of steps, too many for networkx or a
plain model; so the oracles look at every tune with fewer fingers and frets, and a plain numpy pass
over every single step, nothing bounded and nothing left out, at the tunes as players get them.
"""

from dataclasses import replace

import pytest

import corpus
from fretboard.hand import Hand
from fretboard.presets import hand, instrument
from scoring.evaluate import evaluate
from scoring.weights import Weights
from solver.errors import NotPlayable
from solver.graph import build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.passes import Costs
from solver.search import search
from solver.style import Style
from tests.solver.full_graph import explicit_graph, network_best, step_count, whole_pass
from tests.solver.instances import Instance
from tests.solver.oracles import Book
from tests.solver.plain_model import plain_best
from tests.solver.test_oracles import book_of, found_by_search, hold_together
from tune.readers import read
from tune.tune import Tune

MOST_STEPS = 120_000
MOST_PLAIN_STEPS = 30_000
QUICK = ("harrow-lane", "the-vicars-piano")


def tunes(quick: tuple[str, ...]) -> list:
    return [
        pytest.param(name, marks=() if name in quick else pytest.mark.slow)
        for name in corpus.names()
    ]


def bundled(name: str) -> Tune:
    return read(str(corpus.path(name)))


def opening(tune: Tune) -> Tune:
    """The first four bars as written."""
    return replace(tune, bars=tune.bars[:4])


HANDS = {
    "index": (Hand(not_used="TMRP"), Style(bass_ceiling=10, highest=5)),
    "index and middle": (Hand(not_used="TRP", may_bar="I"), Style(bass_ceiling=10, highest=5)),
    "thumb and ring, walking": (
        Hand(not_used="IMP", may_bar="R"),
        Style("walking", bass_ceiling=10, highest=4),
    ),
}


@pytest.mark.parametrize("fingers", HANDS)
@pytest.mark.parametrize("name", tunes(QUICK))
def test_a_bundled_tune_with_few_fingers(name: str, fingers: str) -> None:
    few, style = HANDS[fingers]
    case = Instance(bundled(name), instrument(), few, style, Weights())
    answer = found_by_search(case)
    book: Book = book_of(case)
    hold_together(case, answer, book.gathered())
    if answer is None:
        return
    graph = build_graph(answer.moments, Held(case.instrument, case.hand, case.style))
    steps = sum(map(step_count, graph.links))
    if steps > MOST_STEPS:
        return
    full = explicit_graph(graph, Costs.of(graph, case.weights))
    shortest = network_best(full, len(graph.layers))
    assert shortest is not None
    assert shortest[0] == answer.cost
    way = zip(graph.layers, shortest[1], strict=True)
    assert tuple(layer.choice(node) for layer, node in way) == answer.choices
    if steps <= MOST_PLAIN_STEPS and name not in QUICK:
        assert plain_best(full, len(graph.layers), seconds=300) == answer.cost


@pytest.mark.slow
@pytest.mark.parametrize("manner", ["alternating", "walking", "free"])
@pytest.mark.parametrize("name", corpus.names())
def test_a_bundled_tune_as_players_get_it(name: str, manner: str) -> None:
    """Every step of the graph, millions of them, in one plain pass; of manners with many more,
    the tune's opening."""
    tune, on, style, weights = bundled(name), instrument(), Style(manner), Weights()
    if manner != "alternating":
        tune = opening(tune)
    moments = moments_of(tune, style, len(on.courses))
    try:
        answer = search(tune, on, hand(), style, weights)
    except NotPlayable:
        assert name == "the-vicars-piano"
        return
    assert answer.optimal
    bill = evaluate(answer.choices, moments, on, hand(), weights)
    assert bill.total == answer.cost == answer.bound
    graph = build_graph(moments, Held(on, hand(), style))
    costs = Costs.of(graph, weights)
    assert whole_pass(graph, costs) == answer.cost
