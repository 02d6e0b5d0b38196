"""Missing and fading tones over a chord's stay, by hand (tuning D3 A3 D4).

A tone heard since the chord began is still in the ear. 0-0-2 sounds D A F♯, 0-0-0 D A D.
"""

import pytest

from scoring.moment import Moment
from tests.scoring.passage import amounts, bill, moment, step

NAMES = tuple(
    f"{degree}-{word}"
    for degree in ("root", "third", "fifth", "seventh")
    for word in ("missing", "fading")
    if (degree, word) != ("fifth", "fading")
)
FULL = step("0-0-2", "--M")
BARE = step("0-0-0")


def stay(chord: str, count: int, judged: bool = True) -> list[Moment]:
    """Moments of one chord, the first its beginning."""
    return [moment(chord, change=index == 0, judged=judged) for index in range(count)]


def tones(chord: str | None, shape: str, fingers: str = "") -> dict[str, int]:
    """The chord terms of a shape heard alone."""
    row = bill([step(shape, fingers)], moment(chord, change=True, judged=True)).amounts[0]
    return {name: row[name] for name in NAMES if name in row}


@pytest.mark.parametrize(
    ("chord", "shape", "fingers", "missing"),
    [
        ("D", "0-0-2", "--M", {}),
        ("D", "0-0-0", "", {"third-missing": 1}),
        ("D", "2-0-0", "M--", {}),  # an inversion is complete
        ("D", "x-4-2", "-TI", {"root-missing": 1, "fifth-missing": 1}),  # E F♯
        ("D", "0-x-2", "--M", {"fifth-missing": 1}),
        ("G", "3-3-3", "III", {"third-missing": 1}),  # G5 (TRADE)
        ("A7", "1-0-3", "I-T", {"third-missing": 1}),  # A7 without third (TRADE)
        ("A7", "3-2-4", "MIT", {"fifth-missing": 1}),  # A7 without fifth (TRADE)
        ("A7", "3-2-1", "TIM", {"root-missing": 1}),  # rootless A7 = C♯dim (TRADE)
        ("A", "1-2-4", "PIT", {}),
        ("D5", "0-0-0", "", {}),  # a chord that has no third lacks none
        ("Asus4", "4-0-0", "M--", {"fifth-missing": 1}),  # A D: the fourth stands for the third
        ("Asus4", "4-0-1", "M-P", {"third-missing": 1}),  # A E
        ("Dsus2", "0-0-1", "--M", {}),
        ("D6", "5-0-2", "T-M", {"root-missing": 1}),  # B A F♯: the sixth counts as a seventh
        ("D6", "0-0-2", "--M", {"seventh-missing": 1}),
        ("Dadd9", "0-0-2", "--M", {"seventh-missing": 1}),
        # a ninth chord lacks seventh and ninth: two tones
        ("A9", "4-0-6+", "M-T", {"fifth-missing": 1, "seventh-missing": 2}),
        ("C/D", "0-4-6", "-MT", {"fifth-missing": 1}),  # D E C: the slash bass is no tone of C
        (None, "0-0-0", "", {}),
        ("D", "x-x-x", "", {"root-missing": 1, "third-missing": 1, "fifth-missing": 1}),
    ],
)
def test_what_a_shape_lacks(
    chord: str | None, shape: str, fingers: str, missing: dict[str, int]
) -> None:
    assert tones(chord, shape, fingers) == missing


def test_a_tone_heard_since_the_chord_began_only_fades() -> None:
    choices = [FULL, BARE, BARE]
    assert amounts("third-missing", choices, stay("D", 3)) == [0, 0, 0]
    assert amounts("third-fading", choices, stay("D", 3)) == [0, 1, 1]


def test_a_tone_not_yet_heard_is_missing_until_it_comes() -> None:
    choices = [BARE, BARE, FULL, BARE]
    assert amounts("third-missing", choices, stay("D", 4)) == [1, 1, 0, 0]
    assert amounts("third-fading", choices, stay("D", 4)) == [0, 0, 0, 1]


def test_a_new_chord_forgets() -> None:
    again = [*stay("D", 2), *stay("D", 2)]  # the same chord, afresh at a section
    assert amounts("third-missing", [FULL, BARE, BARE, BARE], again) == [0, 0, 1, 1]
    other = [*stay("D", 1), *stay("Bm", 2)]  # F♯ is Bm's fifth, D its third
    choices = [FULL, step("5-0-2", "T-M"), step("5-4-5", "TIM")]
    assert amounts("third-missing", choices, other) == [0, 1, 1]


def test_the_memory_is_longer_than_one_moment() -> None:
    # root, strum, fifth, strum: the third of the first strum is in the ear at the last
    bass, strum = stay("D", 4, judged=False), stay("D", 4)
    moments = [bass[0], strum[1], bass[2], strum[3]]
    choices = [
        step("0-x-x"),
        step("0-0-2", "--M", struck=".um"),
        step("4-x-x", "M--"),
        step("4-0-0", "M--", struck=".um"),
    ]
    assert amounts("third-missing", choices, moments) == [0, 0, 0, 0]
    assert amounts("third-fading", choices, moments) == [0, 0, 0, 1]
    # the root: sounding with the first strum, and again on the melody string at the last
    assert amounts("root-missing", choices, moments) == [0, 0, 0, 0]
    assert amounts("root-fading", choices, moments) == [0, 0, 0, 0]


def test_the_bass_note_alone_puts_the_root_in_the_ear() -> None:
    moments = stay("G", 2)
    moments[0] = moment("G", change=True)
    choices = [step("3-x-x", "M--"), step("x-1-0", "-I-", struck=".um")]  # G, then B D
    assert amounts("root-missing", choices, moments) == [0, 0]
    assert amounts("root-fading", choices, moments) == [0, 1]


def test_a_tone_that_rings_on_sounds() -> None:
    ringing = step("0-0-2", "--M", struck="bu.")
    assert amounts("third-missing", [ringing], stay("D", 1)) == [0]


def test_the_fifth_has_one_price_heard_or_not() -> None:
    choices = [FULL, step("0-x-2", "--M"), step("0-x-2", "--M")]
    assert amounts("fifth-missing", choices, stay("D", 3)) == [0, 1, 1]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_judged_where_nothing_is_to_be(name: str) -> None:
    silent = step("x-x-x")
    assert amounts(name, [silent, silent], stay("A9", 2, judged=False)) == [0, 0]
    assert amounts(name, [silent], [moment(None, judged=True)]) == [0]


def test_sevenths_fade_one_by_one() -> None:
    # A9: seventh G, ninth B. 3-4-… : bass 3 = G, melody 5 = B, then neither
    moments = stay("A9", 3)
    choices = [step("3-0-0", "M--"), step("5-0-0", "M--"), step("4-0-1", "M-P")]
    assert amounts("seventh-missing", choices, moments) == [1, 0, 0]  # B not yet heard, then heard
    assert amounts("seventh-fading", choices, moments) == [0, 1, 2]
