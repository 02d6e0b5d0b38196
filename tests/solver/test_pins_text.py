"""Pins, shapes, limits and bars as a player types them: what they mean, and that every mistake is
one sentence."""

from collections.abc import Callable

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fretboard.hand import FINGERS
from fretboard.instrument import COURSE_NAMES, Instrument
from fretboard.presets import instrument
from scoring.moment import ROLES
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import LearnedShape, known_shapes
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
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.conditions.wording import SILENT
from solver.errors import ConditionError
from solver.manners import MANNERS

STANDARD = instrument()
FOUR = instrument("four-equidistant")
CAPOED = STANDARD.with_capo(5)


def one(text: str, forbid: bool = False, on: Instrument = STANDARD) -> Pin:
    (pin,) = Pin.parse(text, forbid, on)
    return pin


# What is meant. Frets in semitones: 1 is 2, 2 is 4, 3 is 5, 6+ is 11 (TRADE.md, Frets).


@pytest.mark.parametrize(
    ("text", "pinned"),
    [
        ("3-1-0", Shape((5, 2, 0))),
        ("3 - 1 - 0", Shape((5, 2, 0))),
        ("3–1–0", Shape((5, 2, 0))),
        ("x-*-6+", Shape((SILENT, None, 11))),
        ("*-6.5-6½", Shape((None, 11, 11))),
        ("3-1-0 MI", Shape((5, 2, 0), (2, 1, -1))),
        ("3-1-0 M I", Shape((5, 2, 0), (2, 1, -1))),
        ("3-3-5 i*t", Shape((5, 5, 9), (1, None, 0))),
        ("*-1-0 I", Shape((None, 2, 0), (None, 1, -1))),
        ("bass 3", OneString(0, 3, 5)),
        ("Middle M", OneString(1, 3, None, 2)),
        ("melody 4 T", OneString(2, 3, 7, 0)),
        ("melody x", OneString(2, 3, SILENT)),
        ("bass note D", BassNote("D")),
        ("note f♯3", BassNote("F#3")),
        ("bass role slash bass", BassRole("slash bass")),
        ("role Fifth", BassRole("fifth")),
        ("manner walking", BassManner("walking")),
        ("fingering 3-1-0 MI", Fingering(LearnedShape((5, 2, None), (2, 1, None)))),
        ("Fingering x-1-0 P", Fingering(LearnedShape((None, 2, None), (None, 4, None)))),
        ("3-1-0 then 0-0-0", Kept(((Hands(Shape((5, 2, 0))), Hands(Shape((0, 0, 0)))),))),
        (
            "keep 0-x-x (bass) then x-2-0 M (middle+melody); next time *-*-* then x-x-x (nothing)",
            Kept(
                (
                    (
                        Hands(Shape((0, SILENT, SILENT)), (True, False, False)),
                        Hands(Shape((SILENT, 4, 0), (-1, 2, -1)), (False, True, True)),
                    ),
                    (
                        Hands(Shape((None, None, None))),
                        Hands(Shape((SILENT,) * 3), (False, False, False)),
                    ),
                )
            ),
        ),
    ],
)
def test_what_is_fixed(text: str, pinned: Pinned) -> None:
    pin = one(f"5: {text}")
    assert pin == Pin(Bars(5, 5), pinned)
    assert one(pin.text) == pin


@pytest.mark.parametrize(
    ("text", "pinned"),
    [("finger P", FingerDown(4)), ("barred", Barred()), ("3-1-0", Shape((5, 2, 0)))],
)
def test_what_is_forbidden(text: str, pinned: Pinned) -> None:
    assert one(f"all: {text}", True) == Pin(WHOLE, pinned, True)


@pytest.mark.parametrize(
    ("text", "bars", "beat"),
    [
        ("5", Bars(5, 5), None),
        ("5-8", Bars(5, 8), None),
        ("bars 5 – 8", Bars(5, 8), None),
        ("B", Bars(section="B"), None),
        ("section B, beat 3", Bars(section="B"), 3),
        ("5-8 beat 2", Bars(5, 8), 2),
        ("all", WHOLE, None),
        ("whole tune", WHOLE, None),
        ("all beat 4", WHOLE, 4),
        ("Verse: slow", Bars(section="Verse: slow"), None),
        ("section 5", Bars(section="5"), None),
        ("section all", Bars(section="all"), None),
    ],
)
def test_where_it_is_fixed(text: str, bars: Bars, beat: int | None) -> None:
    pin = one(f"{text}: bass 3")
    assert (pin.bars, pin.beat) == (bars, beat)
    assert one(pin.text) == pin


def test_several_stand_between_commas() -> None:
    found = Pin.parse("5-8 beat 3: bass 3, middle M", False, STANDARD)
    assert [pin.pinned for pin in found] == [OneString(0, 3, 5), OneString(1, 3, None, 2)]
    assert all((pin.bars, pin.beat) == (Bars(5, 8), 3) for pin in found)


