"""Solos and drones: sound ones pass, and each way to spoil one is caught by its own rule.

The passages are made by hand (``melodious``). Every row spoils one at one moment and names the
rule that must speak up there. What a solo and a drone are is common practice, no source.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

import pytest

from fretboard.hand import Hand
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.melodious import (
    MELODIOUS,
    drone,
    drone_late,
    solo,
    solo_in_rest,
    solo_low,
    sung,
)
from tests.undersong.passages import bar, style_of, tune_of, with_line, with_moment
from tune.time import QUARTER, Metre
from undersong.check import check
from undersong.check.asks import asks_of


@pytest.mark.parametrize("name", MELODIOUS)
def test_a_sound_passage_has_no_fault(name: str) -> None:
    assert check(MELODIOUS[name]()) == ()


class Row(NamedTuple):
    """What is done to which passage, and the rule that catches it at that moment; no rule where
    it is allowed."""

    what: str
    base: Callable[[], Arrangement]
    spoil: Callable[[Arrangement], Arrangement]
    moment: int
    rule: str | None


def line(index: int, text: str) -> Callable[[Arrangement], Arrangement]:
    return lambda base: with_line(base, index, text)


def said(index: int, **fields: object) -> Callable[[Arrangement], Arrangement]:
    return lambda base: with_moment(base, index, **fields)


def styled(**fields: Any) -> Callable[[Arrangement], Arrangement]:
    return lambda base: replace(base, style=replace(base.style, **fields))


def tuned(bar: int, note: int, **fields: Any) -> Callable[[Arrangement], Arrangement]:
    """Another note in the tune than was played."""

    def spoil(base: Arrangement) -> Arrangement:
        bars = list(base.tune.bars)
        notes = list(bars[bar].notes)
        notes[note] = replace(notes[note], **fields)
        bars[bar] = replace(bars[bar], notes=tuple(notes))
        return replace(base, tune=replace(base.tune, bars=tuple(bars)))

    return spoil


SOLO = [
    # the melody
    Row("another pitch than the tune's", solo, line(0, "0 x 5 | - - I | 170 | b-s | root"), 0,
        "melody"),
    Row("the tune has another pitch", solo, tuned(0, 0, midi=67), 0, "melody"),
    Row("a melody note left out", solo, line(2, "7 0 x | T - - | 190 | b-- | fifth"), 2, "melody"),
    Row("a melody note let go too soon", solo, line(1, "0 0 x | - - - | 140 | -m-"), 1, "melody"),
    Row("a melody note begun again", solo, line(1, "0 0 4 | - - I | 140 | -ms"), 1, "melody"),
    Row("a middle string that takes the note over", solo,
        line(7, "2 7 x | P T - | 140 | -m-"), 7, "melody"),
    Row("the held note struck on another string", solo,
        line(1, "0 9 4 | - T I | 200 | -m-"), 1, "melody"),
    Row("the melody string sounds in a rest", solo, line(3, "7 0 7 | T - I | 210 | -m-"), 3,
        "melody"),
    Row("the melody string is strummed in a rest", solo, line(3, "7 0 7 | T - I | 210 | -ms"), 3,
        "right hand"),
    Row("an open string above the melody", solo,
        line(4, "7 4 0 | T I - | 150 | bm- | root"), 4, "on top"),
    Row("a stopped string above the melody", solo,
        line(9, "0 9 0 | - I - | 280 | -m-"), 9, "on top"),
    Row("a bass note above the melody", solo_low,
        line(2, "5 x x | I - - | 170 | b-- | melody"), 2, None),
    Row("the bass string lets its melody go", solo_low, line(1, "x x x | - - - | 70 | ---"), 1,
        "melody"),
    # what strings may sound
    Row("a foreign note stopped and struck", solo, line(1, "0 2 4 | - M I | 140 | -m-"), 1,
        "chord tone"),
    Row("a foreign note stopped and ringing on", solo,
        line(8, "0 4 0 | - I - | 140 | b-s | root"), 8, "chord tone"),
    Row("an open string whatever the chord", solo_in_rest,
        line(5, "x 0 5 | - - I | 170 | -m-"), 5, None),
    Row("a stroke left out", solo, line(7, "2 4 2 | P I R | 140 | ---"), 7, None),
    Row("a string that rings on where a stroke leaves it out", solo,
        line(10, "0 0 0 | - - - | 100 | b-- | root"), 10, None),
    # where the frets end
    Row("a melody beyond its highest fret", solo, styled(melody_highest=6), 2, "fret"),
    Row("a melody above what other strings may have", solo, styled(highest=3), 2, None),
    Row("an accompanying string beyond the highest", solo_low,
        lambda a: styled(highest=1)(with_line(a, 6, "2 2 2 | M M M | 95 | ---")), 6, "fret"),
    # the right hand
    Row("a string that the pattern leaves out", solo,
        line(0, "0 0 4 | - - I | 140 | bms | root"), 0, "right hand"),
    Row("a bass note that nothing asks for", solo,
        line(1, "0 0 4 | - - I | 140 | bm- | root"), 1, "right hand"),
    Row("a chord that begins without its bass", solo, line(8, "x x 0 | - - - | 100 | --s"), 8,
        "root"),
    Row("no answering bass note", solo, line(6, "x 4 2 | - I R | 140 | --s"), 6, "manner"),
    # the bass
    Row("a chord that begins on its third", solo,
        line(0, "4 x 4 | I - I | 140 | b-s | third"), 0, "root"),
    Row("the open string instead of the root", solo,
        line(4, "0 4 x | - I - | 140 | bm- | drone"), 4, None),
    Row("a stopped drone", solo, line(4, "5 4 x | T I - | 130 | bm- | drone"), 4, "role"),
    Row("the root called a drone", solo, line(8, "0 x 0 | - - - | 100 | b-s | drone"), 8, "role"),
    Row("a bass note called melody", solo, line(6, "2 4 2 | P I R | 140 | b-s | melody"), 6,
        "role"),
    Row("the melody called root", solo_low, line(0, "2 x x | I - - | 70 | b-- | root"), 0, "role"),
    Row("a third for the fifth", solo, line(2, "4 0 7 | I - T | 150 | b-s | third"), 2, "manner"),
    Row("a last bass note that is no root", solo,
        line(10, "7 0 0 | I - - | 230 | b-- | fifth"), 10, "ending"),
    Row("a bass above the middle string", solo,
        lambda a: with_line(a, 2, "12 0 7 | T - I | 230 | b-s | root"), 2, "lowest"),
    Row("the same, allowed", solo,
        lambda a: styled(bass_lowest=False)(with_line(a, 6, "2 4 2 | P I R | 140 | b-s | fifth")),
        6, None),
    # the hand
    Row("fingers that would cross", solo, line(6, "2 4 2 | I M I | 75 | b-s | fifth"), 6, "order"),
    Row("a hand far from its finger", solo, line(0, "0 x 4 | - - I | 300 | b-s | root"), 0,
        "place"),
    # damping and rests
    Row("a damped bass rings on", solo_in_rest, line(3, "5 2 2 | T I I | 75 | -m-"), 3, "damping"),
    Row("a string beside the melody where no chord is", solo_in_rest,
        line(1, "x 0 2 | - - I | 70 | -ms"), 1, "rest"),
    Row("a string strummed before the melody, no chord there", solo_in_rest,
        line(0, "x 0 x | - - - | 70 | -m-"), 0, "rest"),
    Row("the held note stops where a chord begins", solo_in_rest,
        line(2, "5 x x | T - - | 130 | b-- | root"), 2, "melody"),
    # what the moments say
    Row("another melody note", solo, said(0, melody=67), 0, "asked"),
    Row("a note that begins twice", solo, said(1, sings=True), 1, "asked"),
    Row("a breath in a solo", solo, said(3, breath=True), 3, "asked"),
    Row("another texture", solo, said(3, texture="song"), 3, "asked"),
    Row("a melody string not played", solo, said(2, plays=(True, True, False)), 2, "asked"),
    Row("a drone forbidden", solo, said(2, fallback=frozenset({"root", "melody"})), 2, "asked"),
    Row("a melody on the damped bass", solo_in_rest,
        said(4, fallback=frozenset({"drone", "melody"})), 4, "asked"),
    Row("a carrier not allowed", solo, said(0, strikes=((True, False, False),)), 0, "asked"),
    Row("a held bass that must ring", solo_low, said(1, rings=True), 1, "asked"),
    Row("a strum that nobody judges", solo, said(1, judged=False), 1, "asked"),
    Row("a melody note that is judged", solo_low, said(2, judged=True), 2, "asked"),
]  # fmt: skip

DRONE = [
    Row("another pitch than the tune's", drone, line(0, "0 0 5 | - - T | 130 | bms | drone"), 0,
        "melody"),
    Row("a note let go", drone, line(5, "0 0 x | - - - | 70 | bm- | drone"), 5, "melody"),
    Row("a melody note not struck", drone, line(2, "0 0 7 | - - T | 190 | ---"), 2, "melody"),
    Row("the melody rings into its rest", drone, line(3, "0 0 7 | - - T | 190 | ---"), 3,
        "melody"),
    Row("a drone let go", drone, line(3, "0 x x | - - - | 190 | ---"), 3, "drone"),
    Row("a bass let go", drone, line(3, "x 0 x | - - - | 190 | ---"), 3, "drone"),
    Row("a drone stopped", drone, line(4, "0 2 2 | - I I | 70 | bms | drone"), 4, "drone"),
    Row("a drone before the melody", drone_late, line(0, "0 x x | - - - | 70 | ---"), 0, "drone"),
    Row("a drone struck before the melody", drone_late,
        line(0, "0 0 x | - - - | 70 | bm- | drone"), 0, "right hand"),
    Row("a beat without its drones", drone, line(4, "0 0 2 | - - I | 70 | --s"), 4, "right hand"),
    Row("drones off the beat", drone, line(2, "0 0 7 | - - T | 190 | bms | drone"), 2,
        "right hand"),
    Row("the first note without its drones", drone_late, line(1, "0 0 0 | - - - | 70 | --s"), 1,
        "right hand"),
    Row("a drone called root", drone, line(0, "0 0 4 | - - I | 140 | bms | root"), 0, "role"),
    Row("a role without a stroke", drone, line(2, "0 0 7 | - - T | 190 | --s | drone"), 2, "role"),
    Row("a string that sounds before it is struck", drone_late,
        line(0, "0 0 x | - - - | 70 | ---"), 0, "ringing"),
    Row("a hand far from its finger", drone, line(0, "0 0 4 | - - I | 300 | bms | drone"), 0,
        "place"),
    Row("a melody beyond its highest fret", drone, styled(melody_highest=6), 2, "fret"),
    Row("another chord", drone, said(4, chord=None), 4, "asked"),
    Row("a change within", drone, said(4, change=True), 4, "asked"),
    Row("a drone that need not ring", drone, said(3, rings=False), 3, "asked"),
    Row("a drone that must ring too soon", drone_late, said(0, rings=True), 0, "asked"),
    Row("a root asked for", drone, said(0, roles=frozenset({"root"})), 0, "asked"),
    Row("a drone that is judged", drone, said(0, judged=True), 0, "asked"),
    Row("another melody note", drone, said(0, melody=64), 0, "asked"),
    Row("strings said not to be played", drone, said(3, plays=(False, False, False)), 3, "asked"),
]  # fmt: skip


@pytest.mark.parametrize("row", [*SOLO, *DRONE], ids=lambda row: f"{row.base.__name__}: {row.what}")
def test_the_rule_catches_it_there(row: Row) -> None:
    spoiled = row.spoil(row.base())
    moment = spoiled.moments[row.moment]
    here = {f.rule for f in check(spoiled) if (f.bar, f.offset) == (moment.bar, moment.offset)}
    if row.rule is None:
        assert not here
    else:
        assert row.rule in here


def test_the_new_rules_catch_something() -> None:
    caught = {row.rule for row in [*SOLO, *DRONE]}
    assert {"melody", "on top", "drone", "role", "rest", "chord tone", "fret"} <= caught


def test_a_noter_stops_the_melody_string_only() -> None:
    with_noter = replace(drone(), hand=Hand(noter=True))
    stopped = with_line(with_noter, 4, "2 0 0 | T - - | 75 | bms | drone")
    assert "noter" in {fault.rule for fault in check(stopped)}
    assert "noter" not in {fault.rule for fault in check(with_noter)}


def test_a_note_that_ends_before_the_playing_does_lacks_its_moment() -> None:
    """A rest after the note begins a moment, and there is none."""
    shorter = tuned(0, 1, length=QUARTER // 4)(drone_late())
    assert [fault.rule for fault in check(shorter)] == ["time"]


def test_the_pulse_of_a_bar_longer_than_its_metre_goes_on() -> None:
    """Four quarters in a bar of three: every string on the fourth too."""
    tune = tune_of(
        sung(bar("D", Metre(3, 4), length=4 * QUARTER), *[(1, 62)] * 3, (0.5, 64), (0.5, 66))
    )
    asks = asks_of(tune, style_of("held", texture="drone"), 3)
    assert [ask.strikes[0][0] for ask in asks] == [True, True, True, True, False]


def test_a_drone_may_lie_above_its_melody() -> None:
    """Strung D-A-A the middle string sounds as high as the last one does open, and above a bass
    of its own: no rule of a drone minds."""
    high = drone().instrument.with_tuning((50, 69, 62))
    faults = {fault.rule for fault in check(replace(drone(), instrument=high))}
    assert faults <= {"cost"}


@pytest.mark.parametrize(("texture", "manner"), [("drone", "roots"), ("drone", "walking")])
def test_a_manner_that_the_texture_has_not(texture: str, manner: str) -> None:
    made = solo()
    style: Style = style_of("held", texture="solo")
    object.__setattr__(style, "manner", manner)  # past the style's own word on it
    object.__setattr__(style, "texture", texture)
    (fault,) = check(replace(made, style=style))
    assert fault.rule == "manner"
