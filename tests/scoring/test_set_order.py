"""What counts between tunes, by hand, and how keys follow against music21's keys and intervals."""

from itertools import product
from math import log2

import pytest
from music21 import interval, key, pitch

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.moment import Moment
from scoring.set_order import (
    ABOUTS,
    JOIN_TERMS,
    RELATIONS,
    SetPrices,
    changes,
    follows,
    join_work,
    priced,
    relation,
)
from scoring.weights import WeightError, Weights
from tune.chord import Chord
from tune.key import Key

TONICS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def music21_key(mine: Key) -> key.Key:
    return key.Key(mine.tonic.replace("b", "-"), mine.mode)


def relation_by_music21(before: Key, after: Key) -> str:
    """The same table from music21's scales and intervals."""
    old, new = music21_key(before), music21_key(after)
    if old.tonic.pitchClass == new.tonic.pitchClass:
        return "same-key" if old.mode == new.mode else "same-tonic"
    notes = [{each.pitchClass for each in one.pitches} for one in (old, new)]
    if notes[0] == notes[1]:
        return "same-notes"
    low = pitch.Pitch(midi=48 + old.tonic.pitchClass)
    up = interval.Interval(low, pitch.Pitch(midi=60 + new.tonic.pitchClass)).semitones % 12
    named = {
        interval.Interval("P4").semitones: "fourth-up",
        interval.Interval("P5").semitones: "fifth-up",
        interval.Interval("M2").semitones: "step-up",
        interval.Interval("m7").semitones: "step-down",
    }
    return named.get(up, "far-key")


def test_how_keys_follow_is_what_music21_makes_of_them() -> None:
    modes = ("major", "minor", "dorian", "mixolydian")
    there = []
    for tonic, mode in product(TONICS, modes):
        try:
            there.append(Key(tonic, mode))
        except ValueError:  # more than seven signs
            continue
    for before, after in product([Key("D"), Key("E", "minor"), Key("A", "mixolydian")], there):
        assert relation(before, after) == relation_by_music21(before, after), (before, after)


@pytest.mark.parametrize(
    ("before", "after", "name"),
    [
        (Key("D"), Key("D"), "same-key"),
        (Key("D"), Key("B", "minor"), "same-notes"),
        (Key("D"), Key("A", "mixolydian"), "same-notes"),
        (Key("D"), Key("D", "dorian"), "same-tonic"),
        (Key("D"), Key("G"), "fourth-up"),
        (Key("G"), Key("D"), "fifth-up"),
        (Key("G"), Key("A"), "step-up"),
        (Key("A"), Key("G"), "step-down"),
        (Key("D"), Key("Eb"), "far-key"),
    ],
)
def test_a_players_keys(before: Key, after: Key, name: str) -> None:
    """Common practice, no source."""
    assert relation(before, after) == name
    assert follows(before, after) == {name: 1}


def test_strings_and_capo_are_counted_apart() -> None:
    d_a_d = instrument(tuning="D-A-d")
    assert changes(d_a_d, d_a_d) == {"string": 0, "semitone": 0, "capo-move": 0}
    other = instrument(tuning="D-G-c", capo=1)  # middle and melody a whole tone down
    assert changes(d_a_d, other) == {"string": 2, "semitone": 4, "capo-move": 1}
    assert changes(other, d_a_d) == changes(d_a_d, other)
    assert priced(changes(d_a_d, other), SetPrices()) == 2 * 2000 + 4 * 500 + 1000


def test_prices_are_changed_one_by_one_and_complained_of_as_prices() -> None:
    assert SetPrices.of({"string": 7})["string"] == 7
    assert SetPrices().updated({"join": 0})["join"] == 0
    assert dict(SetPrices().items()) == {about.name: about.default for about in ABOUTS}
    with pytest.raises(WeightError, match="no price named 'strings'; the names are string, "):
        SetPrices.of({"strings": 1})
    with pytest.raises(WeightError, match="the price join must lie between 0 and 100, not 101"):
        SetPrices.of({"join": 101})


def test_every_relation_has_a_price_and_the_same_key_is_the_cheapest() -> None:
    defaults = [about.default for about in RELATIONS]
    assert defaults[0] == min(defaults)
    assert defaults[-1] == max(defaults)
    assert {about.name for about in RELATIONS} < {about.name for about in ABOUTS}


def moment(ms: int = 400) -> Moment:
    strikes = ((True, True, True),)
    return Moment(
        bar=1, written=0, offset=0, length=10080, ms=ms, chord=Chord("D"), change=True,
        downbeat=True, strong=True, half_bar=False, moves=False, run=False, keeps=False,
        rings=False, leads=False, judged=False, damped=False, strikes=strikes,
        plays=strikes[0], roles=frozenset({"root"}),
    )  # fmt: skip


def choice(frets: tuple[int, ...], fingers: tuple[int, ...], place: int) -> Choice:
    return Choice(Grip(frets, fingers, place), (True, True, True), "root")


def test_a_join_by_hand() -> None:
    """The index finger holds fret 2 (4 semitones) on the melody string; then all is open."""
    board, hand, weights = instrument(), Hand(), Weights()
    held = choice((0, 0, 4), (-1, -1, 1), 140)
    free = choice((0, 0, 0), (-1, -1, -1), 140)

    def join(before: Choice, after: Choice, ms: int = 400, own: Weights = weights) -> int:
        return join_work((before, moment(ms)), (after, moment()), board, hand, own)

    assert join(held, held) == 0  # the finger stays
    assert join(held, free) == weights["finger-up"] == 15
    # down again: from above the string, one course off (16 mm = 160), onto the gap of fret 2:
    # 20 + 45 * log2(160 / gap + 1) ms, and 40 for putting it down
    gap = board.gap(2, 4)
    away = round((160**2 + (board.along(4) - 1400) ** 2) ** 0.5)
    assert join(free, held) == round(20 + 45 * log2(away / gap + 1)) + 40
    # chords and bass are not counted in a join, whatever they cost
    assert join(held, free, own=weights.updated({"finger-up": 0})) == 0
    # in 20 ms, of which three quarters are unhurried: 20 for each ms beyond
    travel = join(free, held) - 40
    assert join(free, held, ms=20) == join(free, held) + 20 * (travel - 15)


def test_only_hand_work_counts_in_a_join() -> None:
    fingers = {"finger-travel", "finger-slide", "finger-down", "finger-up"}
    assert fingers | {"hand-shift", "hurry"} == JOIN_TERMS
