"""The terms of proposed chords, each worked by hand, and the chords that modes offer."""

import pytest

from scoring.harmony import END, PHRASE, SECTION, TERMS, Slot, StepTerm, Sung
from scoring.harmony_modes import DOMINANT, MORE, OTHER, PLAGAL, TONIC, Offer, offers
from scoring.harmony_weights import HarmonyWeights, bill
from scoring.weights import WeightError, Weights
from tune.chord import Chord, parse_chord
from tune.errors import TuneError
from tune.key import MODES, Key

D = Key("D")
ONE, FOUR, FIVE = offers(D, ())
C, D_, E, FIS, G, A, B, CIS = 0, 2, 4, 6, 7, 9, 11, 1


def amount(name: str, *looked_at: object) -> int:
    term = next(term for term in TERMS if term.about.name == name)
    found = term.amount(*looked_at)  # type: ignore[arg-type]
    assert isinstance(found, int)
    return found


def offer(symbol: str, part: str = OTHER, **more: bool) -> Offer:
    return Offer(parse_chord(symbol), 0, part, **more)


def slot(*sung: Sung, **more: bool | int) -> Slot:
    return Slot(D, sung, **more)  # type: ignore[arg-type]


def test_a_foreign_note_on_a_beat_counts_its_length_by_its_strength() -> None:
    heard = slot(Sung(D_, 50, 4), Sung(E, 50, 2), Sung(G, 25, 1))
    assert amount("foreign-on-beat", heard, ONE) == 50 * 2  # E; the G stands between beats
    assert amount("foreign-on-beat", heard, FOUR) == 50 * 2
    assert amount("foreign-on-beat", heard, FIVE) == 50 * 4  # D; E is the fifth of A


def test_the_seventh_that_a_dominant_is_heard_to_have_counts_half() -> None:
    assert amount("foreign-on-beat", slot(Sung(G, 100, 3)), FIVE) == 150
    assert amount("foreign-on-beat", slot(Sung(C, 100, 3)), ONE) == 300  # no D7 is meant by D
    assert amount("foreign-leapt", slot(Sung(G, 100, 3, leapt=True)), FIVE) == 0


def test_a_foreign_note_between_beats_counts_its_length() -> None:
    heard = slot(Sung(E, 25, 1), Sung(A, 25, 1), Sung(E, 25, 2))
    assert amount("foreign-between", heard, ONE) == 25


def test_a_foreign_note_that_is_left_by_leap_counts_again() -> None:
    heard = slot(Sung(E, 50, 2, leapt=True), Sung(E, 50, 1), Sung(FIS, 50, 2, leapt=True))
    assert amount("foreign-leapt", heard, ONE) == 100


def test_the_other_third_is_a_cross_relation_both_ways() -> None:
    assert amount("cross-third", slot(Sung(C, 50, 4)), FIVE) == 200  # C against A's C sharp
    assert amount("cross-third", slot(Sung(CIS, 50, 4)), offer("Am")) == 200
    assert amount("cross-third", slot(Sung(CIS, 50, 4), Sung(B, 50, 4)), FIVE) == 0
    assert amount("cross-third", slot(Sung(C, 50, 4)), offer("A5")) == 0


def test_a_chord_costs_its_rank_and_a_first_one_that_is_not_home_once() -> None:
    assert amount("unusual", slot(), Offer(Chord("F#", "m"), 2, OTHER)) == 2
    assert amount("unusual", slot(), ONE) == 0
    assert [amount("opening", slot(opens=True), one) for one in (ONE, FOUR, FIVE)] == [0, 1, 1]
    assert amount("opening", slot(), FIVE) == 0


def test_closes() -> None:
    other = offer("Bm")
    by_chord = (ONE, FIVE, FOUR, other)
    at = {close: slot(close=close) for close in (0, PHRASE, SECTION, END)}
    assert [amount("tune-end", at[END], one, OTHER) for one in by_chord] == [0, 1, 1, 1]
    assert [amount("section-end", at[SECTION], one, OTHER) for one in by_chord] == [0, 1, 2, 2]
    assert [amount("phrase-end", at[PHRASE], one, OTHER) for one in by_chord] == [0, 0, 1, 2]
    for close in (SECTION, END):
        ways = [amount("approach", at[close], ONE, part) for part in (DOMINANT, PLAGAL, OTHER)]
        assert ways == [0, 1, 2]
        assert amount("approach", at[close], FIVE, OTHER) == 0
    assert amount("approach", at[PHRASE], ONE, OTHER) == 0
    assert amount("approach", slot(close=END, at_home=True), ONE, OTHER) == 0
    for name in ("tune-end", "section-end", "phrase-end", "approach"):
        assert amount(name, at[0], other, OTHER) == 0


def test_changes_and_where_they_stand() -> None:
    half, third = slot(bar_starts=False), slot(bar_starts=False, uneven=True)
    assert amount("change", slot(), ONE, FIVE, False) == 1
    assert amount("change", slot(), ONE, ONE, True) == 0
    assert [amount("mid-bar", at, ONE, FIVE, False) for at in (slot(), half, third)] == [0, 1, 2]
    assert amount("mid-bar", half, FIVE, FIVE, False) == 0
    assert amount("held-over", slot(), FIVE, FIVE, True) == 1
    assert amount("held-over", slot(), FIVE, FIVE, False) == 0
    assert amount("held-over", slot(), FIVE, ONE, True) == 0
    assert amount("held-over", half, FIVE, FIVE, True) == 0


