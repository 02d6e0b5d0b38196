"""The layered graph: what is shared, what a layer holds."""

import numpy as np
import pytest

import solver.links as links
from solver.arrays import FAR
from solver.errors import NotPlayable
from solver.held import Held
from solver.layers import Past, build_layer
from solver.links import build_link
from solver.moments import moments_of
from solver.style import Style
from solver.tables import MoveTables
from tests.solver.full_graph import every_step, node_of
from tests.solver.instances import small, tiny
from tests.solver.made import case_of, graph_of
from tests.solver.ruled_book import choice_key


def test_alike_bars_share_layers_and_links() -> None:
    graph = graph_of(case_of("D", "G", "D", "G", "D", "G"))
    assert len({id(layer) for layer in graph.layers}) <= len(graph.layers) // 2
    by_moments = {}
    for layer, moment in zip(graph.layers, graph.moments, strict=True):
        kind = (moment.chord, moment.change, moment.offset, moment.strikes, moment.roles)
        by_moments.setdefault((kind, id(layer)), []).append(moment.bar)
    assert any(len(bars) == 3 for bars in by_moments.values())
    for index, link in enumerate(graph.links):
        assert link.before is graph.layers[index]
        assert link.after is graph.layers[index + 1]


def test_another_chord_or_another_tempo_is_another_layer() -> None:
    graph = graph_of(case_of("D", "G"))
    here = [layer for layer, m in zip(graph.layers, graph.moments, strict=True) if m.bar == 1]
    there = [layer for layer, m in zip(graph.layers, graph.moments, strict=True) if m.bar == 2]
    assert not {id(layer) for layer in here} & {id(layer) for layer in there}
    slow = graph_of(case_of("D", per_minute=60)).layers[0].moment
    assert slow.ms > graph_of(case_of("D", per_minute=120)).layers[0].moment.ms


def graphs(first: int, count: int):
    found, seed = [], first
    while len(found) < count:
        for make in (tiny, small):
            try:
                found.append(graph_of(make(seed)))
            except NotPlayable:
                continue
        seed += 1
    return found


def test_nodes_stand_in_the_order_that_settles_ties() -> None:
    for graph in graphs(300, 12):
        for layer in graph.layers:
            keys = [(int(layer.shape[n]), int(layer.label[n])) for n in range(len(layer))]
            assert keys == sorted(set(keys))
            choices = [choice_key(layer.choice(n)) for n in range(len(layer))]
            assert choices == sorted(choices)
            for node, (shape, label) in enumerate(keys):
                assert node_of(layer)[shape, label] == node
            assert (node_of(layer) >= 0).sum() == len(layer)
            labels = layer.labels
            rows = list(zip(labels.role, labels.going, labels.line, labels.heard, strict=True))
            assert rows == sorted(set(rows))


def test_a_link_kept_as_a_matrix_or_as_a_list_is_the_same(monkeypatch) -> None:
    """Both stand for the same steps at the same cost, and look back and ahead alike."""
    dice = np.random.default_rng(4)
    for graph in graphs(400, 8):
        tables = MoveTables.of(graph.layers[0].held.states, case_of("D").weights)
        for index in range(min(4, len(graph.links))):
            pair = graph.layers[index], graph.layers[index + 1]
            monkeypatch.setattr(links, "CROWDED", -1.0)
            matrix = build_link(*pair)
            monkeypatch.setattr(links, "CROWDED", 2.0)
            listed = build_link(*pair)
            assert matrix.head is None
            assert listed.head is not None
            assert int(matrix.allowed.sum()) == listed.pairs
            one, other = matrix.cost(tables), listed.cost(tables)
            assert sorted(every_step(one)) == sorted(every_step(other))
            on = dice.integers(0, 2000, len(pair[1])).astype(np.int64)
            own = dice.integers(0, 100, len(pair[1])).astype(np.int64)
            on[dice.random(len(on)) < 0.2] = FAR
            assert one.back(on).tolist() == other.back(on).tolist()
            for most in (20, 150, 400):
                capped = [each.back(on, own, most).tolist() for each in (one, other)]
                assert capped[0] == capped[1]
            assert one.worst(on, own).tolist() == other.worst(on, own).tolist()
            nodes = np.flatnonzero(dice.random(len(pair[0])) < 0.7)
            to = dice.integers(0, 500, len(nodes)).astype(np.int64)
            for limit in (0, 800, 3000):
                close = [
                    sorted(zip(c.at.tolist(), c.entry.tolist(), c.move.tolist(), strict=True))
                    for c in (
                        x.close(nodes, to, x.ahead(on), np.int64(limit)) for x in (one, other)
                    )
                ]
                assert close[0] == close[1]


