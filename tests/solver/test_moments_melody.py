"""What a solo and a drone ask, moment by moment, by hand; and that no note is lost, by lot."""

from dataclasses import replace

import pytest

from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.moment import Moment
from scoring.weights import Weights
from solver.errors import ArrangeError, NotPlayable, StyleError
from solver.moments import moments_of
from solver.out_of_reach import unreachable
from solver.righthand import right_hand
from solver.search import search
from solver.style import Style, manners_in
from tests.solver.made import tune_of
from tests.solver.sung_instances import tiny_drone, tiny_solo
from tune.chord import Chord
from tune.melody import sung
from tune.readers import read
from tune.time import QUARTER
from tune.tune import Note, Tune


def with_notes(tune: Tune, *bars: str) -> Tune:
    """Bars of ``pitch:quarters`` in order, ``r`` for a rest, ``~`` after a tied note."""
    made = []
    for bar, text in zip(tune.bars, bars, strict=True):
        tick, notes = 0, []
        for word in text.split():
            what, _, length = word.rstrip("~").partition(":")
            ticks = round(float(length) * QUARTER)
            midi = None if what == "r" else int(what)
            notes.append(Note(tick, ticks, midi, tied=word.endswith("~")))
            tick += ticks
        made.append(replace(bar, notes=tuple(notes)))
    return replace(tune, bars=tuple(made))


def asked(tune: Tune, **style: object) -> list[Moment]:
    made = Style(texture="solo", **style)  # type: ignore[arg-type]
    return list(moments_of(tune, made, 3))


def at(moments: list[Moment]) -> list[float]:
    return [moment.offset / QUARTER for moment in moments]


def strings(moment: Moment) -> set[str]:
    """The sets of strings that may be struck, as ``bum`` with dots."""
    return {
        "".join(m if s else "." for m, s in zip("bum", struck, strict=True))
        for struck in moment.strikes
    }


def test_a_solo_begins_a_moment_with_every_note_bass_and_strum() -> None:
    """Bass on 1 and 3, strums on 2 and 4 (the default pattern); a note on the second half of 2,
    one that ends before a rest in the middle of 3."""
    tune = with_notes(tune_of("D"), "62:1.5 66:1 r:0.5 69:1")
    moments = asked(tune)
    assert at(moments) == [0, 1, 1.5, 2, 2.5, 3]
    assert [m.melody for m in moments] == [62, 62, 66, 66, None, 69]
    assert [m.sings for m in moments] == [True, False, True, False, False, True]
    assert [m.judged for m in moments] == [False, True, False, False, False, True]
    assert {m.texture for m in moments} == {"solo"}


def test_what_may_be_struck_in_a_solo() -> None:
    moments = asked(with_notes(tune_of("D"), "62:1.5 66:1 r:0.5 69:1"))
    first, held_strum, alone, held_bass, rest, strum = moments
    assert first.strikes[0] == (True, False, False)  # what is asked, the carrier left aside
    assert strings(first) == {"b..", "b.m", "bu."}
    assert strings(held_strum) == {".u.", "..."}
    assert strings(alone) == {"...", "..m", ".u.", "b.."}
    assert strings(held_bass) == {"b..", "..."}  # without, where the bass string holds the note
    assert strings(rest) == {"..."}
    assert strings(strum) == {".u.", ".um", "..m", "bu.", "b.."}
    assert [m.takes_bass for m in moments] == [True, False, False, True, False, False]


def test_a_note_held_over_a_change_need_not_be_struck_again() -> None:
    tune = with_notes(tune_of("D", "G"), "62:4~", "62:4")
    moments = asked(tune)
    change = moments[4]
    assert (change.bar, change.change, change.sings, change.melody) == (2, True, False, 62)
    assert not change.begins_anew
    assert moments[0].begins_anew


