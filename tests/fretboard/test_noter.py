"""A noter: a stick that stops one fret of the melody string and nothing else (common practice, no
source)."""

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

from fretboard.errors import FretboardError
from fretboard.fingering import fingerings
from fretboard.grip import printed
from fretboard.hand import SLIDE_A, SLIDE_B, Hand, Movement
from fretboard.presets import hand, instrument

NOTER = hand("noter")
STANDARD = instrument()


def test_a_noter_is_one_thing_that_bars_nothing() -> None:
    assert NOTER.noter
    assert not hand("medium").noter
    assert NOTER.fingers == (0,)
    assert not any(NOTER.bars(finger) for finger in range(5))
    assert NOTER.letter(0) == "N"
    assert [hand("medium").letter(finger) for finger in range(5)] == list("TIMRP")
    assert Hand(noter=True, may_bar="TIM", not_used="R") == Hand(noter=True)
    assert Hand(name="noter") != NOTER


def test_the_stick_lies_where_the_hand_is() -> None:
    (grip,) = fingerings((0, 0, 5), STANDARD, NOTER)
    # 686 mm·(1 − 2^(−5/12)) = 172.1 mm, to the centimetre
    assert (grip.fingers, grip.place) == ((-1, -1, 0), 170)
    assert printed(grip, STANDARD, hand=NOTER) == "0-0-3 (- - N)"


@pytest.mark.parametrize("courses", [3, 4])
def test_it_stops_the_last_course_only(courses: int) -> None:
    strung = instrument("four-equidistant" if courses == 4 else "standard")
    for frets in product((-1, 0, 5, 7), repeat=courses):
        found = fingerings(frets, strung, NOTER)
        alone = frets[-1] > 0 and all(fret <= 0 for fret in frets[:-1])
        assert len(found) == (1 if alone else 0), frets


def test_above_a_capo_too() -> None:
    strung = instrument(capo=3)
    assert len(fingerings((5, 5, 9), strung, NOTER)) == 1
    assert fingerings((5, 9, 5), strung, NOTER) == ()


def test_a_file_may_ask_for_one(tmp_path: Path) -> None:
    file = tmp_path / "stick.toml"
    file.write_text("noter = true\n")
    made = hand(str(file))
    assert made == Hand(name="stick", noter=True, movement=NOTER.movement)
    assert made.slides_whole
    file.write_text("noter = true\n[movement]\nslide_a = 30\nhand_b = 90\n")
    assert hand(str(file)).movement == replace(NOTER.movement, slide_a=30, hand_b=90)


def test_a_slide_of_its_own_is_a_noters() -> None:
    assert NOTER.movement == Movement(slide_a=SLIDE_A, slide_b=SLIDE_B)
    assert not hand("medium").slides_whole
    assert not Hand(noter=True).slides_whole
    with pytest.raises(FretboardError, match="are a noter's: write noter = true"):
        Hand(movement=NOTER.movement)
    with pytest.raises(FretboardError, match="slide_a and slide_b go together"):
        Movement(slide_a=20)
    with pytest.raises(FretboardError, match="slide_b must lie between 0 and 2000"):
        Movement(slide_a=20, slide_b=-1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("noter = 1", "stick.toml: noter must be true or false, not 1"),
        ("[movement]\nslide_b = 74", "[movement]: slide_b must be left out, since it is"),
        ("noter = true\nmay_bar = 'I'", "stick.toml: may_bar must be left out, since a noter"),
        ("noter = true\nnot_used = 'P'", "stick.toml: not_used must be left out, since a noter"),
    ],
)
def test_a_bad_file_is_refused(text: str, says: str, tmp_path: Path) -> None:
    file = tmp_path / "stick.toml"
    file.write_text(text)
    with pytest.raises(FretboardError) as caught:
        hand(str(file))
    assert says in str(caught.value)


def test_reach_tables_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        hand().greatest[0, 1] = 5  # type: ignore[index]
