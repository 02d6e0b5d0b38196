"""What music21 10.5.1 reads in a MusicXML document, held against the arrangement.

Public: same_by_music21.
"""

from fractions import Fraction
from typing import Any

import music21

from solver.result import Arrangement
from tests.undersong.sheet.read_back import tab_bars
from tune.time import quarters
from tune.tune import Bar, Tune


def same_by_music21(document: bytes, made: Arrangement, tune: Tune) -> None:
    """Both parts: bars, their lengths, pitches, chords, strings and frets; tune: the staff part as
    this project reads it, which is known to be the one arranged."""
    score = music21.converter.parseData(document.decode("utf-8"), format="musicxml")
    staff, tab = (list(part.getElementsByClass("Measure")) for part in score.parts)
    assert len(staff) == len(tab) == len(tune.bars)
    names = [bar.number for bar in tune.bars]
    assert [one.number for one in staff] == [one.number for one in tab] == names
    for measure, bar in zip(staff, tune.bars, strict=True):
        assert _melody(measure) == _asked(bar), f"bar {bar.number}"
        assert _chords(measure) == _symbols(bar), f"bar {bar.number}"
        assert measure.duration.quarterLength == quarters(bar.length)
    for measure, bar, struck in zip(tab, tune.bars, tab_bars(document), strict=True):
        asked = [(quarters(s.tick), s.midi) for s in struck]
        assert _struck(measure) == sorted(asked), f"bar {bar.number}"
        assert measure.duration.quarterLength == quarters(bar.length)
        _frets_sound(measure, made)


def _notes(measure: Any) -> list[Any]:
    """Notes and chords of notes; graces left out, and what goes on from before in its bar."""
    return [
        note
        for note in measure.recurse().notes
        if not isinstance(note, music21.harmony.Harmony)
        and not note.duration.isGrace
        and not _goes_on(note)
    ]


def _goes_on(note: Any) -> bool:
    tie = note.tie
    return tie is not None and tie.type in ("stop", "continue") and note.offset > 0


def _melody(measure: Any) -> list[tuple[Fraction, int]]:
    return [(Fraction(note.offset), note.pitch.midi) for note in _notes(measure)]


def _asked(bar: Bar) -> list[tuple[Fraction, int]]:
    """The same of the bar read by this project, which keeps tied notes apart as well."""
    notes = [note for note in bar.notes if not note.grace]
    begun = [
        note
        for before, note in zip([None, *notes], notes, strict=False)
        if not (before and before.tied and before.midi == note.midi)
    ]
    return [(quarters(note.tick), note.midi) for note in begun if note.midi is not None]


def _chords(measure: Any) -> list[tuple[Fraction, str, frozenset[int]]]:
    found = []
    for symbol in measure.recurse().getElementsByClass(music21.harmony.Harmony):
        if isinstance(symbol, music21.harmony.NoChord):
            found.append((Fraction(symbol.offset), "", frozenset()))
        else:
            root = symbol.root().name.replace("-", "b")
            found.append((Fraction(symbol.offset), root, frozenset(symbol.pitchClasses)))
    return found


def _symbols(bar: Bar) -> list[tuple[Fraction, str, frozenset[int]]]:
    found = []
    for change in bar.chords:
        where, chord = quarters(change.tick), change.chord
        if chord is None:
            found.append((where, "", frozenset()))
        else:
            tones = chord.pitch_classes | {chord.bass_pitch_class}
            found.append((where, chord.root, frozenset(tones)))
    return found


def _struck(measure: Any) -> list[tuple[Fraction, int]]:
    return sorted(
        (Fraction(note.offset), pitch.midi) for note in _notes(measure) for pitch in note.pitches
    )


def _frets_sound(measure: Any, made: Arrangement) -> None:
    """Whether string and fret, as music21 reads them, give the pitch."""
    on = made.instrument
    for note in _notes(measure):
        strings = [a.number for a in note.articulations if type(a).__name__ == "StringIndication"]
        frets = [a.number for a in note.articulations if type(a).__name__ == "FretIndication"]
        if len(strings) == len(frets) == len(note.pitches):
            open_strings = [on.tuning[len(on.tuning) - string] + on.capo for string in strings]
            sounded = sorted(a + b for a, b in zip(open_strings, frets, strict=True))
            assert sounded == sorted(pitch.midi for pitch in note.pitches)
