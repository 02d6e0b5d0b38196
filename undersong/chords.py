"""Chords for a tune that has none, or that has others than the player wants: proposed for its
melody, a drone on its tonic, or taken from a chart that she typed.

Every way gives a tune with its melody, bars and repeats as they were, marked with where its chords
come from (``Tune.chords_are``). All three are exported by ``undersong`` itself.

Public: propose_chords, with_drone, lay_chords, MAKERS.
"""

from collections.abc import Callable, Collection
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from tune.chord import Chord
from tune.errors import Place, TuneError
from tune.tune import DRONE, ChordChange, Tune

if TYPE_CHECKING:
    from scoring.harmony_weights import HarmonyWeights
    from solver.watch import Watch


def propose_chords(
    tune: Tune,
    more: Collection[str] = (),
    per: str = "half-bar",
    weights: "HarmonyWeights | None" = None,
    watch: "Watch | None" = None,
) -> Tune:
    """The tune with the best chords for its melody, marked as proposed; its own are replaced.

    more: beyond the primary chords of key and mode ``secondary``, ``sevenths``, ``applied``; per:
    a change at most each ``half-bar`` or each ``bar``; weights: what is asked of the chords, in
    points; watch: how long it may take. Raises TuneError for a tune without a melody.
    """
    from solver.proposal import propose

    return propose(tune, more, per, weights, watch).tune


def with_drone(tune: Tune) -> Tune:
    """The tune over one chord, its tonic's open fifth, from the first bar to the last; marked as a
    drone. Its own chords are replaced, and a change of key changes nothing: strings stay tuned."""
    fifth = ChordChange(0, Chord(tune.key.tonic, "5"))
    bars = tuple(
        replace(bar, chords=(fifth,) if index == 0 else ()) for index, bar in enumerate(tune.bars)
    )
    return replace(tune, bars=bars, chords_are=DRONE)


def lay_chords(tune: Tune, chart: Tune) -> Tune:
    """The tune with the chords of ``chart``, bar for bar as written; its own are replaced.

    The chart is one that was written from this tune and edited, or one typed to go with it: key,
    number of bars, their lengths and repeats must agree. Raises TuneError that names the first bar
    where they do not.
    """
    if not chart.has_chords:
        raise TuneError("the chart has no chords to lay over the tune; write some")
    if chart.key != tune.key:
        raise TuneError(
            f"the chart is in {chart.key} and the tune in {tune.key}; write the chart in the "
            "tune's key"
        )
    for ours, theirs in zip(tune.bars, chart.bars, strict=False):
        if ours.length != theirs.length:
            raise TuneError(
                "the tune's bar is longer or shorter than the chart's; make the chart's bars as "
                "long as the tune's",
                Place(bar=ours.number),
            )
        signs = ("repeat_start", "repeat_times", "endings")
        if any(getattr(ours, sign) != getattr(theirs, sign) for sign in signs):
            raise TuneError(
                "the tune has other repeats or endings here than the chart; write the chart's as "
                "the tune's",
                Place(bar=ours.number),
            )
    if len(tune.bars) != len(chart.bars):
        raise TuneError(
            f"the tune has {len(tune.bars)} written bars and the chart {len(chart.bars)}; write a "
            "bar of chords for every bar of the tune"
        )
    bars = tuple(
        replace(bar, chords=other.chords) for bar, other in zip(tune.bars, chart.bars, strict=True)
    )
    return replace(tune, bars=bars, chords_are=chart.chords_are)


MAKERS: MappingProxyType[str, Callable[[Tune], Tune]] = MappingProxyType(
    {"proposed": propose_chords, "drone": with_drone}
)
"""What a player may ask for in place of the tune's own chords → what lays them."""
