"""Advice for a jam, held to what the trade says of capos and to every choice written down.

Sources stand by their titles; TRADE.md, "Tunings", has them all.
"""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from music21 import pitch, scale

from fretboard.frets import fret_label, fret_semitones
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.harmony_modes import offers
from solver.errors import NotPlayable
from solver.watch import OutOfTime, Stopped, Watch
from tests.undersong.running import run
from tune.chord import pitch_class
from tune.key import MODES, Key
from tune.readers.chart.fields import read_key
from undersong.advice.cadence import cadence
from undersong.advice.jam import Evening, Jam, KeyPlayed, Prices, Sitting, sit_down
from undersong.advice.jam_document import jam_json, jam_schema
from undersong.advice.jam_text import jam_text
from undersong.advice.lying_open import open_strings, scales
from undersong.session import Session

D_A_D, D_A_A = ("D-A-d", (50, 57, 62)), ("D-A-A", (50, 57, 57))
CAPOS = tuple(map(fret_semitones, ("0", "1", "3", "4")))


def evening(*keys: str, **other: object) -> Evening:
    asked = Evening(tuple(map(read_key, keys)), instrument(), instrument(), (D_A_D,), CAPOS)
    return replace(asked, **other)  # type: ignore[arg-type]


def capos(sitting: Sitting) -> dict[str, str]:
    return {str(each.key): fret_label(each.capo) for each in sitting.played}


@pytest.fixture(scope="module")
def trade() -> Jam:
    """The keys that the trade's capo facts speak of, where moving the capo counts nothing."""
    return sit_down(evening("D", "E dorian", "G", "A", prices=Prices(capo_move=0)))


def test_each_key_gets_the_capo_that_the_trade_gives_it(trade: Jam) -> None:
    """S *The Dulcimer Capo and How It Works*; *Capo positions, tunings, chords*: a capo on D-A-d
    at 1 for E dorian, at 3 for G major, at 4 for A; D itself needs none."""
    (sitting,) = trade.sittings
    assert capos(sitting) == {"D major": "0", "E dorian": "1", "G major": "3", "A major": "4"}
    assert sitting.proven
    for each in sitting.played:
        assert each.open == ("root", "fifth", "root")


@pytest.mark.parametrize(
    ("capo", "key", "extra"),
    [
        # the same sources: E dorian with 6+, aeolian with 6; G major with 6, lydian with 6+; D
        # mixolydian from 0, ionian with 6+
        ("1", "E dorian", ("6+",)),
        ("1", "E minor", ()),
        ("3", "G major", ()),
        ("3", "G lydian", ("6+",)),
        ("0", "D mixolydian", ()),
        ("0", "D major", ("6+",)),
    ],
)
def test_the_scale_lies_where_the_trade_has_it(capo: str, key: str, extra: tuple[str, ...]) -> None:
    strung = instrument(capo=capo)
    found = scales(read_key(key), strung)
    assert fret_label(found[0].first) == capo
    assert tuple(map(fret_label, found[0].extra)) == extra
    assert open_strings(read_key(key), strung) == ("root", "fifth", "root")


@pytest.mark.parametrize(("tuning", "key", "first"), [
    ("D3 A3 A3", "D major", "3"), ("D3 A3 C4", "D minor", "1"), ("D3 A3 G3", "D dorian", "4"),
    ("D3 A3 D4", "D mixolydian", "0"),
])  # fmt: skip
def test_the_scale_of_each_tuning_begins_where_the_trade_says(
    tuning: str, key: str, first: str
) -> None:
    """TRADE.md, "Tunings" (S), on the traditional frets."""
    found = scales(read_key(key), instrument("traditional", tuning=tuning))
    assert [fret_label(each.first) for each in found][:1] == [first]
    assert not any(each.extra for each in found)