def test_strokes_on_the_melody_string_alone_make_no_moment() -> None:
    """The broken chord strikes bass, middle, melody, middle: its third stroke is the melody's."""
    pattern = right_hand("broken")
    metre = tune_of("D").metre
    alone = [s.tick for s in pattern.strokes(metre) if s.strings == "melody"]
    assert alone
    moments = asked(with_notes(tune_of("D"), "62:4"), right_hand=pattern)
    assert not {m.offset for m in moments} & set(alone)


def test_without_a_chord_only_the_melody_is_asked_for() -> None:
    moments = asked(with_notes(tune_of("D N.C."), "62:2 64:1 r:1"))
    silent = [m for m in moments if m.chord is None]
    assert at(silent) == [2, 3]
    assert strings(silent[0]) == {"...", "..m", ".u.", "b.."}
    assert silent[0].fallback == {"melody"}
    assert strings(silent[1]) == {"..."}
    assert [m.quiet for m in silent] == [False, True]


def test_the_bass_may_be_open_and_carry_the_melody_unless_it_is_damped() -> None:
    tune = with_notes(tune_of("D"), "62:2 r:2")
    sounding, resting = (lambda m: (m[0], m[-1]))(asked(tune))
    assert {"drone", "melody"} <= sounding.fallback
    assert "melody" not in resting.fallback
    damped = asked(tune, right_hand=replace(right_hand("bass-then-strum"), damped=True))[0]
    assert damped.fallback & {"drone", "melody"} == {"drone"}


def test_a_drone_strikes_all_strings_on_felt_beats_and_one_between() -> None:
    """Six eighths: felt beats on 0 and 1½ quarters; nothing is struck in a rest."""
    tune = with_notes(tune_of("D", metre="6/8"), "62:0.5 64:1 66:1 r:0.5")
    moments = moments_of(tune, Style(texture="drone", manner="held"), 3)
    assert at(list(moments)) == [0, 0.5, 1.5, 2.5]
    assert [m.strikes for m in moments] == [
        ((True, True, True),), ((False, False, True),), ((True, True, True),),
        ((False, False, False),),
    ]  # fmt: skip
    assert [m.change for m in moments] == [True, False, False, False]
    assert {m.chord for m in moments} == {Chord("D", "5")}
    assert {m.roles for m in moments} == {frozenset({"drone"})}


def test_a_drone_is_silent_before_its_first_note_which_strikes_every_string() -> None:
    tune = with_notes(tune_of("D"), "r:1.5 62:2.5")
    first, second = moments_of(tune, Style(texture="drone", manner="held"), 3)
    assert (first.strikes, first.rings, first.plays) == (((False,) * 3,), False, (False,) * 3)
    assert (second.strikes, second.rings, second.offset) == (
        ((True,) * 3,), True, 3 * QUARTER // 2,
    )  # fmt: skip


def test_a_drone_needs_no_chords_and_a_solo_says_what_to_do() -> None:
    bare = with_notes(tune_of("N.C."), "62:4")
    drone = moments_of(bare, Style(texture="drone", manner="held"), 3)
    assert drone[0].chord == Chord("D", "5")
    with pytest.raises(ArrangeError, match=r"--chords proposed or --chords drone"):
        asked(bare)
    for texture in ("solo", "drone"):
        with pytest.raises(ArrangeError, match=f"has no melody, and a {texture} is made of one"):
            moments_of(tune_of("D"), Style(texture=texture, manner="held"), 3)


@pytest.mark.parametrize("manner", [name for name in manners_in("song") if name != "held"])
def test_a_drone_has_no_manner(manner: str) -> None:
    with pytest.raises(StyleError):
        Style(texture="drone", manner=manner)


def test_a_noter_plays_drones_only() -> None:
    tune = with_notes(tune_of("D"), "62:2 64:2")
    stick = Hand(noter=True)
    answer = search(tune, instrument(), stick, Style(texture="drone", manner="held"), Weights())
    assert all(set(c.grip.fingers) <= {-1, 0} for c in answer.choices)
    for texture in ("solo", "song"):
        with pytest.raises(StyleError, match="a noter stops the melody string alone"):
            search(tune, instrument(), stick, Style(texture=texture), Weights())


