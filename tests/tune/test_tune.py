"""The tune as a value: what it refuses, and what moving and retiming it keeps."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tune.abc_tune import names, pitches, read
from tune.chord import Chord, parse_chord
from tune.errors import TuneError
from tune.key import MODES, Key
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Note, Tune

FOUR = Metre(4, 4)
FULL = 4 * QUARTER


def bar(**changes: object) -> Bar:
    return replace(Bar(7, FOUR, FULL, Key("D")), **changes)  # type: ignore[arg-type]


def tune(*bars: Bar, tempo: int = 100) -> Tune:
    return Tune("Try", Key("D"), FOUR, Tempo(QUARTER, tempo), bars or (bar(),))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"length": 0}, "cannot last 0 quarters"),
        ({"length": 17 * QUARTER}, "cannot last 17 quarters"),
        ({"chords": (ChordChange(FULL, Chord("D")),)}, "the chord D stands outside the bar"),
        ({"chords": (ChordChange(-1, None),)}, "the chord N.C. stands outside the bar"),
        (
            {"chords": (ChordChange(0, Chord("D")), ChordChange(0, Chord("G")))},
            "two chords stand on one beat",
        ),
        ({"notes": (Note(0, FULL + 1, 60),)}, "do not fit the bar"),
        ({"notes": (Note(0, 0, 60),)}, "do not fit the bar"),
        ({"notes": (Note(0, QUARTER, 60), Note(1, QUARTER, 62))}, "do not fit the bar"),
        ({"notes": (Note(0, QUARTER, 128),)}, "MIDI number 128"),
        ({"notes": (Note(0, QUARTER, 60, grace=True),)}, "a grace note has no length"),
        ({"notes": (Note(FULL + 1, 0, 60, grace=True),)}, "stands inside its bar"),
        ({"repeat_times": 0}, "count from 1"),
        ({"endings": (0,)}, "count from 1"),
    ],
)
def test_a_bar_refuses_what_does_not_fit(changes: dict[str, object], sentence: str) -> None:
    with pytest.raises(TuneError, match=sentence) as caught:
        bar(**changes)
    assert caught.value.place.bar == 7


def test_a_tune_refuses_to_be_empty() -> None:
    with pytest.raises(TuneError, match="no bars"):
        Tune("Try", Key(), FOUR, Tempo(QUARTER, 100), ())
    with pytest.raises(TuneError, match="no title"):
        Tune(" ", Key(), FOUR, Tempo(QUARTER, 100), (bar(),))
    with pytest.raises(TuneError, match="more than 4096 bars"):
        tune(*[bar()] * 4097)
    with pytest.raises(TuneError, match="no ending is marked"):
        tune(bar(), bar(endings=(1,), repeat_times=2))


def test_notices_are_no_part_of_what_a_tune_is() -> None:
    assert replace(tune(), notices=("something",)) == tune()


def test_the_tempo_in_force() -> None:
    slow, fast = Tempo(QUARTER, 60), Tempo(QUARTER, 120)
    bars = (bar(), bar(tempo=slow), bar(), bar(tempo=fast))
    assert [tune(*bars).tempo_at(i).per_minute for i in range(4)] == [100, 60, 60, 120]


def test_a_new_tempo_scales_the_changes_alike() -> None:
    faster = tune(bar(tempo=Tempo(QUARTER, 60)), bar(tempo=Tempo(QUARTER, 300))).at_tempo(150)
    assert faster.tempo.per_minute == 150
    assert [b.tempo.per_minute for b in faster.bars if b.tempo] == [90, 400]  # 450 held at 400
    assert tune(bar(tempo=Tempo(QUARTER, 20))).at_tempo(10).bars[0].tempo == Tempo(QUARTER, 10)
    with pytest.raises(TuneError, match="10 and 400"):
        tune().at_tempo(500)


def test_pickup_and_chords() -> None:
    assert not tune().pickup
    assert tune(bar(length=QUARTER), bar()).pickup
    assert not tune(bar(chords=(ChordChange(0, None),))).has_chords
    assert tune(bar(chords=(ChordChange(0, Chord("D")),))).has_chords


def test_moved_up_a_tone_by_hand() -> None:
    """D up a whole tone is E: D F# A C# become E G# B D#."""
    moved = read('"D"D2 "A/C#"F2 "Bm"A2 "N.C."^c2 |', key="D").transposed(2)
    assert str(moved.key) == "E major"
    assert names(moved) == ["E", "G#", "B", "D#"]
    assert pitches(moved) == [64, 68, 71, 75]
    symbols = [c.chord.symbol if c.chord else "N.C." for c in moved.bars[0].chords]
    assert symbols == ["E", "B/D#", "C#m", "N.C."]


_keys = st.sampled_from(
    [Key(t, m) for t in ("C", "D", "Eb", "E", "F", "G", "A", "Bb", "B") for m in MODES if t + m
     not in ("Eblocrian", "Bblocrian", "Ebphrygian")]
)  # fmt: skip


@given(_keys, st.integers(-24, 24), st.sampled_from(("D", "F#m7", "Bb/D", "C#dim", "Ebmaj7")))
def test_moving_keeps_every_interval(key: Key, up: int, symbol: str) -> None:
    chord = parse_chord(symbol)
    notes = (Note(0, QUARTER, 62, "D"), Note(QUARTER, QUARTER, 66, "F#"))
    first = Bar(1, FOUR, FULL, key, (ChordChange(0, chord),), notes)
    moved = Tune("Try", key, FOUR, Tempo(QUARTER, 100), (first,)).transposed(up)
    there = moved.bars[0]
    assert [n.midi for n in there.notes] == [62 + up, 66 + up]
    new = there.chords[0].chord
    assert new is not None
    assert new.pitch_classes == {(pc + up) % 12 for pc in chord.pitch_classes}
    assert new.bass_pitch_class == (chord.bass_pitch_class + up) % 12
    assert there.key.pitch_classes == {(pc + up) % 12 for pc in key.pitch_classes}
    assert pitches(moved.transposed(-up)) == [62, 66]


def test_moving_too_far_is_refused() -> None:
    with pytest.raises(TuneError, match="outside 0 to 127"):
        read("C8 |").transposed(-70)
