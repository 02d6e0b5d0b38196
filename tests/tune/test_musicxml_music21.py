"""The MusicXML reader against music21 10.5.1, on tunes read out of the installed package.

O'Neill's collection (1903, public domain) is parsed from music21's ABC files, written as MusicXML
by music21's own writer, and then read twice: by music21 and by us. Foster's song (public domain)
is music21's own MusicXML lead sheet. Nothing is copied out of the package.
"""

import functools
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import music21
import pytest
from music21.musicxml.m21ToXml import GeneralObjectExporter

from tests.tune.musicxml_score import schema, valid
from tune.errors import TuneError
from tune.readers import read
from tune.readers.musicxml import read_musicxml
from tune.time import QUARTER, quarters
from tune.tune import Tune

CORPUS = Path(music21.__file__).parent / "corpus"
ONEILL = sorted((CORPUS / "oneills1850").glob("*.abc"))
FOSTER = CORPUS / "leadSheet" / "fosterBrownHair.mxl"
SAMPLE = 8
"""Tunes of one file that the quick run reads."""

Bars = list[list[tuple[Fraction, int | None, Fraction]]]


def test_the_collection_is_there() -> None:
    assert len(ONEILL) == 39
    assert FOSTER.exists()


@functools.cache
def tunes_of(file: Path) -> list[Any]:
    parsed = music21.converter.parse(file, forceSource=True)
    return list(parsed.scores) if isinstance(parsed, music21.stream.Opus) else [parsed]


def exported(score: Any) -> bytes:
    return bytes(GeneralObjectExporter(score).parse())


def expected(part: Any) -> Bars:
    """music21's notes and rests: (offset, highest pitch or None, length) in quarters."""
    bars = []
    for one in part.getElementsByClass("Measure"):
        bar = []
        for event in one.flatten().notesAndRests:
            if isinstance(event, music21.harmony.ChordSymbol):
                continue
            midi = max((pitch.midi for pitch in event.pitches), default=None)
            bar.append((Fraction(event.offset), midi, Fraction(event.quarterLength)))
        bars.append(bar)
    return bars


def ours(tune: Tune) -> Bars:
    return [
        [(quarters(n.tick), n.midi, quarters(n.length)) for n in bar.notes] for bar in tune.bars
    ]


def in_two_minds(tune: Tune) -> bool:
    """Whether a repeat goes back without a sign after an earlier repeat.

    Players go back to the earlier repeat (common practice, no source); music21 goes back to the
    start of the tune.
    """
    free = False
    for bar in tune.bars:
        free = free and not bar.repeat_start
        if bar.repeat_times > 1:
            if free:
                return True
            free = True
    return False


def unlawful(score: Any) -> bool:
    """music21 invents metres over 3 or 6 for some uneven bars; we refuse those."""
    metres = score.recurse().getElementsByClass(music21.meter.TimeSignature)
    return any(metre.denominator & (metre.denominator - 1) for metre in metres)


def compare(score: Any) -> Tune | None:
    """Both readings of one tune agree bar by bar; None for a metre that does not exist."""
    document = exported(score)
    again = music21.converter.parseData(document.decode(), format="musicxml", forceSource=True)
    if unlawful(again):
        with pytest.raises(TuneError, match=r"bar \d+: a metre counts in"):
            read_musicxml(document)
        return None
    tune = read_musicxml(document)
    assert ours(tune) == expected(again.parts[0]), tune.title
    signature = next(iter(again.recurse().getElementsByClass(music21.key.KeySignature)), None)
    assert tune.key.fifths == (signature.sharps if signature is not None else 0)
    if not in_two_minds(tune):
        try:
            unfolded = again.parts[0].expandRepeats()
        except music21.repeat.ExpanderException:
            return tune  # fails on about 1 % of these tunes (TRADE.md)
        assert len(tune.played) == len(unfolded.getElementsByClass("Measure")), tune.title
    return tune


