"""What the bundled tunes must show together: every metre and key, repeats, words, and so on.

A table says which tune is there for which feature; a feature that is in no tune, or in every one,
fails.
"""

from collections.abc import Callable

import pytest

import corpus
from tests.test_corpus import CHORDS_ONLY, NAMES, chords_of, full_bars, tune
from tune.time import QUARTER
from tune.tune import Tune


def has_split_bar(music: Tune) -> bool:
    return any(len(bar.chords) > 1 for bar in music.bars)


def has_slash_chord(music: Tune) -> bool:
    return any(chord.bass for chord in chords_of(music))


def has_no_chord_bar(music: Tune) -> bool:
    return any(change.chord is None for bar in music.bars for change in bar.chords)


def has_endings(music: Tune) -> bool:
    return {(1,), (2,)} <= {bar.endings for bar in music.bars}


def has_repeat(music: Tune) -> bool:
    return len(music.played) > len(music.bars)


def has_tie(music: Tune) -> bool:
    return any(note.tied for bar in music.bars for note in bar.notes)


def has_triplet(music: Tune) -> bool:
    return any(note.tuplet == (3, 2) for bar in music.bars for note in bar.notes)


def has_verses(music: Tune) -> bool:
    return any(len(note.lyrics) >= 3 for bar in music.bars for note in bar.notes)


def changes_key(music: Tune) -> bool:
    return len({bar.key for bar in music.bars}) > 1


def is_long(music: Tune) -> bool:
    return min(full_bars(music)) >= 64


def is_chords_only(music: Tune) -> bool:
    return music.has_chords and not any(bar.notes for bar in music.bars)


def has_sections(music: Tune) -> bool:
    return sum(bool(bar.section) for bar in music.bars) >= 2


FEATURES: dict[Callable[[Tune], bool], tuple[str, ...]] = {
    lambda music: music.pickup: ("lantern-path", "wet-boots-in-the-porch", "biscuit-tin-stomp"),
    has_split_bar: ("harrow-lane", "three-odd-gloves", "stacking-the-chairs"),
    has_slash_chord: ("harrow-lane", "frost-on-the-allotments", "stacking-the-chairs"),
    has_no_chord_bar: ("biscuit-tin-stomp", "stacking-the-chairs"),
    has_endings: ("kettle-on-at-nine", "candle-for-the-back-row", "stacking-the-chairs"),
    has_repeat: ("harrow-lane", "candle-for-the-back-row", "stacking-the-chairs"),
    has_tie: ("mending-weather", "biscuit-tin-stomp"),
    has_triplet: ("biscuit-tin-stomp",),
    has_verses: ("lantern-path",),
    changes_key: ("long-way-round-the-green",),
    is_long: ("long-way-round-the-green",),
    is_chords_only: CHORDS_ONLY,
    has_sections: ("harrow-lane", "candle-for-the-back-row", "stacking-the-chairs"),
}


@pytest.mark.parametrize(
    ("shows", "name"), [(shows, name) for shows, names in FEATURES.items() for name in names]
)
def test_the_tune_shows_what_it_is_there_for(shows: Callable[[Tune], bool], name: str) -> None:
    assert shows(tune(name))


@pytest.mark.parametrize("shows", FEATURES)
def test_no_feature_is_seen_everywhere(shows: Callable[[Tune], bool]) -> None:
    """Else the test above could not fail."""
    assert not all(shows(tune(name)) for name in NAMES)


def test_every_metre_is_there() -> None:
    metres = {str(tune(name).metre) for name in NAMES}
    assert metres >= {"4/4", "2/4", "3/4", "6/8", "2/2", "9/8", "12/8"}


def test_every_key_is_there() -> None:
    keys = {str(tune(name).key) for name in NAMES}
    wanted = {"D major", "G major", "A mixolydian", "E minor", "B minor", "D dorian"}
    assert keys >= wanted


def test_every_form_of_file_is_there_more_than_once() -> None:
    suffixes = [corpus.path(name).suffix for name in NAMES]
    assert all(suffixes.count(suffix) >= 2 for suffix in corpus.SUFFIXES)


def test_the_demonstration_is_32_bars_of_lively_four_in_d() -> None:
    music = tune("harrow-lane")
    assert full_bars(music) == (16, 32)
    assert (str(music.key), str(music.metre)) == ("D major", "4/4")
    assert music.tempo.beat == QUARTER
    assert music.tempo.per_minute >= 100


def test_the_verses_have_a_syllable_for_every_note() -> None:
    music = tune("lantern-path")
    verse = [note for bar in music.bars[:17] for note in bar.notes if note.midi is not None]
    assert all(len(note.lyrics) == 3 and all(note.lyrics) for note in verse)
    rest = [note for bar in music.bars[17:] for note in bar.notes if note.midi is not None]
    assert all(note.lyrics and note.lyrics[0] for note in rest)
