"""Bars as an arrangement of their own: what sounds on into them, and what would sound on beyond."""

from dataclasses import replace

from tests.undersong.arranged import chart, found
from tune.chord import parse_chord
from tune.time import QUARTER
from tune.tune import ChordChange, Note
from undersong.practice.excerpt import excerpt, tempo_of


def test_a_chord_that_sounds_on_into_the_loop_is_named_at_its_start() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | G | G | A |")
    bars = (*tune.bars[:2], replace(tune.bars[2], chords=()), tune.bars[3])
    loop = excerpt(found(replace(tune, bars=bars)), 3, 4, 100).tune
    assert loop.bars[0].chords == (ChordChange(0, parse_chord("G")),)
    assert [bar.number for bar in loop.bars] == [3, 4]


def test_a_chord_that_begins_within_the_loop_is_not_named_before() -> None:
    loop = excerpt(found(chart("key: D\nmetre: 4/4\n| D | G | A | D |")), 2, 3, 100).tune
    assert [[str(c.chord) for c in bar.chords] for bar in loop.bars] == [["G"], ["A"]]


def test_a_note_tied_beyond_the_loop_ends_with_it() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | G | A | D |")
    held = (Note(0, 4 * QUARTER, 62, "D", True), Note(0, 4 * QUARTER, 62, "D"))
    bars = (
        tune.bars[0],
        replace(tune.bars[1], notes=held[:1]),
        replace(tune.bars[2], notes=held[1:]),
        tune.bars[3],
    )
    made = replace(found(tune), tune=replace(tune, bars=bars))
    assert [n.tied for n in excerpt(made, 1, 2, 100).tune.bars[1].notes] == [False]
    assert [n.tied for n in excerpt(made, 2, 3, 100).tune.bars[0].notes] == [True]


def test_repeats_and_sections_stay_behind() -> None:
    made = found(chart("key: D\nmetre: 4/4\nsection: Verse\n|: D | G | A | D :|"))
    assert len(made.tune.played) == 8
    loop = excerpt(made, 4, 5, 100)  # the end of the first time through and the second's beginning
    assert [bar.number for bar in loop.tune.bars] == [4, 1]
    assert len(loop.tune.played) == 2
    assert {bar.section for bar in loop.tune.bars} == {""}
    assert {moment.bar for moment in loop.moments} == {1, 2}
    inside = [i for i, m in enumerate(made.moments) if m.bar in (4, 5)]
    assert loop.choices == tuple(made.choices[i] for i in inside)


def test_the_tempo_is_the_bars_own() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| D | G |"))
    assert tempo_of(made, 2).per_minute == 100
    assert excerpt(made, 2, 2, 63).tune.tempo.per_minute == 63