@pytest.mark.parametrize("seed", range(60))
def test_every_melody_note_is_asked_for_in_its_place_and_for_its_length(seed: int) -> None:
    for case in (tiny_solo(seed), tiny_drone(seed)):
        tune, style = case.tune, case.style
        moments = moments_of(tune, style, len(case.instrument.courses))
        starts = {played.number: played.start for played in tune.played}
        heard: list[list[int]] = []
        clock = 0
        for moment in moments:
            assert starts[moment.bar] + moment.offset == clock
            if moment.sings:
                assert moment.melody is not None
                heard.append([clock, moment.length, moment.melody])
            elif moment.melody is not None:
                assert heard[-1][2] == moment.melody
                assert heard[-1][0] + heard[-1][1] == clock
                heard[-1][1] += moment.length
            clock += moment.length
        notes = sung(tune, style.graces)
        assert heard == [[one.tick, one.length, one.midi] for one in notes]


@pytest.mark.parametrize("manner", manners_in("solo"))
def test_a_solo_strikes_the_bass_where_a_song_does(manner: str) -> None:
    tune = read("corpus/harrow-lane.abc")
    song = moments_of(tune, Style(manner=manner), 3)
    solo = asked(tune, manner=manner)
    wanted = {(m.bar, m.offset): (m.roles, m.chord) for m in song if m.strikes[0][0]}
    assert {(m.bar, m.offset): (m.roles, m.chord) for m in solo if m.strikes[0][0]} == wanted


REFUSED = [
    (61, "drone", "bar 1: the melody note C#4 cannot be played: it lies below the melody string"),
    (65, "drone", "bar 1: the melody note F4 cannot be played: the melody string has no fret"),
    (65, "solo", "bar 1: the melody note F4 cannot be played: the strings have no fret for it"),
    (49, "solo", "bar 1: the melody note C#3 cannot be played: it lies below the strings"),
    (99, "solo", "bar 1: the melody note D#7 cannot be played: it lies above all frets"),
]


@pytest.mark.parametrize(("midi", "texture", "words"), REFUSED)
def test_a_note_out_of_reach_is_refused_by_name(midi: int, texture: str, words: str) -> None:
    tune = with_notes(tune_of("D"), f"62:2 {midi}:2")
    style = Style(texture=texture, manner="held")
    with pytest.raises(NotPlayable) as told:
        search(tune, instrument(), Hand(), style, Weights())
    assert str(told.value).startswith(words)
    (one,) = unreachable(tune, instrument(), style)
    assert (one.note.bar, one.note.midi) == (1, midi)
    assert str(told.value).endswith(one.why)


def test_a_note_above_the_highest_fret_allowed_names_that_fret() -> None:
    tune = with_notes(tune_of("D"), "74:4")
    style = Style(texture="solo", melody_highest=9)
    with pytest.raises(NotPlayable, match="above the melody's highest allowed, fret 5"):
        search(tune, instrument(), Hand(), style, Weights())
    assert unreachable(tune, instrument(), Style(texture="solo")) == ()


def test_a_palm_on_the_bass_string_cannot_keep_its_melody() -> None:
    tune = with_notes(tune_of("D"), "55:4")
    style = Style(texture="solo", right_hand=replace(right_hand("bass-then-strum"), damped=True))
    with pytest.raises(NotPlayable, match="only the bass string has it, and the palm damps that"):
        search(tune, instrument(), Hand(), style, Weights())
    answer = search(
        tune, instrument(), Hand(), replace(style, right_hand=right_hand("full-strum")), Weights()
    )
    assert {c.role for c in answer.choices if c.struck[0]} == {"melody"}
