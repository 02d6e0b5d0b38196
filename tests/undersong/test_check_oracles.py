"""The checker held against things outside the project: printed tables, music21, pychord."""

from dataclasses import replace
from itertools import pairwise, product

import pychord
import pytest
from music21.pitch import Pitch
from music21.voiceLeading import ThreeNoteLinearSegment

from fretboard.grip import Grip
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.weights import Weights
from solver.moments import moments_of
from solver.result import UNPROVEN, Arrangement, Proof
from tests.undersong.passages import alternating, bar, style_of, tune_of, walking, with_line
from tune.tune import Tune
from undersong.check import check
from undersong.check.asks import asks_of
from undersong.check.bass import bass_true
from undersong.check.hand import along
from undersong.check.passage import Passage
from undersong.check.pitches import chord_tones

INCH = 254
"""Tenths of a mm."""
WHOLE_FRETS = (0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21, 22, 24, 26)
"""TRADE.md, "Frets": semitones of frets 0 to 15."""

SPACINGS = {
    25: (2.73, 2.43, 1.11, 2.04, 1.82, 0.83, 1.53, 1.36, 1.21, 0.56, 1.02, 0.91, 0.42, 0.77, 0.68),
    28: (3.05, 2.72, 1.25, 2.29, 2.04, 0.93, 1.71, 1.53, 1.36, 0.62, 1.14, 1.02, 0.47, 0.86, 0.76),
}
"""TRADE.md, "Frets": inches between successive diatonic frets (forum page
*Hammers for the MD?*)."""


@pytest.mark.parametrize("inches", SPACINGS)
def test_frets_lie_where_the_printed_table_has_them(inches: int) -> None:
    made = replace(instrument(), scale_mm=inches * 25.4)
    places = [along(made, fret) / INCH for fret in WHOLE_FRETS]
    gaps = [after - before for before, after in pairwise(places)]
    assert gaps == pytest.approx(SPACINGS[inches], abs=0.006)


@pytest.mark.parametrize(
    ("scale", "frets", "mm"),
    [
        (25, (2, 5), 90), (27, (2, 5), 97), (28.5, (2, 5), 103),
        (25, (4, 7), 80), (27, (4, 7), 87), (28.5, (4, 7), 91),
        (25, (2, 9), 188), (27, (2, 9), 203), (28.5, (2, 9), 215),
    ],
)  # fmt: skip
def test_reaches_are_those_of_the_table(scale: float, frets: tuple[int, int], mm: int) -> None:
    """TRADE.md, "Frets": reach between frets 1–3, 2–4, 1–5 (computed there, whole mm)."""
    made = replace(instrument(), scale_mm=scale * 25.4)
    assert (along(made, frets[1]) - along(made, frets[0])) / 10 == pytest.approx(mm, abs=0.6)


@pytest.mark.parametrize("scale", [500, 686, 760])
def test_the_reach_that_is_just_enough(scale: float) -> None:
    """Thumb at fret 4 of the bass, index at fret 2 of the melody: two courses across."""
    base = replace(alternating(), instrument=replace(instrument(), scale_mm=scale))
    way = along(base.instrument, 7) - along(base.instrument, 4)
    apart = round((way**2 + (2 * 160) ** 2) ** 0.5)
    for greatest, caught in ((apart + 1, False), (apart, False), (apart - 3, True)):
        reach = {(0, 1): greatest}
        hand = replace(base.hand, comfortable={(0, 1): 0}, greatest=reach)
        rules = {fault.rule for fault in check(replace(base, hand=hand)) if fault.bar == 1}
        assert ("reach" in rules) == caught


# Non-chord notes, by music21

D_MAJOR = {0: "D3", 2: "E3", 4: "F#3", 5: "G3", 7: "A3", 9: "B3", 11: "C#4", 12: "D4"}
"""Notes of the bass string, by semitone."""
IN_D = (0, 4, 7, 12)
FOREIGN = (2, 5, 9, 11)
ROOTS = {0: "D", 2: "Em", 4: "F#m", 5: "G", 7: "A", 9: "Bm", 12: "D"}
NAMES = {0: "root", 4: "third", 7: "fifth", 12: "root"}


def _judged(before: int, foreign: int, after: int, role: str) -> bool:
    """Whether the checker accepts the note on the fourth beat, between the third beat and the
    next chord's root."""
    base = walking()
    tune = tune_of("D", bar(ROOTS[after], section="B"), "")
    moments = moments_of(tune, base.style, 3)
    line = replace(base, tune=tune, moments=moments)
    for index, fret, name in ((2, before, NAMES[before]), (3, foreign, role), (4, after, "root")):
        finger = "I" if fret else "-"
        line = with_line(line, index, f"{fret} x x | {finger} - - | 100 | b-- | {name}")
    faults = bass_true(Passage(line, asks_of(tune, line.style, 3)))
    return not [fault for fault in faults if (fault.bar, fault.offset) == (1, 3 * 10080)]


def test_passing_and_neighbour_notes_are_those_of_music21() -> None:
    """``ThreeNoteLinearSegment`` knows intervals only; beat and chord are right by construction."""
    seen = {"passing": 0, "neighbour": 0}
    for before, foreign, after in product(IN_D, FOREIGN, ROOTS):
        notes = [Pitch(D_MAJOR[fret]).nameWithOctave for fret in (before, foreign, after)]
        segment = ThreeNoteLinearSegment(*notes)
        passing = segment.couldBePassingTone()
        neighbour = segment.couldBeNeighborTone()
        assert _judged(before, foreign, after, "passing") == passing, notes
        assert _judged(before, foreign, after, "neighbour") == neighbour, notes
        near = abs(Pitch(D_MAJOR[after]).ps - Pitch(D_MAJOR[foreign]).ps) in (1, 2)
        assert _judged(before, foreign, after, "approach") == near, notes
        seen["passing"] += passing
        seen["neighbour"] += neighbour
    assert min(seen.values()) >= 4


# Chord tones, by pychord

CHORDS = (
    "D", "G", "A7", "Em", "Bm", "F#m", "C", "Am7", "Dmaj7", "D6", "Em7", "Gsus4", "Dsus2",
    "F#dim", "Daug", "Bb", "Ebm", "A9",
)  # fmt: skip


def _strummed(tune: Tune, fret: int) -> Passage:
    style = style_of("free", "full-strum")
    moments = moments_of(tune, style, 3)
    grip = Grip((0, 0, fret), (-1, -1, 1 if fret else -1), 100)
    choices = (Choice(grip, (True, True, True), "root"),) * len(moments)
    arrangement = Arrangement(
        tune, instrument("chromatic"), alternating().hand, style, Weights(), moments, choices,
        Proof(UNPROVEN, 0, 0),
    )  # fmt: skip
    return Passage(arrangement, asks_of(tune, style, 3))


@pytest.mark.parametrize("symbol", CHORDS)
def test_chord_tones_are_those_of_pychord(symbol: str) -> None:
    tune = tune_of(symbol)
    tones = {
        Pitch(name.replace("b", "-")).pitchClass for name in pychord.Chord(symbol).components()
    }
    for fret in range(13):
        faults = [f for f in chord_tones(_strummed(tune, fret)) if "melody" in f.message]
        assert bool(faults) == ((62 + fret) % 12 not in tones), fret
