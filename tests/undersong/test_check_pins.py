"""The checker on pins: passages made by hand, each pin held or broken at moments named by hand."""

from dataclasses import replace

import pytest

from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.pinned import (
    Barred,
    BassManner,
    BassNote,
    BassRole,
    FingerDown,
    Fingering,
    Hands,
    Kept,
    OneString,
    Pinned,
    Shape,
)
from solver.conditions.pins import Pin, kept_bars
from solver.result import Arrangement
from tests.undersong.passages import SOUND, alternating, arranged, style_of, tune_of, with_line
from tune.tune import Tune
from undersong.check import Fault, check


def numbered(tune: Tune) -> Tune:
    bars = tuple(replace(bar, number=number) for number, bar in enumerate(tune.bars, 1))
    return replace(tune, bars=bars)


def base(name: str = "alternating") -> Arrangement:
    made = SOUND[name]()
    return replace(made, tune=numbered(made.tune))


def told(made: Arrangement, *pins: Pin) -> list[Fault]:
    asked = replace(made, conditions=Conditions(pins=pins))
    return [fault for fault in check(asked) if fault.rule == "pin"]


def broken_at(made: Arrangement, *pins: Pin) -> list[int]:
    """Numbers of the moments where a pin is broken."""
    places = [(moment.bar, moment.offset) for moment in made.moments]
    return [places.index((fault.bar, fault.offset)) for fault in told(made, *pins)]


def one(number: int) -> Bars:
    return Bars(number, number)


ALL = Bars()

# moments of alternating(), four a bar: bass root, strum, bass fifth, strum
ROWS: list[tuple[str, Pin, list[int]]] = [
    ("a fret where it sounds", Pin(one(1), OneString(2, 3, 4)), []),
    ("a fret; the bass has others", Pin(one(1), OneString(0, 3, 7)), [0, 1]),
    ("a string that is silent and not struck as asked", Pin(one(2), OneString(1, 3, 2)), []),
    ("open, and stopped", Pin(one(3), OneString(1, 3, 0)), [9, 10, 11]),
    ("silent: it sounds later", Pin(one(1), OneString(1, 3, -1)), [1, 2, 3]),
    ("a finger where it is stopped", Pin(one(1), OneString(2, 3, None, 1)), []),
    ("another finger", Pin(one(1), OneString(2, 3, None, 2)), [1, 2, 3]),
    ("both fret and finger", Pin(one(3), OneString(1, 3, 4, 2)), [9, 10, 11]),
    ("a fret forbidden", Pin(one(1), OneString(0, 3, 7), True), [2, 3]),
    ("a fret with another finger forbidden", Pin(one(1), OneString(0, 3, 7, 1), True), []),
    ("a finger on a string forbidden", Pin(ALL, OneString(1, 3, None, 1), True),
     [5, 6, 7, 9, 10, 11]),
    ("silence forbidden", Pin(ALL, OneString(2, 3, -1), True), [0, 4, 8, 12]),
    ("open forbidden", Pin(one(4), OneString(0, 3, 0), True), [12, 13, 14, 15]),
    ("a shape", Pin(one(1), Shape((None, 0, 4), (None, -1, 1))), []),
    ("a shape that has the fifth's bass", Pin(one(1), Shape((7, 0, 4))), [0, 1]),
    ("the shape in other fingers", Pin(one(3), Shape((None, 4, 2), (None, 1, 4))), [9, 10, 11]),
    ("a shape forbidden", Pin(ALL, Shape((7, 4, 2), (0, 1, 3)), True), [9]),
    ("a shape forbidden in other fingers", Pin(ALL, Shape((7, 4, 2), (0, 1, 4)), True), []),
    ("an open string of a shape may be silent", Pin(ALL, Shape((7, 0, None)), True),
     [2, 3, 8]),
    ("open strings alone must sound", Pin(ALL, Shape((0, 0, None)), True), [1, 13, 14, 15]),
    ("a fingering that the shape has", Pin(ALL, Fingering(LearnedShape((7, 4, 2), (0, 1, 3)))), []),
    ("another fingering", Pin(ALL, Fingering(LearnedShape((7, 4, 2), (0, 1, 4)))), [9]),
    ("a fingering of fewer strings",
     Pin(ALL, Fingering(LearnedShape((7, None, None), (1, None, None)))), [8]),
    ("a finger", Pin(ALL, FingerDown(4), True), [10, 11]),
    ("no bar lies there", Pin(ALL, Barred(), True), []),
    ("a bass note in any octave", Pin(ALL, BassNote("D")), [2, 4, 8, 10]),
    ("a bass note in its octave", Pin(Bars(1, 1), BassNote("A3")), [0]),
    ("a bass note an octave off", Pin(Bars(3, 3), BassNote("A2")), [8, 10]),
    ("a bass note forbidden", Pin(ALL, BassNote("D"), True), [0, 6, 12, 14]),
    ("a role", Pin(ALL, BassRole("root")), [2, 6, 10]),
    ("a role forbidden", Pin(Bars(2, 3), BassRole("fifth"), True), [6, 10]),
    ("a beat", Pin(ALL, BassRole("root"), beat=1), []),
    ("another beat", Pin(ALL, BassRole("root"), beat=3), [2, 6, 10]),
    ("a beat without the bass", Pin(ALL, BassRole("fifth"), beat=2), []),
    ("a shape on a beat", Pin(ALL, Shape((None, 0, 4)), beat=4), [7, 11]),
]  # fmt: skip


