"""Style: the settings that a player chooses, and what she is told where one cannot be."""

import pytest

from solver.errors import ArrangeError, StyleError
from solver.manners import MANNERS
from solver.righthand import right_hand
from solver.style import OCTAVE, TEXTURES, Style, manners_in, usual_manner


def test_the_defaults_are_the_trades() -> None:
    style = Style()
    assert style.manner in MANNERS
    assert style.right_hand == right_hand("bass-then-strum")
    # hard ceiling of the bass at fret 7, the octave, from where it sounds an octave up (C)
    assert style.bass_ceiling == OCTAVE == 12
    assert style.bass_lowest
    assert style.no_chord == "rest"


@pytest.mark.parametrize("manner", manners_in("song"))
def test_every_manner_makes_a_style(manner: str) -> None:
    assert Style(manner=manner).manner == manner


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"manner": "boogie"}, "there is no bass manner 'boogie'; the names are held, roots, "),
        ({"manner": ""}, "there is no bass manner ''"),
        ({"manner": "Walking"}, "there is no bass manner 'Walking'"),
        ({"no_chord": "stop"}, "where no chord is, the bass can rest or carry, not 'stop'"),
        ({"no_chord": ""}, "the bass can rest or carry, not ''"),
        ({"bass_ceiling": -1}, "bass_ceiling must lie between 0 and 36 semitones"),
        ({"bass_ceiling": 37}, "bass_ceiling must lie between 0 and 36 semitones"),
        ({"highest": -1}, "highest must lie between 0 and 36 semitones"),
        ({"highest": 37}, "highest must lie between 0 and 36 semitones"),
    ],
)
def test_a_setting_that_cannot_be(settings: dict[str, object], sentence: str) -> None:
    with pytest.raises(StyleError) as caught:
        Style(**settings)  # type: ignore[arg-type]
    assert sentence in str(caught.value)
    assert isinstance(caught.value, ArrangeError)
    assert isinstance(caught.value, ValueError)


@pytest.mark.parametrize("semitones", [0, 12, 36])
def test_the_ends_of_the_range_are_in_it(semitones: int) -> None:
    assert Style(bass_ceiling=semitones, highest=semitones).highest == semitones


def test_styles_are_values() -> None:
    assert Style() == Style()
    assert hash(Style()) == hash(Style())
    assert Style() != Style(manner="walking")


@pytest.mark.parametrize("texture", list(TEXTURES))
def test_a_texture_has_the_manners_that_make_sense_in_it(texture: str) -> None:
    fitting = manners_in(texture)
    assert usual_manner(texture) in fitting
    assert set(fitting) <= set(MANNERS)
    for manner in MANNERS:
        if manner in fitting:
            assert Style(texture=texture, manner=manner).manner == manner
        else:
            with pytest.raises(StyleError, match=r"drone has no bass line|bass texture alone"):
                Style(texture=texture, manner=manner)


def test_a_texture_that_is_none_is_told() -> None:
    with pytest.raises(StyleError, match="no texture 'choir'; the names are song, solo, bass, dr"):
        Style(texture="choir")