def test_four_strings_have_an_inner_one() -> None:
    assert one("5: inner melody 3", on=FOUR).pinned == OneString(2, 4, 5)
    assert one("5: melody 3", on=FOUR).pinned == OneString(3, 4, 5)


def test_frets_are_counted_from_the_nut_or_from_the_capo() -> None:
    assert one("5: bass 4", on=CAPOED).pinned == OneString(0, 3, 7)
    (pin,) = Pin.parse("5: bass 1", False, CAPOED, from_capo=True)
    assert pin.pinned == OneString(0, 3, 7)
    assert one("5: 3-4-3 M", on=CAPOED).pinned == Shape((5, 7, 5), (-1, 2, -1))


def test_what_a_pin_says_of_itself() -> None:
    assert str(one("5-8 beat 3: 3-1-0 MI")) == "bars 5-8, beat 3: 3-1-0 MI"
    assert str(one("all: finger p", True)) == "whole tune: never finger P"


@pytest.mark.parametrize(
    ("text", "forbid", "says"),
    [
        ("5", False, "write the bars, a colon"),
        ("5:", False, "write the bars, a colon"),
        (": bass 3", False, "write the bars, a colon"),
        ("5: bass 3,", False, "write the bars, a colon"),
        ("8-5: bass 3", False, "the first comes after the last"),
        ("5 beat 0: bass 3", False, "beats are counted from 1"),
        ("5 beat x: bass 3", False, "beats are counted from 1"),
        ("5: 3-1", False, "2 frets, but the instrument has 3 strings"),
        ("5: 3-1-0 M", False, "1 finger for 2 stopped strings"),
        ("5: 3-1-0 MX", False, "'X' is no finger"),
        ("5: 3-2+-0", False, "there is no fret 2\\+"),
        ("5: bass 1+", False, "no fret 1\\+ under the bass string"),
        ("5: 1+-0-0", False, "no fret 1\\+ under the bass string"),
        ("5: *-*-*", False, "pins nothing"),
        ("5: bass D", False, "'bass note D'"),
        ("5: bass 0 M", False, "no finger stops an open string"),
        ("5: bass x M", False, "open or silent"),
        ("5: bass note H", False, "'H' is no note"),
        ("5: bass role tenth", False, "not called 'tenth'"),
        ("5: manner jazzy", False, "no bass manner 'jazzy'"),
        ("5: manner walking", True, "fixed, not forbidden"),
        ("5: 3-1-0 then 0-0-0", True, "fixed, not forbidden"),
        ("5 beat 2: manner walking", False, "whole bars"),
        ("5: finger P", False, "can only be forbidden"),
        ("5: barred", False, "can only be forbidden"),
        ("5: finger Q", True, "'Q' is no finger"),
        ("5: keep 3-1-0 (drum)", False, "strings struck"),
        ("5: something", False, "cannot be pinned"),
    ],
)
def test_what_cannot_be_pinned(text: str, forbid: bool, says: str) -> None:
    with pytest.raises(ConditionError, match=says):
        Pin.parse(text, forbid, STANDARD)


def test_frets_behind_the_capo() -> None:
    with pytest.raises(ConditionError, match="fret 1 lies behind the capo at fret 3"):
        one("5: bass 1", on=CAPOED)
    with pytest.raises(ConditionError, match="fret 1 lies behind the capo"):
        LearnedShape.parse("4-1-3", CAPOED)


# Shapes, limits, the costliest moment.


def test_shapes_that_a_class_knows() -> None:
    assert known_shapes("3-1-0 MI, 4-2-1\n1-0-1 # the A drone\n\n# later\n", STANDARD) == (
        LearnedShape((5, 2, None), (2, 1, None)),
        LearnedShape((7, 4, 2)),
        LearnedShape((2, None, 2)),
    )
    assert LearnedShape.parse("3-1-x", STANDARD) == LearnedShape.parse("3-1-*", STANDARD)
    assert [str(LearnedShape.parse(t, STANDARD)) for t in ("3-1-x MI", "x-3-6+")] == [
        "3-1-0 MI", "0-3-6+",
    ]  # fmt: skip


def test_a_shape_has_a_finger_down() -> None:
    with pytest.raises(ConditionError, match="needs no learning"):
        LearnedShape.parse("0-0-0", STANDARD)


@pytest.mark.parametrize(
    ("text", "quota"),
    [
        ("2 shifts, bars 9-16", Quota("shifts", most=2, bars=Bars(9, 16))),
        ("1 shift", Quota("shifts", most=1)),
        ("1 barred", Quota("barred", most=1)),
        ("3 passing notes, B", Quota("passing", most=3, bars=Bars(section="B"))),
        ("2 hard above 80, B", Quota("hard", most=2, above=80, bars=Bars(section="B"))),
        ("0 hard bars above 80 %", Quota("hard", most=0, above=80)),
    ],
)
def test_limits(text: str, quota: Quota) -> None:
    assert Quota.parse(text, most=True) == quota
    assert Quota.parse(str(quota).removeprefix("at most "), most=True) == quota
    least = Quota.parse(text, most=False)
    assert (least.least, least.most) == (quota.most, None)


