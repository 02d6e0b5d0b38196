"""Passing, neighbour and approach notes: which intervals are admitted, music21 as oracle.

*Open Music Theory*, "Embellishing tones": a passing note goes between two stable tones by step in
one direction; a neighbour steps out and back. music21's ThreeNoteLinearSegment knows the intervals
alone, neither chord nor beat, so those are checked by themselves first.

Three moments, one bass string with every fret: a chord tone, a note foreign to the chord, a chord
tone again (or the next chord's root).
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from music21 import key as music_key
from music21 import note, voiceLeading

from fretboard.hand import Hand
from fretboard.instrument import Course, Instrument
from scoring.choice import ROLE_CODE
from scoring.moment import FOREIGN, Moment
from solver.held import Held
from solver.labels import label_ways
from solver.layers import Past, build_layer
from solver.righthand import right_hand
from solver.style import Style
from tests.scoring.passage import moment
from tune.chord import parse_chord
from tune.key import Key, note_name

EVERY = tuple(range(1, 25))
CHROMATIC = Instrument("every fret", tuple(Course(open_, EVERY) for open_ in (50, 57, 62)))
STYLE = Style(manner="walking", right_hand=right_hand("bass-only"), bass_ceiling=24)
BASS = ((True, False, False),)
ONLY_BASS = (True, False, False)


def three(first: str, then: str, key: Key, middle: frozenset[str]) -> list[Moment]:
    """A strong beat, a weak one, a strong one; ``then`` is the last one's chord."""
    tones = frozenset(parse_chord(first).degrees)
    asked = {"strikes": BASS, "plays": ONLY_BASS, "scale": key.pitch_classes}
    change = first != then
    return [
        moment(first, change=True, strong=True, roles=tones, **asked),
        moment(first, roles=middle, leads=change, **asked),
        moment(then, change=change, strong=True, roles=frozenset(parse_chord(then).degrees),
               **asked),
    ]  # fmt: skip


def admitted(moments: list[Moment]) -> dict[str, set[tuple[int, int, int]]]:
    """Role of the middle note → every (first, middle, last) pitch that the labels let through."""
    layers, past = [], Past()
    for asked in moments:
        layers.append(build_layer(asked, past, Held(CHROMATIC, Hand(), STYLE)))
        past = Past.of(layers[-1])
    if not all(map(len, layers)):
        return {role: set() for role in FOREIGN}
    into, out = (label_ways(a, b).fits.any(axis=1) for a, b in pairwise(layers))
    found: dict[str, set[tuple[int, int, int]]] = {role: set() for role in FOREIGN}
    lines = [layer.labels.line for layer in layers]
    for mid, code in enumerate(layers[1].labels.role):
        for role in FOREIGN:
            if code == ROLE_CODE[role]:
                for before in np.flatnonzero(into[:, mid]):
                    for after in np.flatnonzero(out[mid]):
                        pitches = (lines[0][before], lines[1][mid], lines[2][after])
                        found[role].add(tuple(int(pitch) for pitch in pitches))
    return found


def spelled(pitch: int, key: Key) -> note.Note:
    return note.Note(f"{note_name(pitch % 12, key)}{pitch // 12 - 1}".replace("b", "-"))


def segment(pitches: tuple[int, int, int], key: Key) -> voiceLeading.ThreeNoteLinearSegment:
    return voiceLeading.ThreeNoteLinearSegment(*(spelled(pitch, key) for pitch in pitches))


def triples(first: str, then: str, key: Key) -> list[tuple[int, int, int]]:
    """Chord tone, note of the key foreign to the chord, chord tone: near enough to be steps."""
    stable, last = parse_chord(first).pitch_classes, parse_chord(then).pitch_classes
    reach = range(50, 75)
    return [
        (a, b, c)
        for a in reach
        if a % 12 in stable
        for b in range(a - 4, a + 5)
        if b in reach and b % 12 in key.pitch_classes - stable
        for c in range(b - 4, b + 5)
        if c in reach and c % 12 in last
    ]


CASES = [
    ("D", "D", Key("D")), ("G", "G", Key("D")), ("A", "A", Key("D")), ("D", "G", Key("D")),
    ("G", "A", Key("D")), ("C", "G", Key("G")), ("Em", "D", Key("E", "minor")),
    ("Dm", "C", Key("D", "dorian")), ("Bm", "F#m", Key("B", "minor")),
    ("D", "C", Key("D", "mixolydian")),
]  # fmt: skip


@pytest.mark.parametrize(("first", "then", "key"), CASES)
def test_passing_notes_are_what_music21_could_call_passing(first: str, then: str, key: Key) -> None:
    ours = admitted(three(first, then, key, frozenset({"passing"})))["passing"]
    theirs = {t for t in triples(first, then, key) if segment(t, key).couldBePassingTone()}
    assert ours == theirs != set()


@pytest.mark.parametrize(("first", "then", "key"), CASES)
def test_neighbour_notes_are_what_music21_could_call_neighbours(
    first: str, then: str, key: Key
) -> None:
    ours = admitted(three(first, then, key, frozenset({"neighbour"})))["neighbour"]
    theirs = {t for t in triples(first, then, key) if segment(t, key).couldBeNeighborTone()}
    assert ours == theirs
    assert ours or first != then


@pytest.mark.parametrize(("first", "then", "key"), CASES)
def test_an_approach_note_leaps_in_and_steps_to_the_next_root(
    first: str, then: str, key: Key
) -> None:
    # an incomplete neighbour: leap in, step out (Open Music Theory); from D to G the notes beside
    # the root, F♯ and A, are tones of D itself, so that none is left
    root, stable = parse_chord(then).bass_pitch_class, parse_chord(first).pitch_classes
    sounding = range(50, 75)
    theirs = {
        (a, b, c)
        for a in sounding
        for c in sounding
        for b in (c - 2, c - 1, c + 1, c + 2)
        if first != then and a % 12 in stable and c % 12 == root and b in sounding
        and b % 12 in key.pitch_classes - stable
    }  # fmt: skip
    assert admitted(three(first, then, key, frozenset({"approach"})))["approach"] == theirs
    assert bool(theirs) is ((first, then) not in (("D", "G"), ("G", "A")) and first != then)


def test_no_foreign_note_follows_another() -> None:
    key, foreign = Key("D"), frozenset(FOREIGN)
    moments = three("D", "D", key, foreign)
    tones = moments[2].roles
    row = [moments[0], moments[1], replace(moments[2], strong=False, roles=tones | foreign)]
    layers, past = [], Past()
    for asked in row:
        layers.append(build_layer(asked, past, Held(CHROMATIC, Hand(), STYLE)))
        past = Past.of(layers[-1])
    fits = label_ways(layers[1], layers[2]).fits.any(axis=1)
    codes = [ROLE_CODE[role] for role in FOREIGN]
    old = np.isin(layers[1].labels.role, codes)
    new = np.isin(layers[2].labels.role, codes)
    assert old.any()
    assert new.any()
    assert not fits[np.ix_(old, new)].any()


@pytest.mark.parametrize("role", FOREIGN)
def test_no_foreign_note_where_its_role_is_not_licensed(role: str) -> None:
    others = frozenset(FOREIGN) - {role}
    assert admitted(three("D", "G", Key("D"), others))[role] == set()


def test_the_oracle_knows_the_scale_of_d_major() -> None:
    # so that the spelling by which music21 judges is the one that it would use itself
    scale = {p.name for p in music_key.Key("D").pitches}
    assert scale == {spelled(60 + pc, Key("D")).name for pc in Key("D").pitch_classes}
