"""Chords proposed for a melody: the cheapest of all that its keys offer, half bar by half bar.

What is offered stands in ``scoring.harmony_modes``, what it costs in ``scoring.harmony``.

Public: propose, Proposal.
"""

from bisect import bisect_right
from collections.abc import Collection
from dataclasses import dataclass, replace

from scoring.harmony_modes import OTHER, Offer, offers
from scoring.harmony_weights import HarmonyWeights, bill
from solver.proposal_search import cheapest
from solver.proposal_slots import HALF_BAR, Layout, begun_on_beats, layout
from solver.watch import Watch
from tune.chord import Chord
from tune.errors import TuneError
from tune.key import Key
from tune.tune import PROPOSED, ChordChange, Tune


@dataclass(frozen=True)
class Proposal:
    """tune: with the proposed chords, and marked so; chords: for each slot of the layout; cost: in
    points, proven least; amounts: by term."""

    tune: Tune
    layout: Layout
    chords: tuple[Chord, ...]
    cost: int
    amounts: dict[str, int]

    @property
    def covered(self) -> tuple[int, int]:
        """How many melody notes that begin on a beat are tones of the chord they begin over, and
        how many there are: each once, as written, and none that begins before the first chord."""
        chords = dict(zip(self.layout.places, self.chords, strict=True))
        places = sorted(chords)
        notes = [
            note.pc in chords[places[at - 1]].pitch_classes
            for note in begun_on_beats(self.tune)
            if (at := bisect_right(places, note.place))
        ]
        return sum(notes), len(notes)

    @property
    def before_first(self) -> int:
        """How many melody notes begin on a beat before the first chord, in a pickup."""
        return len(begun_on_beats(self.tune)) - self.covered[1]

    @property
    def changes(self) -> int:
        """How often the chord changes as the chart is written, what repeats lead back to left out;
        each ending changes from the bar before the first of them."""
        pairs = zip(self.layout.comes_after, self.chords, strict=True)
        return sum(last is not None and self.chords[last] != chord for last, chord in pairs)


def propose(
    tune: Tune,
    more: Collection[str] = (),
    per: str = HALF_BAR,
    weights: HarmonyWeights | None = None,
    watch: Watch | None = None,
) -> Proposal:
    """The best chords for the tune's melody; chords that it has are replaced.

    more: what is offered beyond the primary chords, names out of ``MORE``; per: a change at most
    each ``half-bar`` or each ``bar``. Raises TuneError for a tune without a melody, OutOfTime or
    Stopped as the watch says.
    """
    if not any(note.midi is not None for bar in tune.bars for note in bar.notes):
        has = "it has chords already, so arrange it with those, or " if tune.has_chords else ""
        raise TuneError(
            f"{tune.title} has no melody, and chords are proposed for one: {has}write its notes, "
            "as ABC or MusicXML"
        )
    weights = HarmonyWeights() if weights is None else weights
    laid = layout(tune, per)
    told, offered = _told(tune, more)
    cost, chosen = cheapest(laid, told, offered, weights, watch or Watch())
    amounts = bill(
        laid.slots,
        laid.comes_after,
        laid.joins,
        [[told[slot.key][at] for slot in laid.slots] for at in chosen],
    )
    if cost != sum(weights[name] * amount for name, amount in amounts.items()):
        raise AssertionError("the proposal's bill is not what its search says")
    any_key = next(iter(told.values()))
    chords = tuple(any_key[at].chord for at in chosen)
    return Proposal(_with(tune, laid, chords), laid, chords, cost, amounts)


def _told(
    tune: Tune, more: Collection[str]
) -> tuple[dict[Key, list[Offer]], dict[Key, list[bool]]]:
    """Every chord that some key offers, as each key tells it, and whether that key offers it."""
    own: dict[Key, tuple[Offer, ...]] = {}
    for key in dict.fromkeys(bar.key for bar in tune.bars):
        sung = {
            note.midi % 12
            for bar in tune.bars
            for note in bar.notes
            if bar.key == key and note.midi is not None
        }
        own[key] = offers(key, sung, more)
    chords = list(dict.fromkeys(offer.chord for found in own.values() for offer in found))
    told: dict[Key, list[Offer]] = {}
    for key, found in own.items():
        by_chord = {offer.chord: offer for offer in reversed(found)}
        told[key] = [by_chord.get(chord) or Offer(chord, 0, OTHER) for chord in chords]
    offered = {key: [offer in own[key] for offer in told[key]] for key in told}
    return told, offered


def _with(tune: Tune, laid: Layout, chords: tuple[Chord, ...]) -> Tune:
    """The tune with each chord written where it begins, and where a section, a repeat or another
    ending does."""
    changes: dict[int, list[ChordChange]] = {}
    by_place = dict(zip(laid.places, range(len(chords)), strict=True))
    for place, at in sorted(by_place.items()):
        last = laid.comes_after[at]
        bar = tune.bars[place[0]]
        stays = last is not None and last == at - 1 and chords[last] == chords[at]
        if stays and not (laid.slots[at].bar_starts and (bar.section or bar.repeat_start)):
            continue
        changes.setdefault(place[0], []).append(ChordChange(place[1], chords[at]))
    bars = tuple(
        replace(bar, chords=tuple(changes.get(index, ()))) for index, bar in enumerate(tune.bars)
    )
    return replace(tune, bars=bars, chords_are=PROPOSED)
