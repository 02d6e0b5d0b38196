"""Chords proposed: against every other choice there is, and relations that must hold."""

import time
from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scoring.harmony import TERMS
from scoring.harmony_modes import OTHER, Offer, offers
from scoring.harmony_weights import HarmonyWeights, bill
from solver.proposal import propose
from solver.proposal_slots import layout
from solver.watch import OutOfTime, Stopped, Watch
from tests.solver.proposed import COMMON, NAMES, bundled, symbols, tune_of
from tune.errors import TuneError
from tune.key import Key
from tune.time import Metre
from tune.tune import PROPOSED, Bar, Note, Tune

MOST_CHOICES = 12_000


def cheapest_of_all(
    tune: Tune, more: tuple[str, ...], per: str, weights: HarmonyWeights
) -> int | None:
    """The least bill of any choice, one after another; None for too many. Shares with the search
    what a slot is and what a term counts, and nothing of how the least is found."""
    laid = layout(tune, per)
    sung = {
        key: [n.midi % 12 for bar in tune.bars if bar.key == key for n in bar.notes if n.midi]
        for key in {bar.key for bar in tune.bars}
    }
    by_key = {key: {o.chord: o for o in offers(key, pcs, more)} for key, pcs in sung.items()}
    ways = [list(by_key[slot.key]) for slot in laid.slots]
    if np.prod([len(way) for way in ways], dtype=float) > MOST_CHOICES:
        return None
    least: int | None = None
    for choice in product(*ways):
        told = [
            [by_key[slot.key].get(chord) or Offer(chord, 0, OTHER) for slot in laid.slots]
            for chord in choice
        ]
        amounts = bill(laid.slots, laid.comes_after, laid.joins, told)
        cost = sum(weights[name] * amount for name, amount in amounts.items())
        least = cost if least is None else min(least, cost)
    return least


KEYS = [Key("D"), Key("D", "mixolydian"), Key("E", "minor"), Key("A", "dorian"), Key("G")]


