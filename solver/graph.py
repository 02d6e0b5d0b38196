"""The layered graph of choices: one layer a moment, steps between neighbours.

Layers and links that are alike (the same chord on the same beat, say) are built once and shared,
so a long tune costs memory for its different bars only. Steps stay implicit in arrays here; what
is kept of them after pruning becomes a networkx graph (``solver.prune``).

Public: ChoiceGraph, build_graph.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from scoring.moment import Moment
from solver.held import Held
from solver.layers import Layer, Past, build_layer
from solver.links import Link, build_link
from solver.refusal import refuse, unplayable_chord
from solver.singing import TUNEFUL
from tune.tune import Tune

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how much of it is done, and how much there is."""


@dataclass(frozen=True)
class ChoiceGraph:
    """moments: in order; layers: one a moment; links: one fewer, links[i] leads from layer i to
    i + 1."""

    moments: tuple[Moment, ...]
    layers: tuple[Layer, ...]
    links: tuple[Link, ...]

    @property
    def size(self) -> tuple[int, int]:
        """Nodes, and pairs of shapes, shared ones counted each time they occur."""
        return sum(map(len, self.layers)), sum(link.pairs for link in self.links)


def build_graph(
    moments: tuple[Moment, ...],
    held: Held,
    progress: Progress | None = None,
    tune: Tune | None = None,
) -> ChoiceGraph:
    """The graph of every choice; NotPlayable with bar and chord where a moment has none.

    Alike moments (the same but for their place in the tune, with the same past) share one layer.
    held: what the hand can hold there; tune: whose printed bar numbers are told; without it bars
    are counted as played.
    """
    instrument, style = held.instrument, held.style
    for moment in moments:
        judged = moment.chord is not None and moment.texture not in TUNEFUL
        if judged and moment.chord and unplayable_chord(moment.chord, instrument, style):
            refuse(moment, instrument, style, tune)
    known_layers: dict[tuple[Moment, Past], Layer] = {}
    known_links: dict[tuple[int, int], Link] = {}
    layers: list[Layer] = []
    links: list[Link] = []
    kinds = [replace(moment, bar=0, written=0, offset=0) for moment in moments]
    for index, (moment, kind) in enumerate(zip(moments, kinds, strict=True)):
        if progress:
            progress("laying out", index, len(moments))
        past = Past.of(layers[-1]) if layers and not moment.begins_anew else Past()
        if (kind, past) not in known_layers:
            layer = build_layer(kind, past, held)
            if not len(layer):
                refuse(moment, instrument, style, tune)
            known_layers[kind, past] = layer
        layers.append(known_layers[kind, past])
        if index:
            pair = (id(layers[-2]), id(layers[-1]))
            if pair not in known_links:
                known_links[pair] = build_link(layers[-2], layers[-1])
            links.append(known_links[pair])
    return ChoiceGraph(moments, tuple(layers), tuple(links))
