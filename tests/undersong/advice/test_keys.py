"""Which key and tuning: rows are what solving each gives, bounds lie below, all are counted."""

from dataclasses import replace
from pathlib import Path

import pytest

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import hand
from scoring.weights import Weights
from solver.conditions import NONE
from solver.errors import ArrangeError, NotPlayable, StyleError
from solver.kinds import Kinds, moved
from solver.moments import moments_of
from solver.passing import Passing
from solver.search import Search
from solver.style import Style
from solver.watch import OutOfTime, Watch
from tests.undersong.advice.keyed import CHART, chart, choices, melody
from tune.tune import Tune
from undersong.advice import bounding
from undersong.advice.combinations import combinations
from undersong.advice.keys import KeyAdvice, KeysAsked, keys
from undersong.advice.losses import losses
from undersong.advice.voices import VOICES, Voice, voice
from undersong.api import read_tune
from undersong.session import Session


def _one_by_one(asked: KeysAsked) -> tuple[list[int], int]:
    """What every combination costs, solved by itself, and how many cannot be played."""
    costs, cannot = [], 0
    for group in combinations(asked.choices, asked.tune, "song").values():
        for one in group:
            session = Session(asked.tune.transposed(one.semitones), instrument=one.instrument)
            try:
                costs.append(session.arrange().cost)
            except NotPlayable:
                cannot += 1
    return sorted(costs), cannot


def _counted(advice: KeyAdvice) -> int:
    shown = sum(1 + len(row.also) for row in advice.rows)
    cannot = sum(count for _, count in advice.cannot)
    return shown + cannot + advice.ruled_out + advice.no_better + advice.not_looked_at


def _agrees(asked: KeysAsked) -> None:
    """The table against solving everything: brute force."""
    advice = keys(asked)
    costs, cannot = _one_by_one(asked)
    shown = sorted(row.cost for row in advice.rows for _ in (row.best, *row.also))
    assert advice.proven
    assert [row.cost for row in advice.rows] == sorted(row.cost for row in advice.rows)
    assert shown == costs[: len(shown)]
    assert sum(count for _, count in advice.cannot) == cannot
    assert _counted(advice) == advice.looked_at
    rest = costs[len(shown) :]
    assert len(rest) == advice.ruled_out
    if rest:
        assert advice.least is not None
        assert advice.rows[-1].cost <= advice.least <= rest[0]


def test_the_table_is_what_solving_everything_gives(tmp_path: Path) -> None:
    tune = chart(tmp_path)
    _agrees(KeysAsked(tune, choices(capos=(0,), semitones=(0, -2, 5)), rows=2))


def test_frets_that_do_no_good_take_no_place(tmp_path: Path) -> None:
    """1+ is E flat on a D string: in no chord of D, so that with it nothing gets easier."""
    tune = chart(tmp_path)
    plain = keys(KeysAsked(tune, choices(capos=(0,)), rows=2))
    more = keys(KeysAsked(tune, choices(capos=(0,), extras=((), (1,))), rows=2))
    assert [row.best.words() for row in more.rows] == [row.best.words() for row in plain.rows]
    assert more.no_better == 2
    assert _counted(more) == more.looked_at
    assert more.proven


def test_a_noter_plays_no_chords_in_any_key(tmp_path: Path) -> None:
    with pytest.raises(StyleError, match="a noter stops the melody string alone"):
        keys(KeysAsked(chart(tmp_path), choices(), hand=hand("noter")))


@pytest.mark.parametrize("backwards", [False, True])
def test_equals_stand_in_the_same_order_whichever_is_known_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, backwards: bool
) -> None:
    """A bass part is the same on D-A-c and D-G-d, which are as much trouble to tune."""
    first = bounding._promising_first
    monkeypatch.setattr(
        bounding,
        "_promising_first",
        lambda *all_: sorted(first(*all_), key=lambda group: group[0].tuning, reverse=backwards),
    )
    wanted = choices(("D-A-c", "D-G-d"), capos=(0,))
    style = Style(texture="bass")
    table = keys(KeysAsked(chart(tmp_path), wanted, rows=1, style=lambda *_: style))
    assert [row.best.tuning for row in table.rows] == ["D-G-d"]
    both = keys(KeysAsked(chart(tmp_path), wanted, style=lambda *_: style))
    assert [row.best.tuning for row in both.rows] == ["D-G-d", "D-A-c"]
    assert len({row.cost for row in both.rows}) == 1


