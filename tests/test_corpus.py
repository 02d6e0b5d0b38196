"""The bundled tunes: that they read, add up, fit their chords and show what README.md says.

What a good tune of this kind does (chord tones on the strong beats, a cadence on the tonic, a
range for untrained voices) is common practice, no source. The frets' semitones are TRADE.md's,
written out here, so that nothing of ``fretboard`` vouches for the corpus.
"""

import re
import subprocess
import sys
from functools import cache
from importlib.resources import files
from itertools import groupby, pairwise
from pathlib import Path

import pytest
from lxml import etree
from music21 import converter, harmony
from music21 import note as music21_note

import corpus
from tune.chord import Chord, parse_chord, pitch_class
from tune.readers import read
from tune.time import QUARTER, Metre
from tune.tune import Bar, Tune

NAMES = corpus.names()
UNPLAYABLE = "the-vicars-piano"
CHORDS_ONLY = ("stacking-the-chairs", "third-tuesday-blues")
SUNG = tuple(name for name in NAMES if name not in CHORDS_ONLY)
LOWEST, HIGHEST = 57, 76
"""A3 and E5: the range of an untrained voice, men an octave lower."""
FITTING = 0.9
"""The least share of strong beats on which the melody has a chord tone."""

FRETS_TO_SEVEN = (0, 2, 4, 5, 7, 9, 10, 11, 12)
"""Semitones of frets 0–7 with 6+ (TRADE.md, "Frets")."""
OPEN_STRINGS = (50, 57, 62)
"""D3 A3 D4 (TRADE.md, "Tunings")."""
BASS_NOTES = {(OPEN_STRINGS[0] + up) % 12 for up in FRETS_TO_SEVEN}
ALL_NOTES = {(string + up) % 12 for string in OPEN_STRINGS for up in FRETS_TO_SEVEN}


@cache
def tune(name: str) -> Tune:
    return read(str(corpus.path(name)))


def chords_of(music: Tune) -> list[Chord]:
    """The chords in the order they are played, N.C. left out."""
    played = (music.bars[bar.written] for bar in music.played)
    return [change.chord for bar in played for change in bar.chords if change.chord]


def full_bars(music: Tune) -> tuple[int, int]:
    """How many bars as written and as played, a pickup not counted."""
    return len(music.bars) - music.pickup, len(music.played) - music.pickup


# Names and paths


def test_there_are_enough_tunes_and_each_file_is_one() -> None:
    folder = Path(corpus.__file__).parent
    files = {file.name for file in folder.iterdir() if file.suffix not in (".py", ".md", "")}
    assert len(NAMES) >= 13
    assert {corpus.path(name).name for name in NAMES} == files
    assert list(NAMES) == sorted(set(NAMES))


def test_a_tune_is_found_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in NAMES:
        assert corpus.path(name).is_absolute()
        assert corpus.path(name).is_file()
        assert corpus.path(corpus.path(name).name) == corpus.path(name)


@pytest.mark.parametrize(
    ("asked", "offered"),
    [
        ("harow-lane", "did you mean harrow-lane?"),
        ("Lantern Path", "did you mean lantern-path?"),
        ("piano", "the-vicars-piano"),
        ("", "write one of biscuit-tin-stomp, "),
        ("README.md", "write one of biscuit-tin-stomp, "),
        ("../pyproject.toml", "write one of biscuit-tin-stomp, "),
    ],
)
def test_an_unknown_name_lists_the_near_ones(asked: str, offered: str) -> None:
    with pytest.raises(ValueError, match="there is no bundled tune") as caught:
        corpus.path(asked)
    assert repr(asked) in str(caught.value)
    assert offered in str(caught.value)


def test_asking_for_names_loads_nothing_heavy() -> None:
    code = "import corpus, sys; corpus.names(); print(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "corpus" in run.stdout.split()
    assert not {"music21", "numpy", "ortools", "networkx", "tune"} & set(run.stdout.split())


# Each tune


