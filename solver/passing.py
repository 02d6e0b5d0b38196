"""What a tune costs at least on one instrument, given up as soon as that is more than enough.

The exact pass of ``solver.passes`` tells what the best way costs. Where only what costs no more
than some other answer matters, most of it need not be gone through: the tune is cut where a chord
begins with a bass note, whatever sounded before, into parts of a few bars, and the pass goes on
from the last part back, one part more at a time. What it has found by then no answer can be below;
as soon as that exceeds what is enough, nothing more is laid out. Where the pass gets to the
beginning its bound is what the best answer costs.

Layers and links are kept: tunes in other keys on the same strings find their chords there.

Public: Passing, Least.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple, NoReturn

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import Moment
from scoring.weights import Weights
from solver.arrays import FAR, Cost
from solver.graph import ChoiceGraph
from solver.grips import Grips
from solver.held import Held
from solver.kinds import Kinds, moved
from solver.layers import Layer, Past, build_layer
from solver.links import LinkCost, build_link
from solver.passes import Costs, may_begin, may_end
from solver.recalled import Recalled, Remainder
from solver.refusal import refuse, refuse_link, unplayable_chord
from solver.shelf import Shelf
from solver.singing import TUNEFUL
from solver.style import Style
from solver.tables import MoveTables
from tune.chord import Chord
from tune.tune import Tune

PART_BARS = 4
"""Bars of a part, at least, but for the last."""

SHELF_BYTES = 1 << 26
"""How much of what moves cost is kept: most is asked for once or twice, and soon."""


@dataclass(frozen=True)
class Least:
    """ms: no answer costs less; exact: the best answer costs just that."""

    ms: int
    exact: bool


class Passing:
    """Tunes on one instrument, in one hand and style, under ``weights``.

    before: on the same fretboard in another tuning, by the same hand under the same weights; what
    moves cost there need not be counted again.
    """

    def __init__(
        self,
        instrument: Instrument,
        hand: Hand,
        style: Style,
        weights: Weights,
        before: "Passing | None" = None,
    ) -> None:
        self.instrument, self.hand, self.style, self.weights = instrument, hand, style, weights
        grips = Grips(instrument, hand) if before is None else before.grips
        self._held = Held(instrument, hand, style, grips=grips)
        self.tables: MoveTables = MoveTables.of(
            self._held.states, weights, None if before is None else before.tables
        )
        self._shelf = Shelf(SHELF_BYTES)
        self._numbers: dict[Moment, int] = {}
        self._layers: dict[tuple[int, Past], Layer] = {}
        self._next: dict[tuple[int, int], Layer] = {}
        self._links: dict[tuple[int, int], LinkCost] = {}
        self._nodes: dict[tuple[int, bool, bool], Cost] = {}
        self.recalled = Recalled()

    @property
    def grips(self) -> Grips:
        return self._held.grips

    def least(
        self,
        kinds: Kinds,
        semitones: int,
        tune: Tune,
        enough: int | None = None,
        looked: Callable[[int], None] | None = None,
    ) -> Least:
        """What the tune costs at least, so many semitones higher than its moments' ``kinds``; given
        up beyond ``enough`` ms. tune: in that key; looked: called with the number
        of moments that are still to be laid out, before each part and whatever is made anew.

        Raises NotPlayable where a bar that was looked at cannot be played as asked; what is in its
        way (``what``) is meant for whoever reads, not the bar, since a pass comes from the end.
        """
        asked = self._asked(kinds, semitones, tune, looked)
        self._refuse_chords(asked)
        begins = _begins(kinds.moments)
        ends = [*begins[1:], len(kinds.moments)]
        rest: _Rest | None = None
        for begin, end in reversed(list(zip(begins, ends, strict=True))):
            asked.look(end)
            rest = self._back(self._laid_out(asked, begin, end), rest, begin == 0)
            if rest.least >= FAR:
                refuse_link(moved(kinds.moments, semitones), begin, tune)
            if begin and enough is not None and rest.least > enough:
                return Least(rest.least, exact=False)
        assert rest is not None, "a tune has moments"
        return Least(rest.least, exact=True)

    def graph(
        self,
        kinds: Kinds,
        semitones: int,
        moments: tuple[Moment, ...],
        tune: Tune,
        looked: Callable[[int], None] | None = None,
    ) -> tuple[ChoiceGraph, Costs]:
        """The whole graph with its costs, what is there already taken over; moments: the tune's own
        in that key; looked: as in ``least``. Raises NotPlayable."""
        asked = self._asked(kinds, semitones, tune, looked)
        layers = self._laid_out(asked, 0, len(moments))
        links = tuple(self._link(*pair) for pair in pairwise(layers))
        nodes = tuple(
            self._cost(layer, begins=not index, ends=index == len(links))
            for index, layer in enumerate(layers)
        )
        own = tuple(link.link for link in links)
        return ChoiceGraph(moments, tuple(layers), own), Costs(nodes, links)

    def _asked(
        self, kinds: Kinds, semitones: int, tune: Tune, looked: Callable[[int], None] | None
    ) -> "_Asked":
        every = moved(kinds.every, semitones)
        number = tuple(self._numbers.setdefault(kind, len(self._numbers)) for kind in every)
        return _Asked(kinds, every, number, semitones, tune, looked)

    def _refuse_chords(self, asked: "_Asked") -> None:
        seen: set[Chord] = set()
        for number, kind in enumerate(asked.every):
            if kind.chord is None or kind.texture in TUNEFUL or kind.chord in seen:
                continue
            seen.add(kind.chord)
            if unplayable_chord(kind.chord, self.instrument, self.style):
                self._refuse(asked, asked.kinds.number.index(number))

    def _refuse(self, asked: "_Asked", index: int) -> NoReturn:
        (moment,) = moved(asked.kinds.moments[index : index + 1], asked.semitones)
        refuse(moment, self.instrument, self.style, asked.tune)

    def _back(self, layers: Sequence[Layer], rest: "_Rest | None", begins: bool) -> "_Rest":
        """What is still to come from the first layer; rest: from the layer that follows the last,
        None for the tune's end; begins: the tune does."""
        first = len(layers) - 1
        if rest is None:
            nodes = self._cost(layers[first], begins=begins and not first, ends=True)
            ahead, least = self.recalled.ahead(nodes)
            rest, first = _Rest(layers[first], ahead, least), first - 1
        for index in range(first, -1, -1):
            if rest.least >= FAR:
                break
            layer = layers[index]
            nodes = self._cost(layer, begins=begins and not index)
            ahead, more = self.recalled.before(nodes, self._link(layer, rest.layer), rest.ahead)
            rest = _Rest(layer, ahead, min(rest.least + more, int(FAR)))
        return rest

    def _cost(self, layer: Layer, *, begins: bool = False, ends: bool = False) -> Cost:
        """(nodes,): their own ms, FAR where the tune begins or ends there and may not so."""
        key = id(layer), begins, ends
        if key not in self._nodes:
            own: Cost = layer.cost(self.weights)
            if begins:
                own = np.where(may_begin(layer), own, FAR)
            if ends:
                own = np.where(may_end(layer), own, FAR)
            self._nodes[key] = own
        return self._nodes[key]

    def _laid_out(self, asked: "_Asked", begin: int, end: int) -> list[Layer]:
        layers: list[Layer] = []
        for index in range(begin, end):
            place = asked.kinds.number[index]
            kind = asked.every[place]
            before = None if not layers or kind.begins_anew else layers[-1]
            key = asked.number[place], id(before)
            if key not in self._next:
                asked.look(index + 1)
                self._next[key] = self._layer(key[0], kind, before)
            if not len(self._next[key]):
                self._refuse(asked, index)
            layers.append(self._next[key])
        return layers

    def _layer(self, number: int, kind: Moment, before: Layer | None) -> Layer:
        past = Past() if before is None else Past.of(before)
        if (number, past) not in self._layers:
            self._layers[number, past] = build_layer(kind, past, self._held)
        return self._layers[number, past]

    def _link(self, one: Layer, other: Layer) -> LinkCost:
        key = id(one), id(other)
        if key not in self._links:
            self._links[key] = build_link(one, other).cost(self.tables, self._shelf)
        return self._links[key]


class _Rest(NamedTuple):
    """What is still to come from a layer's nodes: beyond the least, and the least, ms."""

    layer: Layer
    ahead: Remainder
    least: int


@dataclass(frozen=True)
class _Asked:
    """A tune's moments by kind, and those kinds in the key that is asked for; number: each one's
    among all that were met."""

    kinds: Kinds
    every: tuple[Moment, ...]
    number: tuple[int, ...]
    semitones: int
    tune: Tune
    looked: Callable[[int], None] | None

    def look(self, left: int) -> None:
        if self.looked is not None:
            self.looked(left)


def _begins(moments: Sequence[Moment]) -> list[int]:
    """The first moment of each part."""
    begins = [0]
    for index, moment in enumerate(moments):
        far = moment.bar - moments[begins[-1]].bar >= PART_BARS
        if index and far and moment.begins_anew and moment.downbeat:
            begins.append(index)
    return begins