@pytest.mark.parametrize(("pin", "broken"), [row[1:] for row in ROWS], ids=[r[0] for r in ROWS])
def test_a_pin_is_broken_where_it_does_not_hold(pin: Pin, broken: list[int]) -> None:
    assert broken_at(base(), pin) == broken


def test_bars_laid_across_are_found() -> None:
    assert broken_at(base("strummed"), Pin(ALL, Barred(), True)) == [6, 7]


def test_a_rest_has_nothing_to_pin() -> None:
    made = base("resting")
    assert broken_at(made, Pin(ALL, OneString(2, 3, -1), True)) == [0, 5]
    assert broken_at(made, Pin(one(2), OneString(2, 3, 4))) == []


def test_a_bar_that_is_kept_is_kept_exactly() -> None:
    made = base()
    for number in range(1, 5):
        assert broken_at(made, *kept_bars(made, one(number))) == []
    pins = kept_bars(made, one(2))
    for index, line, broken in (
        (5, "5 2 0 | T M - | 100 | -ms", [5]),
        (5, "5 2 0 | T I - | 60 | -ms", []),  # the place of the hand is free
        (7, "0 2 0 | - I - | 70  | -m-", [7]),
        (6, "0 x x | - - - | 70  | b-- | fifth", [6]),
        (1, "0 0 4 | - - M | 140 | -ms", []),
    ):
        assert broken_at(with_line(made, index, line), *pins) == broken


def test_the_times_of_a_bar_are_kept_one_by_one() -> None:
    tune = numbered(tune_of(replace(alternating().tune.bars[0], repeat_times=3)))
    lines = "0 x x | - - - | 100 | b-- | root\n0 0 4 | - - I | 140 | -ms\n" * 2
    other = lines.replace("- - I", "- - M")
    made = arranged(tune, style_of("roots"), lines + other + other)
    pins = kept_bars(made, one(1))
    assert len(pins) == 1
    assert broken_at(made, *pins) == []
    twice = arranged(tune, style_of("roots"), lines + lines + other)
    assert broken_at(twice, *pins) == [5, 7]
    last = arranged(tune, style_of("roots"), lines + other + lines)
    assert broken_at(last, *pins) == [9, 11]
    first = Kept(pins[0].pinned.times[:1])  # type: ignore[union-attr]
    assert broken_at(made, Pin(one(1), first)) == [5, 7, 9, 11]


def test_another_number_of_strokes_cannot_be_kept() -> None:
    kept = Kept(((Hands(Shape((0, -1, -1))),),))
    (fault,) = told(base(), Pin(one(1), kept))
    assert (fault.bar, fault.offset) == (1, 0)
    assert fault.message.endswith("keeps another number of strokes")


def test_a_manner_is_judged_with_the_moments() -> None:
    """The roots' moments are there where another manner is asked for."""
    made = base("strummed")
    faults = check(replace(made, conditions=Conditions(pins=(Pin(ALL, BassManner("walking")),))))
    assert faults
    assert not [fault for fault in faults if fault.rule == "pin"]


@pytest.mark.parametrize(
    ("pinned", "says"),
    [
        (OneString(0, 4, 5), "does not speak of the instrument's 3 strings"),
        (Shape((0, 0, 0, 2)), "does not speak of the instrument's 3 strings"),
        (Kept(((Hands(Shape((0, 0, 0, 2))),),)), "does not speak of the instrument's 3 strings"),
    ],
)
def test_pins_for_another_instrument(pinned: Pinned, says: str) -> None:
    (fault,) = told(base(), Pin(ALL, pinned))
    assert fault.bar == 0
    assert fault.message.endswith(says)


def test_pins_on_bars_that_are_not_there() -> None:
    (fault,) = told(base(), Pin(Bars(40, 41), BassRole("root")))
    assert (
        fault.message == "'bars 40-41: bass role root' speaks of bars that the tune does not have"
    )


def test_a_broken_pin_is_told_with_what_is_there() -> None:
    (first, *_) = told(base(), Pin(one(3), BassRole("fifth")))
    assert str(first) == (
        "bar 3: 'bar 3: bass role fifth': the hand has 4-x-x (T - -), the bass note is the root"
    )
