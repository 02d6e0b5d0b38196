"""Foreign bass notes: the bass string alone, where all that can be played fits on a page.

With nothing above the bass, walking, runs and free basses are written down in full by the oracle
(``oracles.Book``), and compared with the choice graph sequence by sequence. A tune cut off at any
moment is compared too, since a foreign note must not be the last.
"""

from collections import Counter

import pytest

from fretboard.hand import Hand
from scoring.weights import Weights
from solver.graph import build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.passes import Costs
from solver.righthand import right_hand
from solver.style import Style
from tests.solver.full_graph import explicit_graph, graph_fingerprint, network_best
from tests.solver.instances import WANDERING, Instance
from tests.solver.made import case_of
from tests.solver.oracles import Book, Mark

INDEX = Hand(not_used="TMRP", may_bar="")
TUNES = {
    "waltz": (("D", "G"), "3/4"),
    "waltz on one chord": (("D", "D", "D"), "3/4"),
    "march": (("D G", "Em A"), "4/4"),
    "jig": (("D", "A7"), "6/8"),
    "with a rest": (("D", "N.C.", "G"), "3/4"),
    "slash": (("D", "D/F#", "G"), "2/4"),
}


def bass_alone(tune: str, manner: str, ceiling: int = 7) -> Instance:
    bars, metre = TUNES[tune]
    style = Style(manner, right_hand("bass-only"), "rest", bass_ceiling=ceiling, highest=4)
    return case_of(*bars, metre=metre, hand=INDEX, style=style, weights=Weights.of(WANDERING))


@pytest.mark.parametrize("manner", ["walking", "runs", "free", "alternating-fourth"])
@pytest.mark.parametrize("tune", TUNES)
def test_every_bass_line_wherever_the_tune_is_cut_off(tune: str, manner: str) -> None:
    case = bass_alone(tune, manner, ceiling=12)
    moments = moments_of(case.tune, case.style, 3)
    for length in range(1, len(moments) + 1):
        cut = moments[:length]
        book = Book(cut, case.instrument, case.hand, case.style, case.weights)
        graph = build_graph(cut, Held(case.instrument, case.hand, case.style))
        full = explicit_graph(graph, Costs.of(graph, case.weights))
        mark = Mark(length)
        assert graph_fingerprint(graph, full, mark) == book.fingerprint(mark)
        found, shortest = book.gathered(), network_best(full, length)
        assert (None if shortest is None else shortest[0]) == found.cost


def roles_in_all_sequences(tune: str, manner: str) -> Counter:
    case = bass_alone(tune, manner)
    book = Book(
        moments_of(case.tune, case.style, 3), case.instrument, case.hand, case.style, case.weights
    )
    return Counter(
        choice.role
        for number, (_, way) in enumerate(book.sequences())
        if number % 7 == 0
        for choice in book.choices(way)
    )


def test_the_cases_are_full_of_foreign_notes() -> None:
    """Else the comparison above would say little."""
    roles = roles_in_all_sequences("waltz", "walking") + roles_in_all_sequences("slash", "free")
    assert min(roles["passing"], roles["neighbour"], roles["approach"]) > 50
    assert roles["slash bass"] > 50


def pitches_and_roles(case: Instance, way_of: Book) -> set[tuple[tuple[int, str], ...]]:
    return {
        tuple((case.instrument.pitch(0, c.grip.frets[0]), c.role) for c in way_of.choices(way))
        for _, way in way_of.sequences()
    }


def test_what_the_books_allow_between_two_roots() -> None:
    """D in three, then G: the second and third beat worked out on paper.

    The D string up to A has D E F# G A; D's tones are D, F# and A, and E and G are foreign.
    Lehmann, second species: a foreign note comes and goes by step; an approach note only goes.
    """
    case = bass_alone("waltz", "walking")
    moments = moments_of(case.tune, case.style, 3)[:4]
    book = Book(moments, case.instrument, case.hand, case.style, case.weights)
    lines = pitches_and_roles(case, book)
    d, e, f, g, a = 50, 52, 54, 55, 57
    middles = {line[1:3] for line in lines}
    assert all(line[0] == (d, "root") and line[3] == (g, "root") for line in lines)
    tones = {(d, "root"), (f, "third"), (a, "fifth")}
    assert {(one, other) for one in tones for other in tones} <= middles
    foreign = middles - {(one, other) for one in tones for other in tones}
    assert foreign == {
        ((e, "passing"), (f, "third")),
        ((e, "neighbour"), (d, "root")),
    }