@pytest.mark.parametrize(
    "text", ["", "shifts", "two shifts", "2", "2 jumps", "2 hard", "-1 barred"]
)
def test_what_is_no_limit(text: str) -> None:
    with pytest.raises(ConditionError):
        Quota.parse(text, most=True)


def test_the_costliest_moment() -> None:
    assert Costliest.parse("first") == Costliest()
    assert Costliest.parse(" 3 ") == Costliest(3)
    for text in ("", "0", "1001", "last", "2.5", "²"):
        with pytest.raises(ConditionError):
            Costliest.parse(text)


# By chance: what is typed is what is read, and nothing that is typed gives anything but a
# sentence.

frets = st.one_of(st.none(), st.sampled_from((SILENT, *STANDARD.frets(0))))
strings = st.integers(0, 2)
bars = st.one_of(
    st.just(WHOLE),
    st.tuples(st.integers(0, 99), st.integers(0, 99)).map(lambda t: Bars(min(t), max(t))),
    st.sampled_from([Bars(section=name) for name in ("A", "Verse 2", "5", "all", "bars 3", "x:y")]),
)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    made = tuple(draw(frets) for _ in range(3))
    finger = st.one_of(st.none(), st.integers(0, 4))
    if draw(st.booleans()):
        return Shape(made)
    fingers = tuple(None if fret is None else draw(finger) if fret > 0 else -1 for fret in made)
    named = any(finger not in (None, -1) for finger in fingers)
    return Shape(made, fingers if named else None)


@st.composite
def kept(draw: st.DrawFn) -> Kept:
    strokes = st.one_of(st.none(), st.tuples(st.booleans(), st.booleans(), st.booleans()))
    hands = st.builds(Hands, shapes(), strokes)
    times = st.lists(st.lists(hands, min_size=1, max_size=3).map(tuple), min_size=1, max_size=2)
    return Kept(tuple(draw(times)))


notes = st.tuples(st.sampled_from("ABCDEFG"), st.sampled_from(("", "#", "b")),
                  st.sampled_from(("", "2", "3")))  # fmt: skip
fixed = st.one_of(
    shapes().filter(lambda shape: any(fret is not None for fret in shape.frets)),
    kept(),
    st.builds(OneString, strings, st.just(3), frets.filter(lambda f: f is not None)),
    st.builds(OneString, strings, st.just(3), st.none(), st.integers(0, 4)),
    st.builds(OneString, strings, st.just(3), st.sampled_from((5, 11)), st.integers(0, 4)),
    notes.map(lambda parts: BassNote("".join(parts))),
    st.sampled_from(ROLES).map(BassRole),
    st.sampled_from(list(MANNERS)).map(BassManner),
)


@settings(max_examples=300, deadline=None)
@given(bars, fixed, st.one_of(st.none(), st.integers(1, 12)))
def test_a_pin_is_read_as_it_is_written(where: Bars, pinned: Pinned, beat: int | None) -> None:
    whole = isinstance(pinned, BassManner | Kept)
    pin = Pin(where, pinned, beat=None if whole else beat)
    assert Pin.parse(pin.text, False, STANDARD) == (pin,)


PIECES = (
    "5", "5-8", "B", "all", "beat", "3", ":", ",", ";", "-", "x", "*", "+", "6+", "½", "(", ")",
    "keep", "then", "next time", "bass", "middle", "melody", "note", "role", "manner", "finger",
    "barred", "fifth", "walking", "D3", "shifts", "above", "hard", "%", "#", "\n", "²", "\0",
    *FINGERS, *COURSE_NAMES[4],
)  # fmt: skip
typed = st.one_of(
    st.text(max_size=30),
    st.lists(st.sampled_from(PIECES), max_size=9).map(" ".join),
    st.lists(st.sampled_from(PIECES), max_size=9).map("".join),
)


@settings(max_examples=400, deadline=None)
@given(typed, st.booleans(), st.sampled_from((STANDARD, FOUR, CAPOED)), st.booleans())
@example("5: bass ²", False, STANDARD, False)
@example("5 beat ²: bass 1", False, STANDARD, False)
@example("5: bass 36", False, CAPOED, True)
def test_whatever_is_typed_is_read_or_refused_in_one_sentence(
    text: str, forbid: bool, on: Instrument, from_capo: bool
) -> None:
    for read in (
        lambda: Pin.parse(text, forbid, on, from_capo),
        lambda: Pin.parse(f"5: {text}", forbid, on, from_capo),
        lambda: known_shapes(text, on, from_capo),
        lambda: Quota.parse(text, forbid),
        lambda: Costliest.parse(text),
        lambda: Bars.parse(text),
    ):
        said = refusal(read)
        assert said is None or (said and "\n" not in said and not said.endswith("."))


def refusal(read: Callable[[], object]) -> str | None:
    """What is said against it, None where it is read."""
    try:
        read()
    except ConditionError as error:
        return str(error)
    return None
