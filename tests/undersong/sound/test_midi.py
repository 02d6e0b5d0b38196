"""MIDI, read back: by mido message by message, and by music21 as music."""

import io
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from typing import Any

import mido
import music21
import pytest

from fretboard.presets import instrument
from solver.result import Arrangement
from tests.undersong.arranged import bundled, chart, found
from tests.undersong.passages import alternating, resting
from tune.time import QUARTER, Tempo
from undersong.sheet.errors import SheetError
from undersong.sheet.write import write
from undersong.sound.midi import BASS, GUITAR, midi_file
from undersong.sound.playing import Clock, heard
from undersong.sound.sound_options import SoundOptions


def read(made: Arrangement, options: SoundOptions | None = None) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(midi_file(made, options)), charset="utf-8")


def notes(file: mido.MidiFile) -> dict[str, list[tuple[int, int, int]]]:
    """Track's name → (tick, end, pitch) of each note, in ticks of our own."""
    grain = QUARTER // file.ticks_per_beat
    found: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for track in file.tracks[1:]:
        now, sounding = 0, {}
        for message in track:
            now += message.time * grain
            if message.type == "note_on":
                sounding[message.note] = now
            elif message.type == "note_off":
                found[track.name].append((sounding.pop(message.note), now, message.note))
        assert not sounding
    return found


def metas(file: mido.MidiFile, kind: str) -> list[tuple[int, Any]]:
    now, found = 0, []
    for message in file.tracks[0]:
        now += message.time
        if message.type == kind:
            found.append((now, message))
    return found


@pytest.mark.parametrize("name", ["harrow-lane", "kettle-on-at-nine"])
def test_each_string_has_its_notes(name: str) -> None:
    made = bundled(name)
    file = read(made)
    tracks = notes(file)
    assert list(tracks) == ["bass string, D3", "middle string, A3", "melody string, D4"]
    for course, there in enumerate(tracks.values()):
        assert there == [(n.tick, n.end, n.midi) for n in heard(made) if n.course == course]
    assert file.ticks_per_beat == 480
    last = max(note.end for note in heard(made))
    assert file.length == pytest.approx(Clock.of(made.tune).seconds(last), rel=1e-4)


def test_music21_reads_the_same_pitches_at_the_same_times(tmp_path: Path) -> None:
    made = bundled("harrow-lane")
    write(made, tmp_path / "tune.mid")
    parts = music21.converter.parse(tmp_path / "tune.mid", quantizePost=False).parts
    assert len(parts) == 3
    for course, part in enumerate(parts):
        found = [
            (round(float(n.getOffsetInHierarchy(part)) * QUARTER), pitch.midi)
            for n in part.recurse().notes
            if n.tie is None or n.tie.type == "start"
            for pitch in n.pitches
        ]
        assert found == [(n.tick, n.midi) for n in heard(made) if n.course == course]


def test_tempo_metre_key_and_a_marker_a_section() -> None:
    file = read(bundled("kettle-on-at-nine"))
    ((_, tempo),) = metas(file, "set_tempo")
    assert tempo.tempo == 384_615  # 104 dotted quarters a minute: 156 quarters
    ((_, metre),) = metas(file, "time_signature")
    assert (metre.numerator, metre.denominator, metre.clocks_per_click) == (6, 8, 36)
    assert [(tick, one.text) for tick, one in metas(file, "marker")] == [
        (0, "A"), (11_520, "A"), (23_040, "B"), (34_560, "B"),
    ]  # fmt: skip
    assert [one.key for _, one in metas(file, "key_signature")] == ["D"]


def test_tempo_changes_stand_where_they_are_played() -> None:
    made = alternating()
    first, second, *others = made.tune.bars
    bars = (first, replace(second, tempo=Tempo(QUARTER, 120)), *others)
    file = read(replace(made, tune=replace(made.tune, bars=bars)))
    assert [(tick, one.tempo) for tick, one in metas(file, "set_tempo")] == [
        (0, 625_000), (1920, 500_000),
    ]  # fmt: skip


def test_a_pickup_is_filled_up_so_that_bar_lines_fall_right() -> None:
    made = bundled("lantern-path")  # in three, with a pickup of one: two quarters are missing
    assert (made.tune.pickup, made.tune.bars[0].length) == (True, QUARTER)
    begins = min(found[0][0] for found in notes(read(made)).values())
    assert begins == heard(made)[0].tick + 2 * QUARTER
    assert len(metas(read(made), "time_signature")) == 1


def test_damped_notes_are_short() -> None:
    bass = notes(read(resting()))["bass string, D3"]
    # a bass note a half, damped after a quarter: half of that
    assert bass[0] == (0, QUARTER // 2, 50)


def test_programmes_of_general_midi() -> None:
    def programmes(made: Arrangement, options: SoundOptions | None = None) -> list[int]:
        file = read(made, options)
        return [m.program for track in file.tracks for m in track if m.type == "program_change"]

    made = alternating()
    assert programmes(made) == [GUITAR] * 3
    assert programmes(made, SoundOptions(bass_down=True)) == [BASS, GUITAR, GUITAR]
    low = replace(made, instrument=instrument("bass"))
    assert programmes(low) == [BASS, GUITAR, GUITAR]


def test_channels_are_the_strings_own_and_never_the_drums() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| D | G |"), None, instrument("four-equidistant"))
    assert len(read(made).tracks) == 5
    for track in read(made).tracks[1:]:
        channels = {message.channel for message in track if not message.is_meta}
        assert len(channels) == 1
        assert channels <= {0, 1, 2, 3}


def test_bars_tempo_and_strings_by_choice() -> None:
    options = SoundOptions(bars=(2, 3), percent=50, without=frozenset((1, 2)), bass_down=True)
    file = read(alternating(), options)
    ((name, found),) = notes(file).items()
    assert name == "bass string, D2"
    assert [(tick // QUARTER, midi) for tick, _, midi in found] == [
        (0, 43), (2, 38), (4, 45), (6, 40),
    ]  # fmt: skip
    assert metas(file, "set_tempo")[0][1].tempo == 1_250_000


def test_a_title_in_any_letters() -> None:
    made = alternating()
    tune = replace(made.tune, title="Grüße vom Hügel ♯1", composer="")
    file = read(replace(made, tune=tune))
    assert file.tracks[0].name == "Grüße vom Hügel ♯1"


def test_the_finest_times_are_exact() -> None:
    # a bar of seven in the time of four quarters: 1440 ticks a note, no whole number of 480ths
    made = alternating()
    moments = (made.moments[0], replace(made.moments[1], offset=QUARTER + 1), *made.moments[2:])
    file = read(replace(made, moments=moments))
    assert file.ticks_per_beat == QUARTER
    assert notes(file)["middle string, A3"][0][0] == QUARTER + 1


@pytest.mark.parametrize(
    "fields", [{"count_in": 1}, {"click": True}, {"times": 2}, {"starting_note": True}]
)
def test_what_is_for_sound_alone_is_refused(fields: dict[str, Any]) -> None:
    with pytest.raises(SheetError, match="holds the music once"):
        midi_file(alternating(), SoundOptions(**fields))


def test_the_same_bytes() -> None:
    assert midi_file(alternating()) == midi_file(alternating())
