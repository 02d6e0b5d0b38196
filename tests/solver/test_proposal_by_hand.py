"""Chords proposed, by hand: where they may begin, what each place hears and closes, and what any
accompanist would play."""

from dataclasses import replace

import pytest

from scoring.harmony import SECTION
from solver.proposal import propose
from solver.proposal_slots import layout
from tests.solver.proposed import COMMON, NO_CADENCE, bundled, symbols, tune_of
from tune.key import Key
from tune.readers.abc import read_abc
from tune.time import QUARTER, Metre
from tune.tune import Bar, ChordChange, Note

HALF = 2 * QUARTER


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
