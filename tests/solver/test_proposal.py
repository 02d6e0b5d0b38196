"""Chords proposed: against every other choice there is, and relations that must hold."""

import time
from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import corpus
from scoring.harmony import SECTION, TERMS
from scoring.harmony_modes import OTHER, Offer, offers
from scoring.harmony_weights import HarmonyWeights, bill
from solver.proposal import Proposal, propose
from solver.proposal_slots import layout
from solver.watch import OutOfTime, Stopped, Watch
from tune.errors import TuneError
from tune.key import Key
from tune.readers import read
from tune.readers.abc import read_abc
from tune.time import QUARTER, Metre, Tempo
from tune.tune import PROPOSED, Bar, ChordChange, Note, Tune

HALF = 2 * QUARTER
COMMON = Metre(4, 4)
NAMES = [name for name in corpus.names() if corpus.path(name).suffix != ".chart"]
MOST_CHOICES = 12_000
NO_CADENCE = HarmonyWeights.of({"approach": 0})


def bundled(name: str) -> Tune:
    return read(str(corpus.path(name)))


def tune_of(*bars: Bar) -> Tune:
    first = bars[0]
    return Tune("Test", first.key, first.metre, Tempo(QUARTER, 100), bars)


def symbols(found: Proposal) -> list[str]:
    return [str(chord) for chord in found.chords]


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


def test_a_scale_and_its_cadence_by_ear() -> None:
    """The first and last bar are D arpeggios, the third lies on G B, the fourth on A C sharp E:
    what any accompanist would play (common practice, no source)."""
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:D\nD F A F|G B G B|A c e c|D4|]\n")
    assert [str(bar.chords[0].chord) for bar in propose(tune).tune.bars] == ["D", "G", "A", "D"]


def test_a_leading_note_in_minor_brings_the_major_fifth() -> None:
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:Em\nE G B G|A c A c|B ^d B ^d|E4|]\n")
    assert [str(bar.chords[0].chord) for bar in propose(tune).tune.bars] == ["Em", "Am", "B", "Em"]


def test_rests_carry_the_chord_on_and_a_pickup_waits() -> None:
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:D\nA|D F A F|z4|z4|D3|]\n")
    bars = propose(tune, weights=NO_CADENCE).tune.bars
    assert [[str(change.chord) for change in bar.chords] for bar in bars] == [
        [], ["D"], [], [], [],
    ]  # fmt: skip


def test_endings_follow_the_bar_before_the_first_of_them() -> None:
    """A join for the way back; the second ending comes after the common bars, not the first."""
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:D\n|:D F A F|G B G B|1 A c e c:|2 D4|]\n")
    laid = layout(tune, "bar")
    assert laid.comes_after == (None, 0, 1, 1)
    assert laid.joins == ((2, 0),)
    chords = [[str(change.chord) for change in bar.chords] for bar in propose(tune).tune.bars]
    assert chords == [["D"], ["G"], ["A"], ["D"]]


