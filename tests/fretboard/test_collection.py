"""How much of a large collection lies on each fretboard: music21's bundled O'Neill (1850 set,
2,009 tunes, public domain), read from the installed package.

TRADE, "Open data for tests" (V, computed, no published count): 1,178 tunes on traditional frets,
1,449 with 6+ and 13+, 1,666 with 1+ and 8+ too, 1,989 of the last with transposition within an
octave. Its frets' number is not told: with 17 whole frets the last two come out to the tune; of
the first two ours are 1,186 and 1,444, so these are held to one in a hundred.
"""

from pathlib import Path

import pytest
from music21 import corpus
from music21.abcFormat import ABCFile, translate

from fretboard.presets import instrument

SEVENTEEN = "whole_frets = 17\nextra_frets = {extra}\n"


def tunes() -> list[set[int]]:
    """The MIDI pitches of every tune."""
    found = []
    for path in corpus.getComposer("oneills1850"):
        file = ABCFile()
        file.open(path)
        handler = file.read()
        file.close()
        for tune in handler.splitByReferenceNumber().values():
            notes = translate.abcToStreamScore(tune).recurse().notes
            found.append({int(pitch.ps) for note in notes for pitch in note.pitches})
    return found


@pytest.mark.slow
def test_each_extra_fret_opens_tunes_of_o_neill(tmp_path: Path) -> None:
    collection = tunes()
    assert len(collection) == 2009
    counts = []
    for extra in ([], ["6+", "13+"], ["1+", "6+", "8+", "13+"]):
        file = tmp_path / "seventeen.toml"
        file.write_text(SEVENTEEN.format(extra=extra))
        strung = instrument(str(file))
        sounds = {strung.pitch(n, fret) for n in range(3) for fret in strung.frets(n)}
        counts.append(sum(pitches <= sounds for pitches in collection))
    moved = sum(
        any({pitch + by for pitch in pitches} <= sounds for by in range(-12, 13))
        for pitches in collection
    )
    assert counts[0] == pytest.approx(1178, rel=0.01)
    assert counts[1] == pytest.approx(1449, rel=0.01)
    assert (counts[2], moved) == (1666, 1989)