@pytest.mark.parametrize("name", NAMES)
def test_a_tune_reads_whole_and_says_whose_it_is(name: str) -> None:
    music = tune(name)
    assert music.notices == ()
    assert music.composer == "Harrow Lane class (Undersong)"
    title = re.sub(r"[^a-z0-9 ]", "", music.title.lower())
    assert re.sub(r"^(the|a) ", "", title).replace(" ", "-") == name.removeprefix("the-")
    assert "CC0 1.0" in corpus.path(name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_every_bar_adds_up(name: str) -> None:
    music = tune(name)
    first, *middle, last = music.bars
    for bar in middle:
        assert bar.length == bar.metre.bar, f"bar {bar.number}"
    whole = first.metre.bar
    assert (first.length, last.length) == (whole, whole) or first.length + last.length == whole


@pytest.mark.parametrize("name", SUNG)
def test_the_melody_fills_every_bar(name: str) -> None:
    for bar in tune(name).bars:
        ends = [0, *(note.tick + note.length for note in bar.notes)]
        assert [note.tick for note in bar.notes] == ends[:-1], f"bar {bar.number}"
        assert ends[-1] == bar.length, f"bar {bar.number}"


@pytest.mark.parametrize("name", SUNG)
def test_the_melody_lies_in_an_untrained_voice(name: str) -> None:
    pitches = [note.midi for bar in tune(name).bars for note in bar.notes if note.midi is not None]
    assert min(pitches) >= LOWEST
    assert max(pitches) <= HIGHEST
    assert max(pitches) - min(pitches) >= 7, "a tune wants a fifth at least"


@pytest.mark.parametrize("name", SUNG)
def test_the_melody_leaps_no_further_than_a_singer_would(name: str) -> None:
    """An octave at most, and seven in ten moves by a third (four semitones) or less."""
    music = tune(name)
    pitches = [n.midi for b in music.played for n in music.bars[b.written].notes if n.midi]
    leaps = [abs(high - low) for low, high in pairwise(pitches)]
    assert max(leaps) <= 12
    assert sum(leap <= 4 for leap in leaps) >= 0.7 * len(leaps)


def strong_beats(metre: Metre) -> tuple[int, ...]:
    """Ticks of the strong beats: the first and third of four, the first of three, else each."""
    if metre.compound or metre.felt_beats == 2:
        return tuple(range(0, metre.bar, metre.beat))
    return tuple(range(0, metre.bar, 2 * metre.beat)) if metre.felt_beats == 4 else (0,)


def strong_meetings(music: Tune) -> list[tuple[Bar, int, Chord]]:
    """(bar, melody pitch, chord) at every strong beat where both sound."""
    met = []
    chord: Chord | None = None
    for played in music.played:
        bar = music.bars[played.written]
        upbeat = bar.metre.bar - bar.length if played.number == 1 else 0
        for beat in strong_beats(bar.metre):
            for change in bar.chords:
                if change.tick <= beat - upbeat:
                    chord = change.chord
            for note in bar.notes:
                sounds = note.tick <= beat - upbeat < note.tick + note.length
                if sounds and note.midi is not None and chord is not None:
                    met.append((bar, note.midi, chord))
        if bar.chords:
            chord = bar.chords[-1].chord
    return met


@pytest.mark.parametrize("name", SUNG)
def test_strong_beats_of_the_melody_are_chord_tones(name: str) -> None:
    met = strong_meetings(tune(name))
    foreign = [
        f"bar {bar.number}: {midi} over {chord}"
        for bar, midi, chord in met
        if midi % 12 not in chord.pitch_classes
    ]
    assert len(met) >= 16
    assert len(foreign) <= (1 - FITTING) * len(met), foreign


@pytest.mark.parametrize("name", NAMES)
def test_the_tune_comes_home_by_a_cadence(name: str) -> None:
    """The last chord stands on the tonic after one on the fifth or the lowered seventh."""
    music = tune(name)
    roots = [pitch_class(chord.root) for chord in chords_of(music)]
    tonic = pitch_class(music.bars[-1].key.tonic)
    *_, before, last = [root for root, _ in groupby(roots)]
    assert last == tonic
    assert (before - tonic) % 12 in (7, 10)
    sung = [note.midi for bar in music.bars for note in bar.notes if note.midi is not None]
    assert not sung or sung[-1] % 12 == tonic


@pytest.mark.parametrize("name", SUNG)
def test_the_harmony_moves_and_is_not_the_same_four_bars_over(name: str) -> None:
    music = tune(name)
    assert len(set(chords_of(music))) >= 4
    lines = [bar.chords for bar in music.bars if bar.chords]
    fours = [tuple(lines[at : at + 4]) for at in range(0, len(lines) - 3, 4)]
    assert len(set(fours)) >= 0.6 * len(fours)


@pytest.mark.parametrize("name", [name for name in NAMES if name != UNPLAYABLE])
def test_bass_and_chords_lie_on_d_a_d_with_the_sixth_and_a_half_fret(name: str) -> None:
    for chord in chords_of(tune(name)):
        assert chord.bass_pitch_class in BASS_NOTES, chord
        assert chord.pitch_classes <= ALL_NOTES, chord


def test_one_tune_cannot_be_played_as_written_but_a_semitone_lower() -> None:
    music = tune(UNPLAYABLE)
    missing = {c.root for c in chords_of(music) if c.bass_pitch_class not in BASS_NOTES}
    assert {"Eb", "F", "Ab", "Bb"} <= missing
    lower = chords_of(music.transposed(-1))
    assert all(chord.bass_pitch_class in BASS_NOTES for chord in lower)
    assert all(chord.pitch_classes <= ALL_NOTES for chord in lower)


def test_the_dorian_tune_would_need_another_fret_with_its_third() -> None:
    """README.md says so: D minor has an F, which no course of the usual instrument has."""
    assert not parse_chord("Dm").pitch_classes <= ALL_NOTES
    chords = {chord.symbol for chord in chords_of(tune("tallow-and-rush"))}
    assert "D5" in chords
    assert "Dm" not in chords


# Against others


@pytest.mark.parametrize("name", [name for name in NAMES if corpus.path(name).suffix != ".chart"])
def test_music21_reads_the_same_melody_and_as_many_chords(name: str) -> None:
    part = converter.parse(corpus.path(name)).parts[0]
    heard = list(part.recurse().getElementsByClass(music21_note.Note))
    symbols = list(part.recurse().getElementsByClass(harmony.ChordSymbol))
    ours = [note for bar in tune(name).bars for note in bar.notes if note.midi is not None]
    changes = [change for bar in tune(name).bars for change in bar.chords]
    assert [note.pitch.midi for note in heard] == [note.midi for note in ours]
    assert [note.quarterLength * QUARTER for note in heard] == [note.length for note in ours]
    assert len(symbols) == len(changes)
    for symbol, change in zip(symbols, changes, strict=True):
        if change.chord is None:
            assert isinstance(symbol, harmony.NoChord)
        else:
            tones = {pitch.pitchClass for pitch in symbol.pitches}
            assert tones == change.chord.pitch_classes | {change.chord.bass_pitch_class}


@cache
def musicxml_schema() -> etree.XMLSchema:
    """The published MusicXML 4.0 schema, from the package ``musicxml``, its two imports local."""
    inside = Path(str(files("musicxml"))) / "generate_classes" / "musicxml_4_0.xsd"
    local = Path(str(files("xmlschema"))) / "schemas"
    text = inside.read_text(encoding="utf-8")
    for name in ("xlink.xsd", "xml.xsd"):
        (file,) = local.rglob(name)
        text = re.sub(rf'schemaLocation="[^"]*/{name}"', f'schemaLocation="{file}"', text)
    return etree.XMLSchema(etree.fromstring(text.encode()))


@pytest.mark.parametrize(
    "name", [name for name in NAMES if corpus.path(name).suffix == ".musicxml"]
)
def test_the_musicxml_is_valid_by_the_published_schema(name: str) -> None:
    musicxml_schema().assertValid(etree.parse(corpus.path(name)))


def readme_rows() -> dict[str, list[str]]:
    text = (Path(corpus.__file__).parent / "README.md").read_text(encoding="utf-8")
    rows = [line.strip("|").split("|") for line in text.splitlines() if line.startswith("| `")]
    return {row[0].strip(" `"): [cell.strip() for cell in row[1:]] for row in rows}


def test_the_readme_lists_every_file_as_it_is() -> None:
    rows = readme_rows()
    assert set(rows) == {corpus.path(name).name for name in NAMES}
    for file, (title, key, metre, bars, shows) in rows.items():
        music = tune(file.rsplit(".", 1)[0])
        written, played = full_bars(music)
        assert title == music.title
        assert key == str(music.key)
        assert metre == str(music.metre)
        assert bars == (str(written) if written == played else f"{written}, played {played}")
        assert shows


def test_the_readme_says_whose_the_tunes_are() -> None:
    text = (Path(corpus.__file__).parent / "README.md").read_text(encoding="utf-8")
    assert "CC0 1.0" in text
    assert "Composed for this project by its founders" in text
