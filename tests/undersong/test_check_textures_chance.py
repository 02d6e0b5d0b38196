"""One thing changed by chance in a solo, a drone or a bass part: the checker and a few lines of our
own agree; and what the search finds is sound.

The few lines are written for the passages of ``melodious``, from what each tune there says note by
note, and know nothing of how the checker works.
"""

from dataclasses import replace
from itertools import cycle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import corpus
from fretboard.presets import hand, instrument
from solver.manners import MANNERS
from solver.righthand import right_hands
from solver.style import Style
from tests.undersong.bass_passages import BASS_PARTS
from tests.undersong.melodious import MELODIOUS, drone, solo
from tests.undersong.passages import style_of, with_moment
from tests.undersong.test_check_chance import changes
from tests.undersong.test_check_search import assert_sound
from tune.readers import read
from tune.time import QUARTER
from tune.tune import Note, Tune
from undersong.check import check
from undersong.check.melody import melody_of

OPEN = (50, 57, 62)
LAST_OF_SOLO = (66, 66, 69, None, 61, 61, 64, 64, 62, 62, 62, 62)
"""The melody of ``solo``, moment by moment; a note begins at 0, 2, 4, 6 and 8."""
BEGINS = {0, 2, 4, 6, 8}
DRONE = ((66, "all"), (67, "all"), (69, "last"), (None, "none"), (64, "all"), (62, "all"))
"""The melody of ``drone`` and what is struck."""
HAND_RULES = {"order", "barring", "reach", "place", "not used", "finger", "fret"}


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_the_melody_is_heard_by_a_few_lines_too(data: st.DataObject) -> None:
    """Wrong is a note that does not begin, or stops, or is begun again, or has something above it,
    and a melody string that sounds in the rest."""
    spoiled = data.draw(changes(solo()))
    wrong = False
    for index, (choice, midi) in enumerate(zip(spoiled.choices, LAST_OF_SOLO, strict=True)):
        heard = {
            string: pitch + fret
            for string, (pitch, fret) in enumerate(zip(OPEN, choice.grip.frets, strict=True))
            if fret >= 0
        }
        if midi is None:
            wrong |= 2 in heard
            continue
        begun = [string for string, pitch in heard.items() if pitch == midi]
        struck = [choice.struck[string] for string in begun]
        fine = any(struck) if index in BEGINS else bool(begun) and not any(struck)
        wrong |= not fine or max(heard.values()) > midi
    faults = {fault.rule for fault in check(spoiled)}
    assert bool(faults & {"melody", "on top"}) == wrong


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_a_drone_is_heard_by_a_few_lines_too(data: st.DataObject) -> None:
    """Hands aside, a drone has one sound at each moment, and nothing else is right."""
    spoiled = data.draw(changes(drone()))
    wrong = False
    for choice, (midi, what) in zip(spoiled.choices, DRONE, strict=True):
        every = what == "all"
        last = -1 if midi is None else midi - OPEN[2]
        wrong |= choice.struck != (every, every, every or what == "last")
        wrong |= choice.grip.frets != (0, 0, last) or choice.role != ("drone" if every else None)
    faults = {fault.rule for fault in check(spoiled)} - {"cost"}
    assert bool(faults - HAND_RULES - {"ringing"}) == wrong


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_any_two_changes_are_judged_without_an_accident(data: st.DataObject) -> None:
    passages = MELODIOUS | BASS_PARTS
    base = passages[data.draw(st.sampled_from(sorted(passages)))]()
    twice = data.draw(changes(data.draw(changes(base))))
    for fault in check(twice):
        assert fault.message
        assert fault.bar == 0 or (fault.bar, fault.offset) in {
            (moment.bar, moment.offset) for moment in twice.moments
        }


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_any_false_word_of_a_moment_is_caught(data: st.DataObject) -> None:
    """Numbers and yes-or-no, the melody's among them, cannot be changed unseen."""
    passages = MELODIOUS | BASS_PARTS
    base = passages[data.draw(st.sampled_from(sorted(passages)))]()
    index = data.draw(st.integers(0, len(base.moments) - 1))
    moment = base.moments[index]
    names = [name for name, value in vars(moment).items() if isinstance(value, int)]
    name = data.draw(st.sampled_from(names))
    old = getattr(moment, name)
    new = not old if isinstance(old, bool) else old + data.draw(st.integers(1, 50000))
    faults = {fault.rule for fault in check(with_moment(base, index, **{name: new}))}
    assert faults & {"asked", "time"}


# The melody, worked out by hand.