def test_a_link_looks_back_at_the_cheapest_step() -> None:
    """Plainly, under a ceiling for every step, and at the costliest step."""
    capped = 0
    for graph in graphs(500, 6):
        tables = MoveTables.of(graph.layers[0].held.states, case_of("D").weights)
        for link in graph.links[:4]:
            cost = link.cost(tables)
            count = len(link.after)
            on, own = 10 * np.arange(count, dtype=np.int64) % 777, np.arange(count) % 90
            steps = list(every_step(cost))
            least, worst = (np.full(len(link.before), FAR) for _ in range(2))
            for tail, head, ms in steps:
                least[tail] = min(least[tail], ms + on[head])
                worst[tail] = min(worst[tail], max(ms + own[head], on[head]))
            assert cost.back(on).tolist() == least.tolist()
            assert cost.worst(on, own).tolist() == worst.tolist()
            for most in (60, 200, 500):
                under = np.full(len(link.before), FAR)
                for tail, head, ms in steps:
                    if ms + own[head] <= most:
                        under[tail] = min(under[tail], ms + on[head])
                assert cost.back(on, own, most).tolist() == under.tolist()
                capped += int(((under > least) & (under < FAR)).sum())
    assert capped > 100


def test_a_string_that_rings_keeps_fret_and_finger() -> None:
    """Steps of every pair looked at from the strings' side."""
    seen = 0
    for graph in graphs(600, 8):
        tables = MoveTables.of(graph.layers[0].held.states, case_of("D").weights)
        for link in graph.links[:3]:
            for tail, head, _ in list(every_step(link.cost(tables)))[:3000]:
                old, new = link.before.choice(tail), link.after.choice(head)
                for course, fret in enumerate(new.grip.frets):
                    if fret >= 0 and not new.struck[course]:
                        assert old.grip.frets[course] == fret
                        assert old.grip.fingers[course] == new.grip.fingers[course]
                        seen += 1
    assert seen > 100


@pytest.mark.parametrize(
    ("ceiling", "roles"),
    [(7, {"fifth", "root"}), (6, {"root"})],
    ids=["fifth in reach", "out of reach"],
)
def test_the_fallback_may_stand_in_for_what_the_manner_asks(ceiling: int, roles) -> None:
    """D alternating with A, which lies at fret 4 (7 semitones) of the D string."""
    case = case_of("D", "D", style=Style(bass_ceiling=ceiling, highest=5))
    moments = moments_of(case.tune, case.style, 3)
    asked = next(m for m in moments if m.roles == {"fifth"})
    assert asked.fallback == {"root"}
    layer = build_layer(asked, Past(), Held(case.instrument, case.hand, case.style))
    assert {layer.choice(n).role for n in range(len(layer))} == roles


def test_a_rest_is_silent_and_forgets_the_bass_line() -> None:
    graph = graph_of(case_of("D", "N.C.", "D"))
    rest = next(i for i, m in enumerate(graph.moments) if m.chord is None)
    layer = graph.layers[rest]
    assert set(layer.labels.line.tolist()) == {-1}
    assert set(layer.labels.heard.tolist()) == {0}
    for node in range(len(layer)):
        choice = layer.choice(node)
        assert set(choice.grip.frets) == {-1}
        assert choice.role is None
        assert not any(choice.struck)
    assert len({layer.choice(n).grip.place for n in range(len(layer))}) == len(layer) > 1