@pytest.mark.parametrize(
    ("metre", "starts"),
    [
        (Metre(4, 4), (0, HALF)),
        (Metre(2, 2), (0, HALF)),
        (Metre(2, 4), (0, QUARTER)),
        (Metre(6, 8), (0, 3 * QUARTER // 2)),
        (Metre(12, 8), (0, 3 * QUARTER)),
        (Metre(3, 4), (0, HALF)),
        (Metre(9, 8), (0, 3 * QUARTER)),
        (Metre(5, 4), (0, 3 * QUARTER)),
        (Metre(7, 8), (0, HALF)),
        (Metre(3, 8), (0,)),
        (Metre(1, 4), (0,)),
        (Metre(1, 1), (0,)),
    ],
)
def test_where_chords_may_begin(metre: Metre, starts: tuple[int, ...]) -> None:
    bar = Bar(1, metre, metre.bar, Key("D"), (), (Note(0, metre.bar, 62, "D"),))
    tune = tune_of(bar, replace(bar, number=2))
    assert [tick for index, tick in layout(tune).places if index == 1] == list(starts)
    assert [tick for index, tick in layout(tune, "bar").places if index == 1] == [0]
    assert {str(chord) for chord in propose(tune, weights=NO_CADENCE).chords} == {"D"}


def test_a_long_pickup_waits_for_its_half_bar_and_split_bars_are_one() -> None:
    key, three = Key("D"), 3 * QUARTER
    pickup = Bar(0, COMMON, three, key, (), (Note(0, three, 62, "D"),))
    full = Bar(1, COMMON, COMMON.bar, key, (), (Note(0, COMMON.bar, 62, "D"),))
    short = Bar(2, COMMON, three, key, (), (Note(0, three, 62, "D"),), repeat_times=2)
    rest = Bar(3, COMMON, QUARTER, key, (), (Note(0, QUARTER, 69, "A"),), repeat_start=True)
    tune = tune_of(pickup, full, short, rest, replace(full, number=4))
    laid = layout(tune)
    assert laid.places == ((0, QUARTER), (1, 0), (1, HALF), (2, 0), (2, HALF), (4, 0), (4, HALF))
    half = laid.slots[4]  # a quarter of the short bar and the quarter after the sign
    assert [(note.pc, note.length, note.strength) for note in half.sung] == [(2, 50, 3), (9, 50, 2)]


def test_notes_are_weighed_by_their_place() -> None:
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/8\nK:D\nD2 EF G4|A8|]\n")
    laid = layout(tune)
    heard = [[(n.pc, n.length, n.strength, n.leapt) for n in slot.sung] for slot in laid.slots]
    assert heard == [
        [(2, 50, 4, False), (4, 25, 2, False), (6, 25, 1, False)],
        [(7, 100, 3, False)],
        [(9, 100, 4, True)],
        [(9, 100, 3, True)],
    ]


def test_what_closes_where() -> None:
    """Harrow Lane: eight bars and eight bars, each twice; phrases of four."""
    laid = layout(bundled("harrow-lane"), "bar")
    eight = [0, 0, 0, 1, 0, 0, 0]
    assert [slot.close for slot in laid.slots] == [*eight, 2, *eight, 3]
    assert laid.joins == ((7, 0), (15, 8))


def test_a_phrase_ends_with_a_long_note_where_bars_do_not_divide() -> None:
    body = "D F A F|G G A A|F4|D F A F|G B A G|F F E E|D4|]"
    laid = layout(read_abc(f"X:1\nT:t\nM:4/4\nL:1/4\nK:D\n{body}\n"), "bar")
    assert [slot.close for slot in laid.slots] == [0, 0, 1, 0, 0, 0, 3]


def test_chords_are_written_where_they_begin_and_where_a_section_does() -> None:
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:D\n|:D F A F|D4:|\n|:D F A F|D4:|\n")
    bars = propose(tune, weights=NO_CADENCE).tune.bars
    assert [len(bar.chords) for bar in bars] == [1, 0, 1, 0]
    assert isinstance(bars[0].chords[0], ChordChange)


@pytest.mark.parametrize(
    ("body", "covered", "before", "changes"),
    [
        ("D4|D4|]", (2, 2), 0, 0),  # held over the half bar, begun once
        ("D2 EF G4|A8-|A4 D4|]", (4, 5), 0, 2),  # D E G A D; the tied A goes on
        ("A|DFAF|GBGB|Acec|D3|]", (13, 13), 1, 3),  # the pickup has no chord yet
        ("|:DFAF|GBGB|Acec|D4:|", (13, 13), 0, 3),  # sung twice, written once
        ("|:DFAF|GBGB|1Acec:|2D4|]", (13, 13), 0, 3),  # D to G, G to A, G to D
        ("DFAF|{c}D4|z4|D4|]", (6, 6), 0, 0),  # no grace notes, no rests
    ],
)
def test_what_is_covered_is_counted_as_written(
    body: str, covered: tuple[int, int], before: int, changes: int
) -> None:
    """Notes and changes counted by hand."""
    length = "1/8" if "G4" in body else "1/4"
    found = propose(read_abc(f"X:1\nT:t\nM:4/4\nL:{length}\nK:D\n{body}\n"), per="bar")
    assert (found.covered, found.before_first, found.changes) == (covered, before, changes)


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


@pytest.mark.parametrize("body", ["D4|D4|]", "D4|F2 A2|d4|D4|]", "|:A4|D4:|", "A|D4|D3|]"])
def test_a_tune_of_the_tonic_alone_gets_the_tonic_throughout(body: str) -> None:
    """Nothing in it asks for a cadence (common practice, no source)."""
    found = propose(read_abc(f"X:1\nT:t\nM:4/4\nL:1/4\nK:D\n{body}\n"))
    assert set(symbols(found)) == {"D"}
    assert found.cost == 0


def test_what_asks_for_another_chord_is_looked_for_within_the_section() -> None:
    """The first section leaves the tonic and has its cadence, the second has none to make; a
    second ending's section has the common bars in it."""
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:D\n|:DFAF|EGBe:||:D4|d4:|\n")
    closing = [slot.at_home for slot in layout(tune, "bar").slots if slot.close >= SECTION]
    assert closing == [False, True]
    tune = read_abc("X:1\nT:t\nM:4/4\nL:1/4\nK:D\n|:DFAF|EGBe|1D4:|2d4|]\n")
    closing = [slot.at_home for slot in layout(tune, "bar").slots if slot.close >= SECTION]
    assert closing == [False, False]


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