def test_scales_are_those_of_music21() -> None:
    """music21's scales are the oracle: which octaves of a melody string are whole."""
    made = {"major": scale.MajorScale, "minor": scale.MinorScale, "dorian": scale.DorianScale,
            "mixolydian": scale.MixolydianScale, "lydian": scale.LydianScale,
            "phrygian": scale.PhrygianScale, "locrian": scale.LocrianScale}  # fmt: skip
    strung, seen = instrument("1+6+"), 0
    there = {strung.pitch(2, fret) for fret in strung.frets(2)}
    for mode, tonic in product(MODES, ("D", "E", "G", "A", "F", "C")):
        whole = set()
        for low in sorted(there):
            if pitch.Pitch(midi=low).pitchClass != pitch.Pitch(tonic).pitchClass:
                continue
            octave = made[mode](pitch.Pitch(tonic)).getPitches(
                pitch.Pitch(midi=low), pitch.Pitch(midi=low + 12)
            )
            if {each.midi for each in octave} <= there:
                whole.add((low - 62, low - 50))
        assert {(one.first, one.last) for one in scales(Key(tonic, mode), strung)} == whole
        seen += len(whole)
    assert seen > 10


def test_a_cadence_has_the_modes_own_primary_chords() -> None:
    for tonic, mode in product(("D", "E", "A"), MODES):
        key = Key(tonic, mode)
        tune = cadence(key)
        symbols = [bar.chords[0].chord.symbol for bar in tune.bars if bar.chords[0].chord]
        primary = [offer.chord.symbol for offer in offers(key, ()) if offer.rank == 0]
        assert symbols[0] == symbols[-1] == primary[0]
        assert sorted(symbols[:-1]) == sorted(primary)
    # common practice, no source
    assert [str(bar.chords[0].chord) for bar in cadence(Key("D")).bars] == ["D", "G", "A", "D"]
    dorian = cadence(Key("E", "dorian"))
    assert [str(bar.chords[0].chord) for bar in dorian.bars] == ["Em", "A", "D", "Em"]


def test_every_number_is_the_cadences_own_answer(trade: Jam) -> None:
    (sitting,) = trade.sittings
    for each in sitting.played:
        alone = Session(cadence(each.key), instrument=instrument().with_capo(each.capo)).arrange()
        assert (alone.cost, alone.proof.status) == (each.cost, "proven best")


@cache
def alone(key: Key, strung: tuple[int, ...], capo: int) -> int | None:
    """ms of the cadence, solved by itself; None where it cannot be played."""
    on = instrument().with_tuning(strung).with_capo(capo)
    try:
        return Session(cadence(key), instrument=on).arrange().cost
    except NotPlayable:
        return None


def written_down(asked: Evening, strung: tuple[int, ...]) -> int:
    """The least of all ways to give each key a capo, counted one by one."""
    costs: list[dict[int, int]] = []
    for key in asked.keys:
        drones = {pitch_class(key.tonic), (pitch_class(key.tonic) + 7) % 12}
        costs.append({})
        for capo in asked.capos:
            cost = alone(key, strung, capo)
            if cost is not None:
                foreign = sum((midi + capo) % 12 not in drones for midi in strung)
                costs[-1][capo] = cost + foreign * asked.prices.no_drone
    anew = sum(abs(a - b) for a, b in zip(asked.own.tuning, strung, strict=True))
    return min(
        sum(there[capo] for there, capo in zip(costs, way, strict=True))
        + asked.prices.capo_move * sum(a != b for a, b in zip((0, *way), way, strict=False))
        + asked.prices.retune * anew
        for way in product(*costs)
    )


@pytest.mark.parametrize("move", [0, 5000])
def test_capos_and_tuning_are_the_best_of_all_ways_written_down(move: int) -> None:
    asked = evening(
        "G", "D", "G", prices=Prices(move, 100, 300), tunings=(D_A_D, D_A_A), capos=(0, 5)
    )
    jam = sit_down(asked)
    told = {name: written_down(asked, pitches) for name, pitches in asked.tunings}
    best = jam.sittings[0]
    assert best.total == told[best.name] == min(told.values())
    for other in jam.sittings[1:]:
        least = told[other.name]
        assert other.total == least if other.finished else best.total < other.total <= least


def test_a_key_that_cannot_be_played_says_why_and_counts_first() -> None:
    jam = sit_down(evening("Bb", "D", capos=(0, 2), tunings=(D_A_D, ("C-G-c", (48, 55, 60)))))
    for sitting in jam.sittings:
        if sitting.finished:
            (unplayed,) = sitting.not_played
            assert str(unplayed.key) == "Bb major"
            assert [capo for capo, _ in unplayed.why] == [0, 2]
            assert "cannot be played: the bass string has no" in unplayed.why[0][1]
    assert "Bb major cannot be played (nor with the capo at 1): without a capo" in jam_text(jam)


