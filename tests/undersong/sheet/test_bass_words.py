"""What a page says of the bass, beside what the bill counts of it."""

import pytest

from solver.style import Style
from tests.undersong.arranged import chart
from tune.bar_names import bars_named
from undersong.api import read_tune
from undersong.session import Session
from undersong.sheet.bass_words import bass_words

BOTH = "the root stands in for the fifth and the octave"
SLASHED = "the root and the note after the slash stand in for the fifth and the octave"


@pytest.mark.parametrize(
    ("name", "manner", "texture", "answers"),
    [
        ("wet-boots-in-the-porch", "figure", "bass", BOTH),
        ("lantern-path", "figure", "bass", SLASHED),
        ("kettle-on-at-nine", "alternating-fourth", "song", "the root stands in for the fourth"),
        ("harrow-lane", "alternating", "song", ""),
    ],
)
def test_bars_in_which_the_root_stands_in_are_those_of_the_bill(
    name: str, manner: str, texture: str, answers: str
) -> None:
    """The scoring room counts answers that are missed by itself (``missed-answer``)."""
    arrangement = Session(read_tune(name), style=Style(manner, texture=texture)).arrange()
    missed = {
        arrangement.tune.bars[moment.written].number
        for moment, amounts in zip(arrangement.moments, arrangement.bill.amounts, strict=True)
        if amounts.get("missed-answer")
    }
    told = bass_words(arrangement)
    assert told.startswith(f"{manner}: ")
    assert bool(missed) == bool(answers)
    if missed:
        assert told.endswith(f"; {answers} in {bars_named(missed)}")


def test_runs_that_leap_into_the_next_root_are_told() -> None:
    """By the pitches of the bass: no more than two semitones up or down are a step."""
    made = Session(read_tune("long-way-round-the-green"), style=Style("runs")).arrange()
    leaps, before = set(), None
    for moment, choice in zip(made.moments, made.choices, strict=True):
        if not choice.struck[0]:
            continue
        pitch = made.instrument.pitch(0, choice.grip.frets[0])
        lands = before is not None and moment.change and before[0].run and not before[0].change
        if before is not None and lands and not 1 <= abs(pitch - before[1]) <= 2:
            leaps.add(made.tune.bars[before[0].written].number)
        before = moment, pitch
    assert leaps
    assert bass_words(made).endswith(f"; a leap into the next root after {bars_named(leaps)}")


def test_a_solo_says_where_its_bass_string_rings_open() -> None:
    """In place of what is asked: not where the open string is just that, or the root."""
    made = Session(read_tune("harrow-lane"), style=Style(texture="solo")).arrange()
    opened, roots = set(), set()
    for moment, choice in zip(made.moments, made.choices, strict=True):
        if not choice.struck[0] or choice.role != "drone" or moment.chord is None:
            continue
        number = made.tune.bars[moment.written].number
        own = made.instrument.pitch(0, choice.grip.frets[0]) % 12
        asked = {moment.role_pitch_class(role) for role in moment.roles}
        if own in (moment.chord.degrees["root"], moment.chord.bass_pitch_class):
            roots |= {number} if own not in asked else set()
        elif own not in asked:
            opened.add(number)
    told = bass_words(made)
    assert opened
    assert roots
    assert told.endswith(f"; the open string rings instead in {bars_named(opened)}")
    assert f" in {bars_named(roots)};" in told


@pytest.mark.parametrize(
    ("bars", "manner", "strokes"),
    [
        ("| D | A7 | D |", "alternating", ["root", "root"]),
        ("| D | A7 D |", "alternating", ["root"]),  # nothing answers it there
        ("| D | A7 | D |", "roots", ["root", "root"]),  # nothing ever does
        ("| D | A7 | D |", "figure", None),
    ],
)
def test_a_close_on_the_root_is_told_where_the_manner_would_answer_it(
    bars: str, manner: str, strokes: list[str] | None
) -> None:
    """Passages end on the root (common practice, no source): the last chord's bass
    notes here are those of the page, read from the string."""
    style = Style(manner, texture="bass" if manner == "figure" else "song")
    made = Session(chart(f"key: D\nmetre: 4/4\n{bars}\n"), style=style).arrange()
    begins = max(at for at, moment in enumerate(made.moments) if moment.change)
    last = [choice.role for choice in made.choices[begins:] if choice.struck[0]]
    assert strokes is None or last == strokes
    assert last[-1] == "root"
    answered = manner != "roots" and len(last) > 1
    assert (", closing on the root" in bass_words(made)) == answered
