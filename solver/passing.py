"""What a tune costs at least on one instrument, given up as soon as that is more than enough.

The exact pass of ``solver.passes`` tells what the best way costs. Where only what costs no more
than some other answer matters, most of it need not be gone through: the tune is cut where a chord
begins with a bass note, whatever sounded before, into parts of a few bars, and the pass goes on
from the last part back, one part more at a time. What it has found by then no answer can be below;
as soon as that exceeds what is enough, nothing more is laid out. Where the pass gets to the
beginning its bound is what the best answer costs.

Layers and links are kept: tunes in other keys on the same strings find their chords there.

Public: Passing, Least, moved.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import FOREIGN, Moment
from scoring.weights import Weights
from solver.arrays import FAR, Cost
from solver.grips import Grips
from solver.held import Held
from solver.layers import Layer, Past, build_layer
from solver.links import LinkCost, build_link
from solver.passes import may_begin, may_end
from solver.recalled import Recalled
from solver.refusal import refuse, refuse_link, unplayable_chord
from solver.shelf import Shelf
from solver.singing import TUNEFUL
from solver.style import Style
from solver.tables import MoveTables
from tune.chord import Chord, pitch_class
from tune.spelling import SHARPS
from tune.tune import Tune

PART_BARS = 4
"""Bars of a part, at least."""

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
        self._layers: dict[tuple[Moment, Past], Layer] = {}
        self._links: dict[tuple[int, int], LinkCost] = {}
        self._recalled = Recalled()

    @property
    def grips(self) -> Grips:
        return self._held.grips

    def least(
        self,
        moments: Sequence[Moment],
        tune: Tune,
        enough: int | None = None,
        looked: Callable[[int], None] | None = None,
    ) -> Least:
        """What the moments of ``tune`` cost at least; given up beyond ``enough`` ms; looked: called
        before each part with the number of moments that are still to be laid out.

        Raises NotPlayable where a bar that was looked at cannot be played as asked.
        """
        self._refuse_chords(moments, tune)
        kinds = [_kind(moment) for moment in moments]
        begins = _begins(moments)
        ends = [*begins[1:], len(moments)]
        after: Layer | None = None
        on = np.zeros(0, np.int64)
        for begin, end in reversed(list(zip(begins, ends, strict=True))):
            if looked is not None:
                looked(end)
            layers = self._laid_out(moments, kinds, begin, end, tune)
            on = self._back(layers, after, on, begin == 0)
            least = int(on.min())
            if least >= FAR:
                refuse_link(tuple(moments), begin, tune)
            if begin and enough is not None and least > enough:
                return Least(least, exact=False)
            after = layers[0]
        return Least(least, exact=True)

    def _refuse_chords(self, moments: Sequence[Moment], tune: Tune) -> None:
        seen: set[Chord] = set()
        for moment in moments:
            if moment.chord is None or moment.texture in TUNEFUL or moment.chord in seen:
                continue
            seen.add(moment.chord)
            if unplayable_chord(moment.chord, self.instrument, self.style):
                refuse(moment, self.instrument, self.style, tune)

    def _back(self, layers: Sequence[Layer], after: Layer | None, on: Cost, begins: bool) -> Cost:
        """(nodes of the first layer,): ms still to come; after, on: the layer that follows the last
        and what is still to come from there, None for the tune's end; begins: the tune does."""
        chain = [*layers] if after is None else [*layers, after]
        self._link(chain)
        for index in range(len(chain) - 1, -1, -1):
            own = chain[index].cost(self.weights)
            if index == len(chain) - 1:
                if after is not None:
                    continue
                rest = np.where(may_end(chain[index]), np.int64(0), FAR)
            else:
                link = self._links[id(chain[index]), id(chain[index + 1])]
                rest = self._recalled.back(link, on)
            if begins and index == 0:
                rest = np.where(may_begin(chain[0]), rest, FAR)
            on = np.where(rest < FAR, own + rest, FAR)
        return on

    def _laid_out(
        self, moments: Sequence[Moment], kinds: Sequence[Moment], begin: int, end: int, tune: Tune
    ) -> list[Layer]:
        layers: list[Layer] = []
        for index in range(begin, end):
            anew = not layers or kinds[index].begins_anew
            key = kinds[index], Past() if anew else Past.of(layers[-1])
            if key not in self._layers:
                self._layers[key] = build_layer(*key, self._held)
            if not len(self._layers[key]):
                refuse(moments[index], self.instrument, self.style, tune)
            layers.append(self._layers[key])
        return layers

    def _link(self, chain: Sequence[Layer]) -> None:
        """Makes the links that are not there yet."""
        for one, other in pairwise(chain):
            if (id(one), id(other)) not in self._links:
                link = build_link(one, other)
                self._links[id(one), id(other)] = link.cost(self.tables, self._shelf)


def moved(moments: Sequence[Moment], semitones: int) -> tuple[Moment, ...]:
    """The moments so many semitones higher: what the tune asks in another key."""
    known: dict[Chord | None, Chord | None] = {None: None}
    out = []
    for moment in moments:
        chord = moment.chord
        if chord is not None and chord not in known:
            root, bass = (
                None if name is None else SHARPS[(pitch_class(name) + semitones) % 12]
                for name in (chord.root, chord.bass)
            )
            known[chord] = Chord(root or "C", chord.quality, bass)
        out.append(
            replace(
                moment,
                chord=known[chord],
                scale=frozenset((pc + semitones) % 12 for pc in moment.scale),
                melody=None if moment.melody is None else moment.melody + semitones,
            )
        )
    return tuple(out)


def _kind(moment: Moment) -> Moment:
    """The moment wherever in the tune it stands, in whatever key."""
    foreign = not (moment.roles | moment.fallback).isdisjoint(FOREIGN)
    scale = moment.scale if foreign else frozenset()
    return replace(moment, bar=0, written=0, offset=0, scale=scale)


def _begins(moments: Sequence[Moment]) -> list[int]:
    """The first moment of each part."""
    begins = [0]
    for index, moment in enumerate(moments):
        far = moment.bar - moments[begins[-1]].bar >= PART_BARS
        if index and far and moment.begins_anew and moment.downbeat:
            begins.append(index)
    return begins