def sample() -> Iterator[Any]:
    scores = tunes_of(ONEILL[0])
    yield from scores[:: max(1, len(scores) // SAMPLE)]


def test_a_sample_of_oneill_reads_as_music21_reads_it() -> None:
    read_alike = [compare(score) for score in sample()]
    assert sum(tune is not None for tune in read_alike) >= SAMPLE - 1


def test_what_music21_writes_satisfies_the_schema_that_we_test_with() -> None:
    for score in sample():
        valid(exported(score))
    assert schema() is schema()


@pytest.mark.slow
@pytest.mark.parametrize("file", ONEILL, ids=lambda file: file.stem)
def test_all_of_oneill_reads_as_music21_reads_it(file: Path) -> None:
    scores = tunes_of(file)
    read_alike = [compare(score) for score in scores]
    tunes_of.cache_clear()
    assert sum(tune is not None for tune in read_alike) >= 0.8 * len(scores)


# --- a lead sheet with chords ---


@functools.cache
def foster() -> tuple[Tune, Any]:
    return read(str(FOSTER)), music21.converter.parse(FOSTER, forceSource=True)


def test_the_lead_sheet_has_its_head() -> None:
    tune, score = foster()
    assert tune.title == score.metadata.movementName == "Jeanie With The Light Brown Hair"
    assert tune.composer == "Stephen Foster"
    assert tune.licence == "Public Domain"
    assert str(tune.metre) == "4/4"


def test_the_lead_sheet_has_forty_chords_in_their_places() -> None:
    tune, score = foster()
    theirs = []
    for index, one in enumerate(score.parts[0].getElementsByClass("Measure")):
        for symbol in one.getElementsByClass(music21.harmony.ChordSymbol):
            tones = frozenset(pitch.pitchClass for pitch in symbol.pitches)
            theirs.append((index, Fraction(symbol.offset), tones))
    mine = [
        (index, quarters(change.tick), change.chord.pitch_classes)
        for index, bar in enumerate(tune.bars)
        for change in bar.chords
        if change.chord is not None
    ]
    assert len(mine) == 40  # TRADE.md, "Open data for tests"
    assert mine == [chord for chord in theirs if chord[2]]


def test_the_lead_sheet_has_its_melody_words_and_repeats() -> None:
    tune, score = foster()
    assert ours(tune) == expected(score.parts[0])
    words = [
        tuple(lyric.text for lyric in note.lyrics)
        for note in score.parts[0].flatten().notes
        if not isinstance(note, music21.harmony.ChordSymbol)
    ]
    mine = [
        tuple(word.removesuffix("-") for word in note.lyrics)
        for bar in tune.bars
        for note in bar.notes
        if note.midi is not None
    ]
    assert mine == words
    unfolded = score.parts[0].expandRepeats().getElementsByClass("Measure")
    assert len(tune.played) == len(unfolded)


# --- written by music21 for this test ---


def test_grace_notes_and_tuplets_written_by_music21() -> None:
    part = music21.stream.Part()
    part.append(music21.meter.TimeSignature("3/4"))
    part.append(music21.note.Note("E4").getGrace())
    for name in ("D4", "F#4", "A4"):
        part.append(music21.note.Note(name, quarterLength=Fraction(1, 3)))
    for name in ("D4", "E4", "F#4", "G4", "A4"):
        part.append(music21.note.Note(name, quarterLength=Fraction(2, 5)))
    tune = compare(music21.stream.Score([part]))
    assert tune is not None
    notes = tune.bars[0].notes
    assert [n.tuplet for n in notes[1:]] == [(3, 2)] * 3 + [(5, 4)] * 5
    assert notes[4].length == QUARTER * 2 // 5


def test_a_transposing_part_written_by_music21_sounds_as_it_did() -> None:
    part = music21.stream.Part()
    part.append(music21.instrument.Clarinet())
    part.append(music21.meter.TimeSignature("4/4"))
    for name in ("C4", "E4", "G4", "B-4"):
        part.append(music21.note.Note(name, type="quarter"))
    part.atSoundingPitch = True
    document = exported(music21.stream.Score([part.toWrittenPitch()]))
    assert b"<chromatic>-2</chromatic>" in document
    assert b"<step>D</step>" in document
    assert [n.midi for n in read_musicxml(document).bars[0].notes] == [60, 64, 67, 70]