def test_a_search_takes_over_only_what_was_laid_out_for_it() -> None:
    tune = read_tune("harrow-lane")
    passing = Passing(choices().own, Hand(), Style(), Weights())
    kinds = Kinds.of(moments_of(tune, Style(), 3))
    least = passing.least(kinds, 0, tune).ms
    own = Session(tune)
    own.search.take_over(passing, kinds, 0)
    assert own.arrange().cost == least == Session(tune).arrange().cost
    with pytest.raises(ValueError, match="another style"):
        Session(tune, style=Style("walking")).search.take_over(passing, kinds, 0)
    with pytest.raises(ValueError, match="asked before"):
        own.search.take_over(passing, kinds, 0)


def test_where_the_tune_stands_now_is_told(tmp_path: Path) -> None:
    tune = chart(tmp_path)
    own = Session(tune).arrange().cost
    wanted = choices(("D-A-A", "D-A-d"), capos=(0, 5), semitones=(0, 5, -2))
    every = keys(KeysAsked(tune, wanted, rows=50))
    now = every.as_it_is
    assert now is not None
    assert now.row is not None
    assert (every.rows[now.row - 1].cost, now.least, now.exact) == (own, own, True)
    first = keys(KeysAsked(tune, wanted, rows=1)).as_it_is
    assert first is not None
    assert first.row is None
    assert first.least is not None
    assert every.rows[0].cost < first.least <= own
    flat = chart(
        tmp_path, CHART.replace("key: D", "key: Eb").replace("| D | G | A | D |", "| Eb |")
    )
    never = keys(KeysAsked(flat, choices(semitones=(0, -1)))).as_it_is
    assert never is not None
    assert never.why.startswith("a chord has no root in the bass")
    assert keys(KeysAsked(tune, choices(semitones=(5,)))).as_it_is is None


@pytest.mark.slow
@pytest.mark.parametrize("name", ["mending-weather", "three-odd-gloves"])
def test_so_it_is_for_whole_tunes(name: str) -> None:
    tunings = ("D-A-d", "D-A-A", "D-A-c", "C-G-c")
    wanted = choices(tunings, capos=(0, 2, 5, 7), semitones=tuple(range(-5, 7)))
    _agrees(KeysAsked(read_tune(name), wanted))


def test_tuning_and_key_moved_together_are_one_problem(tmp_path: Path) -> None:
    wanted = choices(("D-A-d", "C-G-c"), capos=(0,), semitones=(0, -2))
    advice = keys(KeysAsked(chart(tmp_path), wanted))
    (row,) = [row for row in advice.rows if row.best.semitones == 0 and row.best.tuning == "D-A-d"]
    assert [(one.tuning, one.semitones) for one in row.also] == [("C-G-c", -2)]
    other = row.also[0]
    tune = row.arrangement.tune.transposed(-2)
    again = Session(tune, instrument=other.instrument).arrange()
    assert again.cost == row.cost
    assert [each.grip.frets for each in again.choices] == [
        each.grip.frets for each in row.arrangement.choices
    ]