def test_which_way_changes_lead() -> None:
    assert amount("backwards", slot(), FIVE, FOUR, False) == 1
    assert amount("backwards", slot(), FOUR, FIVE, False) == 0
    tonic, seventh, fourth, _ = offers(Key("D", "mixolydian"), ())
    assert amount("backwards", slot(), seventh, fourth, False) == 0  # C to G is at home there
    applied = offer("E", applied=True)
    assert amount("unresolved", slot(), applied, FIVE, False) == 0
    assert amount("unresolved", slot(), applied, FOUR, False) == 1
    assert amount("unresolved", slot(), applied, applied, False) == 0
    assert tonic.part == TONIC


def test_sevenths_where_they_are_offered() -> None:
    tonic, fourth, bare, seventh = offers(D, (), ["sevenths"])
    assert [str(one.chord) for one in (tonic, fourth, bare, seventh)] == ["D", "G", "A", "A7"]
    assert amount("bare-dominant", slot(), bare, tonic, False) == 1
    assert amount("bare-dominant", slot(), seventh, tonic, False) == 0
    assert amount("bare-dominant", slot(), seventh, fourth, False) == 1
    assert amount("bare-dominant", slot(), FIVE, ONE, False) == 0  # where none is offered


@pytest.mark.parametrize(
    ("key", "sung", "more", "chords"),
    [
        ("D major", (), (), "D G A"),
        ("D major", (C,), (), "D G A C"),
        ("D major", (), ("secondary",), "D G A Bm Em F#m"),
        ("D major", (), ("applied",), "D G A E B F#"),
        ("D mixolydian", (), (), "D C G Am"),
        ("D mixolydian", (CIS,), (), "D A C G Am"),
        ("D dorian", (), (), "Dm C G Am"),
        ("E minor", (), (), "Em D Am Bm C G"),
        ("E minor", (3,), ("sevenths",), "Em B B7 D Am Bm C G"),
        ("E minor", (CIS,), (), "Em D Am Bm C G A"),
        ("G lydian", (), (), "G A D"),
        ("E phrygian", (), (), "Em F Dm Am"),
    ],
)
def test_what_a_mode_offers(
    key: str, sung: tuple[int, ...], more: tuple[str, ...], chords: str
) -> None:
    """Primary chords by mode: common practice, no source."""
    tonic, mode = key.split()
    assert " ".join(str(one.chord) for one in offers(Key(tonic, mode), sung, more)) == chords


@pytest.mark.parametrize("mode", MODES)
def test_what_is_offered_of_the_scale_lies_in_the_scale(mode: str) -> None:
    key = Key("D", mode)
    for one in offers(key, (), ["secondary"]):
        assert one.chord.pitch_classes <= key.pitch_classes
    assert offers(key, ())[0].part == TONIC


@pytest.mark.parametrize(
    ("key", "figures"), [("D major", "I IV V vi ii iii"), ("E minor", "i VII iv v VI III")]
)
def test_chords_are_those_of_music21s_roman_numerals(key: str, figures: str) -> None:
    from music21 import key as keys
    from music21 import roman

    tonic, mode = key.split()
    theirs = keys.Key(tonic, mode)
    ours = [one.chord.pitch_classes for one in offers(Key(tonic, mode), (), ["secondary"])]
    for figure, tones in zip(figures.split(), ours, strict=True):
        assert {pitch.pitchClass for pitch in roman.RomanNumeral(figure, theirs).pitches} == tones


def test_an_unknown_addition_is_named() -> None:
    with pytest.raises(TuneError, match="no 'jazz' chords to add; choose of secondary, sevenths"):
        offers(D, (), ["jazz"])
    assert set(MORE) == {"secondary", "sevenths", "applied"}


def test_the_bill_counts_joins_and_what_is_remembered() -> None:
    """D | A . D | with a repeat from the third slot to the first, by hand."""
    slots = (slot(opens=True), slot(), slot(bar_starts=False, close=SECTION), slot(close=END))
    chosen = [[ONE] * 4, [FIVE] * 4, [ONE] * 4, [ONE] * 4]
    amounts = bill(slots, (None, 0, 1, 2), [(2, 0), (2, 1)], chosen)
    assert {name: found for name, found in amounts.items() if found} == {
        "change": 3,  # D A, A D, and the second join D A
        "mid-bar": 1,
        "held-over": 1,
    }


def test_terms_have_names_prices_and_no_negative_amounts() -> None:
    names = [term.about.name for term in TERMS]
    assert len(set(names)) == len(names)
    assert all(0 <= term.about.default <= term.about.limit for term in TERMS)
    assert all(term.about.meaning and term.about.unit and term.about.source for term in TERMS)
    assert any(isinstance(term, StepTerm) for term in TERMS)


def test_weights_have_names_and_points_of_their_own() -> None:
    assert HarmonyWeights.of({"change": 7})["change"] == 7
    assert HarmonyWeights.of({"change": HarmonyWeights()["change"]}) == HarmonyWeights()
    assert type(HarmonyWeights().updated({"change": 7})) is HarmonyWeights
    with pytest.raises(WeightError, match="no weight named 'high-bass'; the names are foreign-on"):
        HarmonyWeights.of({"high-bass": 1})
    with pytest.raises(WeightError, match="a whole number of points"):
        HarmonyWeights.of({"change": 1.5})  # type: ignore[dict-item]
    with pytest.raises(WeightError, match="no weight named 'change'"):
        Weights.of({"change": 1})


@pytest.mark.parametrize("wrong", [(12, 1, 1), (0, -1, 1), (0, 1, 5), (0, 1, 0)])
def test_a_melody_note_that_cannot_be(wrong: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="no melody note"):
        Sung(*wrong)