@st.composite
def tiny_tunes(draw: st.DrawFn) -> Tune:
    """Up to five bars with repeats, endings, a pickup, two keys; few enough for brute force."""
    metre = draw(st.sampled_from([COMMON, Metre(3, 4), Metre(6, 8), Metre(2, 4)]))
    keys = draw(st.lists(st.sampled_from(KEYS), min_size=1, max_size=2))
    bars = []
    for index in range(draw(st.integers(1, 5))):
        short = draw(st.booleans()) if index == 0 else draw(st.integers(0, 5)) == 0
        length = metre.bar // metre.beats if short else metre.bar
        notes: list[Note] = []
        for tick in range(0, length, metre.bar // metre.beats):
            pitch = draw(st.none() | st.integers(60, 76))
            notes.append(Note(tick, metre.bar // metre.beats, pitch))
        bars.append(
            Bar(
                index + 1, metre, length, draw(st.sampled_from(keys)), (), tuple(notes),
                repeat_start=draw(st.integers(0, 3)) == 0,
                repeat_times=draw(st.sampled_from([1, 1, 2, 3])),
                endings=draw(st.sampled_from([(), (), (), (1,), (2,), (1, 3)])),
            )
        )  # fmt: skip
    try:
        return tune_of(*bars)
    except TuneError:  # endings that cannot be followed
        return tune_of(*(replace(bar, endings=()) for bar in bars))


PRICES = st.fixed_dictionaries(
    {term.about.name: st.sampled_from([0, 1, 7, 100, 300]) for term in TERMS}
).map(HarmonyWeights.of)
MORE = st.sampled_from([(), (), ("sevenths",), ("applied",)])


def sounds(tune: Tune) -> bool:
    return any(note.midi is not None for bar in tune.bars for note in bar.notes)


def agree(tune: Tune, more: tuple[str, ...], per: str, weights: HarmonyWeights) -> bool:
    """Whether there was something to compare; a difference fails."""
    if not sounds(tune):
        return False
    least = cheapest_of_all(tune, more, per, weights)
    if least is None:
        return False
    assert propose(tune, more, per, weights).cost == least
    return True


QUIET = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]


def test_nothing_is_cheaper_by_brute_force() -> None:
    compared = joined = 0

    @settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=QUIET)
    @given(tiny_tunes(), MORE, st.sampled_from(["half-bar", "bar"]), PRICES)
    def compare(tune: Tune, more: tuple[str, ...], per: str, weights: HarmonyWeights) -> None:
        nonlocal compared, joined
        if agree(tune, more, per, weights):
            compared += 1
            joined += bool(layout(tune, per).joins)

    compare()
    assert compared >= 20
    assert joined >= 3


@pytest.mark.slow
def test_nothing_is_cheaper_by_brute_force_a_thousand_times() -> None:
    compared = joined = 0

    @settings(max_examples=1500, deadline=None, suppress_health_check=QUIET)
    @given(tiny_tunes(), MORE, st.sampled_from(["half-bar", "bar"]), PRICES)
    def compare(tune: Tune, more: tuple[str, ...], per: str, weights: HarmonyWeights) -> None:
        nonlocal compared, joined
        if agree(tune, more, per, weights):
            compared += 1
            joined += bool(layout(tune, per).joins)

    compare()
    print(f"\nproposals compared with brute force: {compared}, of them {joined} with joins")
    assert compared >= 500
    assert joined >= 100


@pytest.mark.parametrize("name", NAMES)
def test_a_bundled_tune_gets_chords_of_its_keys_that_end_at_home(name: str) -> None:
    tune = bundled(name)
    found = propose(tune)
    assert found.tune.chords_are == PROPOSED
    assert found.tune == replace(tune, bars=found.tune.bars, chords_are=PROPOSED)
    sung = {note.midi % 12 for bar in tune.bars for note in bar.notes if note.midi is not None}
    for bar, old in zip(found.tune.bars, tune.bars, strict=True):
        assert replace(bar, chords=()) == replace(old, chords=())
        for change in bar.chords:
            assert change.chord is not None
            assert change.chord.pitch_classes <= bar.key.pitch_classes | sung
    last = found.chords[found.layout.slots.index(max(found.layout.slots, key=lambda s: s.close))]
    assert last.root == tune.key.tonic
    carried, notes = found.covered
    assert carried >= 0.7 * notes


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("semitones", [-5, 2, 12])
def test_the_proposal_moves_with_the_tune(name: str, semitones: int) -> None:
    tune = bundled(name)
    found, moved = propose(tune, ["secondary"]), propose(tune.transposed(semitones), ["secondary"])
    assert moved.cost == found.cost
    assert moved.tune == found.tune.transposed(semitones)


@pytest.mark.parametrize("name", NAMES)
def test_what_the_tune_had_is_not_looked_at(name: str) -> None:
    tune = bundled(name)
    bare = replace(tune, bars=tuple(replace(bar, chords=()) for bar in tune.bars))
    assert propose(bare).tune == propose(tune).tune
    assert propose(propose(tune).tune).tune == propose(tune).tune


@pytest.mark.parametrize("name", NAMES)
def test_tempo_and_octave_change_nothing(name: str) -> None:
    tune = bundled(name)
    assert propose(tune.at_tempo(60)).chords == propose(tune).chords
    assert propose(tune.transposed(12)).chords == propose(tune).chords


@pytest.mark.parametrize("term", [term.about.name for term in TERMS])
def test_a_weight_of_nothing_costs_nothing_and_more_weight_never_gives_more_of_it(
    term: str,
) -> None:
    tune = bundled("biscuit-tin-stomp")
    more = ("secondary", "sevenths", "applied")
    default = propose(tune, more)
    free = propose(tune, more, weights=HarmonyWeights.of({term: 0}))
    dear = propose(tune, more, weights=HarmonyWeights.of({term: 50_000}))
    assert free.cost <= default.cost <= dear.cost
    assert dear.amounts[term] <= default.amounts[term] <= free.amounts[term]


def test_more_chords_never_cost_more_and_fewer_places_never_less() -> None:
    for name in NAMES:
        tune = bundled(name)
        plain = propose(tune)
        assert propose(tune, ["secondary"]).cost <= plain.cost
        assert propose(tune, ["applied"]).cost <= plain.cost
        if all(bar.length == bar.metre.bar for bar in tune.bars):
            slow = propose(tune, per="bar")
            assert all(change.tick == 0 for bar in slow.tune.bars for change in bar.chords)


def test_dear_changes_leave_one_chord() -> None:
    weights = HarmonyWeights.of({"change": 100_000})
    found = propose(bundled("harrow-lane"), weights=weights)
    assert len(set(symbols(found))) == 1


@pytest.mark.parametrize("name", NAMES)
def test_the_chart_has_the_changes_that_are_told(name: str) -> None:
    """Where no ending is written, one after another as they stand there."""
    found = propose(bundled(name))
    written = [change.chord for bar in found.tune.bars for change in bar.chords]
    changes = sum(a != b for a, b in pairwise(written))
    if any(bar.endings for bar in found.tune.bars):
        assert changes <= found.changes <= len(written)
    else:
        assert found.changes == changes


def test_64_bars_take_well_under_a_third_of_a_second() -> None:
    tune = bundled("long-way-round-the-green")
    assert len(tune.bars) == 64
    propose(tune)
    begun = time.process_time()
    propose(tune)
    assert time.process_time() - begun < 0.3


def test_a_tune_without_melody_is_refused_in_one_sentence() -> None:
    with pytest.raises(TuneError, match="Stacking the Chairs has no melody"):
        propose(bundled("stacking-the-chairs"))


def test_a_watch_ends_it() -> None:
    with pytest.raises(OutOfTime):
        propose(bundled("harrow-lane"), watch=Watch(seconds=0))
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        propose(bundled("harrow-lane"), watch=watch)


def test_how_often_is_half_bar_or_bar() -> None:
    with pytest.raises(TuneError, match="at most each half-bar or bar, not each 'beat'"):
        propose(bundled("harrow-lane"), per="beat")