@pytest.mark.parametrize("texture", ["song", "solo"])
@pytest.mark.parametrize("name", ["mending-weather"])
def test_no_bound_lies_above_the_best(name: str, texture: str) -> None:
    tune, style = read_tune(name), Style(texture=texture)
    instrument = choices().own
    passing = Passing(instrument, Hand(), style, Weights())
    best = Search(tune, instrument, Hand(), style).least(Weights(), NONE)
    kinds = Kinds.of(moments_of(tune, style, 3))
    whole = passing.least(kinds, 0, tune)
    assert whole.exact
    assert whole.ms == best
    for enough in (0, best // 3, best // 2, best - 1, best):
        found = passing.least(kinds, 0, tune, enough)
        assert found.ms <= best
        assert found.exact or found.ms > enough


def test_moments_in_another_key_are_those_of_the_tune_in_it() -> None:
    def plain(tune: Tune, by: int) -> list[object]:
        own = moments_of(tune, Style(), 3) if not by else moved(moments_of(tune, Style(), 3), by)
        return [
            (
                replace(moment, chord=None),
                moment.chord and (moment.chord.degrees, moment.chord.bass_pitch_class),
            )
            for moment in own
        ]

    tune = read_tune("harrow-lane")
    for by in (-5, -1, 3, 6):
        assert plain(tune, by) == plain(tune.transposed(by), 0)


def test_a_lost_third_is_named_with_its_bar(tmp_path: Path) -> None:
    """Of A minor, capo and extra frets aside, D-A-A has A and E, and C only at fret 6 of the bass
    and middle strings: whatever is lost must be what no string sounds."""
    tune = chart(tmp_path, "title: Cold Tea\nkey: D\nmetre: 4/4\n| D | F | D |\n")
    row = keys(KeysAsked(tune, choices(("D-A-d",), (0,), (2, 5, 7, 10, 0)))).rows[0]
    found = losses(row.arrangement)
    assert found == row.lost
    for lost in found.tones:
        bar = next(bar for bar in row.arrangement.tune.bars if bar.number == lost.bar)
        chord = next(c.chord for c in bar.chords if c.chord and str(c.chord) == lost.chord)
        sounds = {
            row.arrangement.instrument.pitch(course, fret) % 12
            for moment, choice in zip(row.arrangement.moments, row.arrangement.choices, strict=True)
            if moment.chord == chord
            for course, fret in enumerate(choice.grip.frets)
            if fret >= 0
        }
        assert chord.degrees[lost.degree] not in sounds


def test_only_keys_that_the_voice_can_sing_are_looked_at() -> None:
    tune = read_tune("harrow-lane")
    notes = [note.midi for bar in tune.bars for note in bar.notes if note.midi is not None]
    narrow = Voice("narrow", min(notes) - 2, max(notes) - 2)
    wanted = choices(("D-A-d",), (0, 5), tuple(range(-5, 7)), voice=narrow)
    found = combinations(wanted, tune, "song").values()
    assert {one.semitones for group in found for one in group} == {-2}
    assert {one.octave for group in found for one in group} == {0}
    low = Voice("low", min(notes) - 14, max(notes) - 14)
    found = combinations(replace(wanted, voice=low), tune, "song").values()
    assert {(one.semitones, one.octave) for group in found for one in group} == {(-2, -1)}
    with pytest.raises(ArrangeError, match="fit the voice"):
        keys(KeysAsked(tune, replace(wanted, voice=Voice("two notes", 60, 61))))


def test_keys_that_nobody_sings_are_counted_once_in_whatever_octave(tmp_path: Path) -> None:
    """D4 to A4 within C4 to A4: in D, D flat and C alone, for a song and for a solo alike."""
    tune = melody(tmp_path, "D", '"D"D E F A "A"A E F "D"D')
    for texture, by in (("song", range(-5, 7)), ("solo", range(-12, 13))):
        wanted = choices(("D-A-d",), (0,), tuple(by), voice=Voice("typed", 60, 69))

        def style(_: Tune, __: Instrument, texture: str = texture) -> Style:
            return Style(texture=texture)

        assert keys(KeysAsked(tune, wanted, style=style)).unsung == 9


def test_voices_are_ranges_and_unknown_ones_are_told() -> None:
    """Ranges from memory of choral handbooks: only their order is checked, low voices below."""
    ranked = [voice(name) for name in ("bass", "baritone", "tenor", "alto", "mezzo", "soprano")]
    assert [each.lowest for each in ranked] == sorted(each.lowest for each in VOICES[:-1])
    with pytest.raises(ArrangeError, match="choose soprano"):
        voice("whistle")


def test_out_of_time_says_what_was_not_looked_at() -> None:
    strings = ("D-A-d", "D-A-A", "D-A-c", "D-G-d", "D-A-g", "C-G-c")
    wanted = choices(strings, (0, 2, 5, 7), tuple(range(-5, 7)))
    asked = KeysAsked(read_tune("harrow-lane"), wanted)
    try:
        advice = keys(asked, Watch(seconds=4.0))
    except OutOfTime as error:
        assert "allow more time" in str(error)  # noqa: PT017  either is an honest end
        return
    assert not advice.proven
    assert advice.not_looked_at
    assert _counted(advice) == advice.looked_at


def test_a_table_without_rows_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ArrangeError, match="one row at least"):
        KeysAsked(chart(tmp_path, CHART), choices(), rows=0)
