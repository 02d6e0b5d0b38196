"""One thing changed by chance in a sound passage: the checker and a few lines of our own agree.

``wrong`` is written for the one passage ``alternating`` (D, G, A, D), from TRADE.md's frets and
any theory primer's triads, and knows nothing of how the checker works.
"""

from dataclasses import replace
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from fretboard.errors import FretboardError
from scoring.choice import Choice
from solver.result import Arrangement
from tests.undersong.passages import SOUND, alternating, with_choice
from undersong.check import check

FRETS = {0, 2, 4, 5, 7, 9, 10, 11, 12, 14, 16, 17}
"""TRADE.md, "Frets": 0 to 10 with 6+."""
OPEN = (50, 57, 62)
CHORDS = {"D": (2, 6, 9), "G": (7, 11, 2), "A": (9, 1, 4)}
DEGREES = ("root", "third", "fifth")
TUNE = "DGAD"
LINE = ("root", "fifth", "root", "fifth", "root", "fifth", "root", "root")
HAND_RULES = {"order", "barring", "reach", "place", "not used"}

MOMENTS = st.integers(0, 15)
STRINGS = st.integers(0, 2)


def put(row: tuple[object, ...], at: int, value: object) -> tuple[object, ...]:
    return (*row[:at], value, *row[at + 1 :])


@st.composite
def changes(draw: st.DrawFn, base: Arrangement) -> Arrangement:
    """The passage with one fret, finger, stroke, role or place changed."""
    index = draw(st.integers(0, len(base.choices) - 1))
    old, string = base.choices[index], draw(STRINGS)
    what = draw(st.sampled_from(["frets", "fingers", "struck", "role", "place", "stopped"]))
    try:
        if what == "stopped":
            fret = draw(st.integers(1, 17))
            finger = draw(st.integers(0, 4))
            frets = put(old.grip.frets, string, fret)
            fingers = put(old.grip.fingers, string, finger)
            return with_choice(base, index, frets=frets, fingers=fingers)
        if what == "frets":
            new: object = put(old.grip.frets, string, draw(st.integers(-1, 20)))
        elif what == "fingers":
            new = put(old.grip.fingers, string, draw(st.integers(-1, 4)))
        elif what == "struck":
            new = put(old.struck, string, not old.struck[string])
        elif what == "place":
            new = draw(st.integers(-5, 700))
        else:
            new = draw(st.sampled_from([None, *DEGREES, "passing", "slash bass"]))
        return with_choice(base, index, **{what: new})
    except FretboardError:  # a finger on a silent string: no grip at all
        return base


def sounds(choice: Choice, string: int) -> int:
    fret = choice.grip.frets[string]
    return (OPEN[string] + fret) if fret >= 0 else -1


def wrong_at(choices: tuple[Choice, ...], index: int) -> bool:
    """Whether something is wrong with the music at one moment, the hand left aside."""
    choice, before = choices[index], choices[index - 1] if index else None
    chord = CHORDS[TUNE[index // 4]]
    struck = choice.struck
    strum = index % 2 == 1
    pattern = [(False, True, True), (False, True, False)] if strum else [(True, False, False)]
    if struck not in pattern:
        return True
    for string in range(3):
        fret, finger = choice.grip.frets[string], choice.grip.fingers[string]
        highest = 17 if string else 12
        if fret != -1 and (fret not in FRETS or fret > highest):
            return True
        if (fret > 0) != (finger >= 0):
            return True
        if struck[string] and (fret < 0 or sounds(choice, string) % 12 not in chord):
            return True
        held = before and (before.grip.frets[string], before.grip.fingers[string])
        if not struck[string] and fret >= 0 and held != (fret, finger):
            return True
        if 0 <= sounds(choice, string) < sounds(choice, 0):
            return True
    if not struck[0]:
        return choice.role is not None
    wanted = LINE[index // 2]
    return choice.role != wanted or sounds(choice, 0) % 12 != chord[DEGREES.index(wanted)]


def crossed(choice: Choice) -> bool:
    """Whether fingers cross, or one stops two frets, or lies over a lower one or where another
    is."""
    grip = choice.grip
    stopped = [string for string in range(3) if grip.fingers[string] >= 0]
    for one, other in combinations(stopped, 2):
        fingers, frets = (grip.fingers[one], grip.fingers[other]), (
            grip.frets[one], grip.frets[other],
        )  # fmt: skip
        if fingers[0] == fingers[1]:
            between = grip.frets[1] if (one, other) == (0, 2) else -1
            if frets[0] != frets[1] or fingers[0] == 4 or 0 <= between < frets[0]:
                return True
            if between == frets[0] and grip.fingers[1] != fingers[0]:
                return True
            if fingers[0] == 0:  # the medium hand lays no thumb across
                return True
        elif frets[0] != frets[1] and (fingers[0] < fingers[1]) != (frets[0] > frets[1]):
            return True
    return False


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_the_checker_hears_what_a_few_lines_hear(data: st.DataObject) -> None:
    spoiled = data.draw(changes(alternating()))
    wrong = any(wrong_at(spoiled.choices, index) for index in range(16))
    faults = {fault.rule for fault in check(spoiled)} - {"cost"}
    assert bool(faults - HAND_RULES) == wrong


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_crossed_fingers_are_seen(data: st.DataObject) -> None:
    spoiled = data.draw(changes(alternating()))
    seen = {fault.rule for fault in check(spoiled)} & {"order", "barring"}
    assert bool(seen) == any(crossed(choice) for choice in spoiled.choices)


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_any_two_changes_are_judged_without_an_accident(data: st.DataObject) -> None:
    base = SOUND[data.draw(st.sampled_from(sorted(SOUND)))]()
    twice = data.draw(changes(data.draw(changes(base))))
    for fault in check(twice):
        assert fault.bar == 0 or (fault.bar, fault.offset) in {
            (moment.bar, moment.offset) for moment in twice.moments
        }
        assert fault.message


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_any_false_word_of_a_moment_is_caught(data: st.DataObject) -> None:
    """Numbers and yes-or-no of a moment cannot be changed unseen; roles are not believed at all."""
    base = SOUND[data.draw(st.sampled_from(sorted(SOUND)))]()
    index = data.draw(st.integers(0, len(base.moments) - 1))
    moment = base.moments[index]
    names = [name for name, value in vars(moment).items() if isinstance(value, int)]
    name = data.draw(st.sampled_from(names))
    old = getattr(moment, name)
    new = not old if isinstance(old, bool) else old + data.draw(st.integers(1, 50000))
    moments = (*base.moments[:index], replace(moment, **{name: new}), *base.moments[index + 1 :])
    faults = {fault.rule for fault in check(replace(base, moments=moments))}
    assert faults & {"asked", "time"}