def _faked(costs: dict[tuple[str, int], int], unproven: tuple[str, int]) -> Callable[..., object]:
    """(key, capo) → ms, in place of solving; where nothing is told the key cannot be played."""

    def in_key(key: Key, capo: int, *_: object) -> KeyPlayed | str:
        if (str(key), capo) not in costs:
            return "cannot be played"
        known = (str(key), capo) != unproven
        cost = costs[str(key), capo]
        return KeyPlayed(key, capo, cost, known, (), (), (), 0 if known else 500)

    return in_key


def test_an_unproven_cadence_that_no_capo_was_chosen_for_is_no_proof(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Under the other capo the key may cost 500 ms less than what was found there."""
    costs = {("D major", 0): 1000, ("D major", 5): 1200}
    monkeypatch.setattr("undersong.advice.jam._in_key", _faked(costs, ("D major", 5)))
    (sitting,) = sit_down(evening("D", capos=(0, 5))).sittings
    assert [each.capo for each in sitting.played] == [0]
    assert not sitting.proven
    monkeypatch.setattr("undersong.advice.jam._in_key", _faked(costs, ("", 0)))
    assert sit_down(evening("D", capos=(0, 5))).proven


def test_a_key_that_comes_twice_counts_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """The one plays D alone, the other G alone, and D is asked for twice."""

    def in_key(key: Key, capo: int, strung: Instrument, *_: object) -> KeyPlayed | str:
        if (str(key) == "D major") != (strung.tuning == D_A_D[1]):
            return "cannot be played"
        return KeyPlayed(key, capo, 9000 if str(key) == "D major" else 10, True, (), (), ())

    monkeypatch.setattr("undersong.advice.jam._in_key", in_key)
    jam = sit_down(evening("D", "D", "G", capos=(0,), tunings=(D_A_A, D_A_D)))
    assert jam.sittings[0].name == "D-A-d"


def test_nobody_is_told_to_sit_down_where_nothing_can_be_played() -> None:
    page = jam_text(sit_down(evening("Bb", capos=(0,))))
    assert "0 of 1" in page
    assert "Sit down" not in page


def test_a_tuning_left_unfinished_is_proven_to_come_after(trade: Jam) -> None:
    asked = evening("D", "G", tunings=(D_A_D, ("C-G-g", (48, 55, 55))), capos=(0,))
    jam = sit_down(asked)
    first, last = jam.sittings
    assert (first.name, last.name, last.finished) == ("D-A-d", "C-G-g", False)
    assert last.total > first.total
    alone = sit_down(replace(asked, tunings=asked.tunings[1:])).sittings[0]
    assert alone.finished
    assert alone.total >= last.total


def test_it_can_be_stopped_and_runs_out_of_time() -> None:
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        sit_down(evening("D"), watch)
    with pytest.raises(OutOfTime):
        sit_down(evening("D"), Watch(seconds=0.0))


def test_what_was_finished_in_time_is_told_and_the_rest_is_named() -> None:
    asked = evening("D", tunings=(D_A_D, D_A_A), capos=(0,), prices=Prices(retune=0))

    watch = Watch()
    # the part that a sitting is given is a watch of its own, made from this one
    watch.saying = lambda words: Watch(0.0) if words == "D-A-A" else Watch()  # type: ignore[method-assign]
    jam = sit_down(asked, watch)
    assert [one.late for one in jam.sittings] == [False, True]
    assert not jam.proven
    assert "out of time" in jam_text(jam)


def test_the_document_keeps_its_schema(trade: Jam) -> None:
    Draft202012Validator.check_schema(jam_schema())
    document = json.loads(jam_json(trade))
    Draft202012Validator(jam_schema()).validate(document)
    assert document["tunings"][0]["keys"][1]["scales"][0]["extra"] == ["6+"]


def test_the_command_prints_and_writes(tmp_path: Path) -> None:
    file = tmp_path / "evening.json"
    ended = run(
        "jam", "E", "dorian", "D", "--tunings", "D-A-d,D-A-A", "--capos", "0,1", "--to", str(file),
        "--to", "-",
    )  # fmt: skip
    assert ended.code == 0
    assert "Sit down in D-A-d (D3 A3 D4), as it is strung." in ended.out
    document = json.loads(file.read_text())
    assert document["keys"] == ["E dorian", "D major"]
    assert run("jam", "Bb", "--tunings", "D-A-d", "--capos", "0").code == 1


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "name the keys of the evening"),
        (("H",), "a key is written as in D"),
        (("D", "--capos", "0+"), "--capos"),
        (("D", "--capos", "0,99"), "--capos"),
        (("D", "--capos", "1+"), "--capos: a capo cannot sit at fret 1+"),
        (("D", "--tunings", "D-A"), "--tunings: the tuning 'D-A' has 2 pitches"),
        (("D", "--capo-move", "x"), "--capo-move"),
        (("D", "--bass", "loud"), "--bass"),
        (("D", "--hand", "huge"), "--hand"),
        (("D", "--to", "a.pdf"), ".txt or .json"),
        (("D", "--weight", "joy=1"), "--weight"),
    ],
)
def test_bad_input_is_one_sentence(arguments: tuple[str, ...], says: str) -> None:
    ended = run("jam", *arguments)
    assert (ended.code, ended.out) == (2, "")
    assert len(ended.lines) == 1
    assert says in ended.lines[0]


def test_every_column_says_what_it_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Amount times price, so that work and what was given for it add up to the whole."""

    def in_key(key: Key, capo: int, *_: object) -> KeyPlayed:
        return KeyPlayed(key, capo, 4321, True, ("root", "outside the scale", "root"), (), ())

    monkeypatch.setattr("undersong.advice.jam._in_key", in_key)
    jam = sit_down(evening("D", tunings=(D_A_A,), capos=(3,)))
    row = next(line for line in jam_text(jam).splitlines() if line.startswith("D-A-A"))
    assert re.split("  +", row) == [
        "D-A-A", "1 of 1", f"{4321 + 750 + 1000 + 5 * 500} ms", "4321 ms", "1 x 750 ms",
        "1 x 1000 ms", "5 x 500 ms",
    ]  # fmt: skip


def test_a_key_whose_own_chord_lacks_its_third_is_said_to_be_counted() -> None:
    """F# on D-A-d; the cadence is played anew, and the strings gone over for an A#."""
    own = instrument()
    played = Session(cadence(read_key("F#")), instrument=own).arrange()
    bars = {
        moment.bar
        for moment, choice in zip(played.moments, played.choices, strict=True)
        for course, fret in enumerate(choice.grip.frets)
        if fret >= 0 and own.pitch(course, fret) % 12 == pitch.Pitch("A#").pitchClass
    }
    assert not bars & {1, len(played.tune.bars)}
    says = "counted as played, though somewhere the key's own chord has no third"
    page = " ".join(jam_text(sit_down(evening("F#", "D", capos=(0,))), width=60).split())
    assert "2 of 2" in page
    assert f"{says}, and is neither major nor minor there: F# major in D-A-d" in page
    assert says not in jam_text(sit_down(evening("C#m")), width=200)  # only its B lacks one
    assert says not in jam_text(sit_down(evening("D")), width=200)


def test_tunings_say_how_they_sound_and_why_they_play_nothing() -> None:
    """TRADE.md, "Tunings": the third string of D-A-g and C-G-g lies below, or in unison with, the
    middle one."""
    tunings = (D_A_D, ("C-G-g", (48, 55, 55)), ("D-A-g", (50, 57, 55)))
    page = jam_text(sit_down(evening("Bb", tunings=tunings, capos=(0, 2))), width=400)
    assert "C-G-g is C3 G3 G3" in page
    assert "D-A-g is D3 A3 G3" in page
    reasons = page.partition("Not to be played in the other tunings")[2].splitlines()[1:]
    assert [each.partition("up to")[0] for each in reasons] == [
        "  Bb major in D-A-g: without a capo, Bb cannot be played: the bass string has no Bb ",
        "  Bb major in C-G-g: without a capo, Eb cannot be played: the bass string has no Eb ",
    ]


def test_the_page_keeps_to_its_width(trade: Jam) -> None:
    for width in (40, 60, 72):
        page = jam_text(trade, width=width)
        assert max(map(len, page.splitlines())) <= width
        assert page.isascii()
        flat = " ".join(page.split())
        for each in trade.sittings[0].played:
            assert f"{each.cost} ms" in flat