def noted(*notes: Note) -> Tune:
    made = solo().tune
    return replace(made, bars=(replace(made.bars[0], notes=notes),))


def told(tune: Tune, graces: bool = False) -> list[tuple[int, int, int]]:
    """(start, end, pitch) in sixty-fourths of a quarter."""
    unit = QUARTER // 96
    return [(n.start // unit, n.end // unit, n.midi) for n in melody_of(tune, graces)]


def test_ties_are_one_note_where_they_meet_and_end_elsewhere() -> None:
    one = Note(0, QUARTER, 62, tied=True)
    joined = noted(one, Note(QUARTER, QUARTER, 62))
    assert told(joined) == [(0, 192, 62)]
    higher = noted(one, Note(QUARTER, QUARTER, 64))
    assert told(higher) == [(0, 96, 62), (96, 192, 64)]
    later = noted(one, Note(2 * QUARTER, QUARTER, 62))
    assert told(later) == [(0, 96, 62), (192, 288, 62)]


def test_a_tie_goes_on_into_the_bar_that_is_played_next() -> None:
    made = solo().tune
    tied = replace(made.bars[0], notes=(Note(0, 4 * QUARTER, 62, tied=True),))
    after = replace(made.bars[1], notes=(Note(0, QUARTER, 62), Note(QUARTER, QUARTER, 64)))
    assert told(replace(made, bars=(tied, after)))[:2] == [(0, 480, 62), (480, 576, 64)]


def test_grace_notes_take_an_eighth_each_and_a_third_at_most() -> None:
    def grace(midi: int) -> Note:
        return Note(0, 0, midi, grace=True)

    main = Note(0, QUARTER, 62)
    assert told(noted(grace(64), main)) == [(0, 96, 62)]
    assert told(noted(grace(64), main), True) == [(0, 12, 64), (12, 96, 62)]
    four = [grace(64), grace(66), grace(67), grace(69)]
    assert told(noted(*four, main), True) == [
        (0, 8, 64), (8, 16, 66), (16, 24, 67), (24, 32, 69), (32, 96, 62),
    ]  # fmt: skip
    at_the_end = Note(QUARTER, 0, 64, grace=True)
    assert told(noted(main, at_the_end), True) == [(0, 96, 62)]
    before_a_rest = (main, at_the_end, Note(QUARTER, QUARTER, None), Note(2 * QUARTER, 96, 62))
    assert told(noted(*before_a_rest), True)[0] == (0, 96, 62)
    assert len(told(noted(*before_a_rest), True)) == 2


# What the search finds.

STRUNG = ("standard", "1+6+8+13+", "chromatic", "four-equidistant", "baritone")
SAMPLE = tuple(
    zip(
        [manner for manner in MANNERS if manner != "figure"],
        [pattern.name for pattern in right_hands()] * 2,
        strict=False,
    )
)


@pytest.mark.parametrize(("manner", "pattern"), SAMPLE)
def test_a_short_solo_in_every_manner(manner: str, pattern: str) -> None:
    assert_sound(solo().tune, style_of(manner, pattern, texture="solo"))


@pytest.mark.parametrize("strung", STRUNG)
def test_solos_drones_and_bass_parts_on_other_instruments(strung: str) -> None:
    """The baritone's come a fourth lower, as it is strung."""
    on = instrument(strung)
    low = on.tuning[-1] - OPEN[-1]
    tune = solo().tune.transposed(low)
    assert_sound(tune, style_of("alternating", texture="solo"), on)
    assert_sound(tune, style_of("figure", texture="bass", bass_ceiling=17), on)
    assert_sound(drone().tune.transposed(low), style_of("held", texture="drone"), on)


def test_a_drone_with_a_noter() -> None:
    assert_sound(drone().tune, style_of("held", texture="drone"), left=hand("noter"))


def bundled() -> list[Tune]:
    tunes = [read(str(corpus.path(name))) for name in corpus.names()]
    return [tune for tune in tunes if tune.has_chords and melody_of(tune, False)]


@pytest.mark.slow
@pytest.mark.parametrize("manner", MANNERS)
def test_every_bundled_tune_in_every_manner(manner: str) -> None:
    """The right hands in turn, on a fretboard that has every note."""
    on = instrument("chromatic")
    for tune, pattern in zip(bundled(), cycle(right_hands()), strict=False):
        assert_sound(tune, Style(manner, pattern, bass_ceiling=17, texture="bass"), on)
        if manner != "figure":
            assert_sound(tune, Style(manner, pattern, texture="solo"), on)
