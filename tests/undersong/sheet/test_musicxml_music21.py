"""MusicXML of real tunes, read back by this project's reader and by music21.

Tunes: the bundled ones in every texture that they have the music for, and public-domain ones of
O'Neill's, Ryan's and Aird's collections, read out of the installed music21 package, never copied.
What the hands do is by chance: any frets must be carried, not the best ones only.
"""

from functools import cache
from random import Random

import pytest

import corpus
from fretboard.presets import instrument
from solver.righthand import right_hand
from solver.style import TEXTURES, Style, usual_manner
from tests.tune.musicxml_score import valid
from tests.undersong.arranged import bundled, by_chance
from tests.undersong.collections import COLLECTIONS, collected
from tests.undersong.sheet.by_music21 import same_by_music21
from tests.undersong.sheet.read_back import same_staff, same_tab
from tune.readers import read
from tune.tune import Tune
from undersong.chords import with_drone
from undersong.sheet.musicxml import to_musicxml

MELODIC = ("solo", "drone")
PATTERNS = ("bass-then-strum", "damped-bass-then-strum", "full-strum", "broken")
STRINGS = ("standard", "1+6+", "chromatic", "four-equidistant")


def read_back(tune: Tune, texture: str, number: int, *, by_music21: bool = True) -> None:
    """One tune in one texture; number: chooses hands, pattern and strings in turn."""
    pattern = right_hand(PATTERNS[number % len(PATTERNS)] if texture != "drone" else PATTERNS[0])
    graces = texture in MELODIC and number % 2 == 0
    style = Style(usual_manner(texture), pattern, texture=texture, graces=graces)
    over = with_drone(tune) if texture == "drone" or not tune.has_chords else tune
    strung = instrument(STRINGS[number % len(STRINGS)])
    made = by_chance(over, style, strung, Random(number), alike=1.0 if number % 3 else 0.7)
    document = valid(to_musicxml(made).encode())
    staff = same_staff(document, made)
    same_tab(document, made, staff)
    if by_music21:
        same_by_music21(document, made, staff)


def texture_of(tune: Tune, number: int) -> str:
    """The textures in turn; the drone in metres that the usual right hands do not know."""
    known = {metre for metre, _ in right_hand(PATTERNS[0]).bars}
    return list(TEXTURES)[number % 4] if {b.metre for b in tune.bars} <= known else "drone"


@cache
def melody_of(name: str) -> Tune:
    return read(str(corpus.path(name)))


def sings(tune: Tune) -> bool:
    return any(note.midi is not None for bar in tune.bars for note in bar.notes)


BOTH = [
    (name, texture)
    for name in corpus.names()
    for texture in TEXTURES
    if texture not in MELODIC or sings(melody_of(name))
]


def test_the_search_has_its_answers_read_back_too() -> None:
    made = bundled("harrow-lane")
    document = valid(to_musicxml(made).encode())
    staff = same_staff(document, made)
    same_tab(document, made, staff)
    same_by_music21(document, made, staff)


@pytest.mark.parametrize("number", range(0, len(BOTH), 9))
def test_a_sample_of_bundled_tunes_and_textures_is_read_back(number: int) -> None:
    read_back(melody_of(BOTH[number][0]), BOTH[number][1], number)


@pytest.mark.parametrize("name", COLLECTIONS)
def test_a_sample_of_old_tunes_is_read_back(name: str) -> None:
    for number, tune in enumerate(collected(name, 300)):
        read_back(tune, texture_of(tune, number), number, by_music21=number == 0)


@pytest.mark.slow
def test_every_bundled_tune_is_read_back_in_every_texture() -> None:
    for number, (name, texture) in enumerate(BOTH):
        for more in range(len(PATTERNS)):
            read_back(melody_of(name), texture, number + more, by_music21=more == 0)
    print(f"\n{len(BOTH)} tunes and textures, {len(PATTERNS)} patterns each")


@pytest.mark.slow
@pytest.mark.parametrize("name", COLLECTIONS)
def test_old_tunes_are_read_back(name: str) -> None:
    tunes = collected(name, 5)
    assert len(tunes) >= 150
    for number, tune in enumerate(tunes):
        read_back(tune, texture_of(tune, number), number, by_music21=number % 2 == 0)
    print(f"\n{name}: {len(tunes)} tunes")
