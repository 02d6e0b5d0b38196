"""Which fretboards advice on extra frets tries, and one tune on each: each row is the answer that
asking for it alone gives."""

import re
from dataclasses import replace

import pytest

from fretboard.errors import FretboardError
from fretboard.frets import EXTRA_FRETS, fret_semitones
from fretboard.presets import instrument
from solver.conditions import Conditions
from solver.conditions.pins import Pin
from solver.errors import ConditionError, NotPlayable
from solver.style import Style
from solver.watch import Stopped, Watch
from tests.undersong.advice.fretted import IN_D, OWN, boards, piece
from tests.undersong.arranged import chart
from tune.tune import Tune
from undersong.advice.all_frets import FretsAdvice
from undersong.advice.fretboards import with_frets, without_frets
from undersong.advice.frets import CANNOT, NO_EASIER, PLAYED, UNKNOWN, one_tune
from undersong.advice.losses import losses
from undersong.api import read_tune
from undersong.session import Session

WITH_F = chart("key: D\nmetre: 4/4\n| D | F C | D |\n")


# Which fretboards


def test_what_is_left_out_and_put_in_where_nothing_is_asked() -> None:
    assert [b.words for b in boards()] == [
        "without 6+", "with 1+", "with 8+", "with 13+", "with 1+, 8+, 13+",
    ]  # fmt: skip
    all_four = [b.words for b in boards(instrument("1+6+8+13+"))]
    assert all_four == [f"without {f}" for f in (*EXTRA_FRETS, "1+, 6+, 8+, 13+")]
    assert [b.words for b in boards(instrument("traditional"))][:2] == ["with 1+", "with 6+"]
    assert with_frets(instrument("chromatic"), None) == ()


def test_a_partial_fret_can_be_left_out_and_completed() -> None:
    words = [b.words for b in boards(instrument("partial-1+8+"))]
    assert "without 1+" in words
    assert "with 1+" in words


def test_frets_under_a_capo_are_let_alone() -> None:
    """Below it no fret counts, and at it the capo sits."""
    words = [b.words for b in boards(instrument("1+6+", capo="1+"))]
    assert "without 1+" not in words
    assert [b.words for b in with_frets(instrument(capo="3"), None)] == [
        "with 8+", "with 13+", "with 8+, 13+",
    ]  # fmt: skip


def test_groups_are_changed_together() -> None:
    (both,) = without_frets(instrument("1+6+"), ((3, 11),))
    assert both.instrument.courses == instrument("traditional").courses
    with pytest.raises(FretboardError, match=r"has the fret 6\+ under every course already"):
        with_frets(OWN, ((11,),))


# One tune


@pytest.mark.parametrize("tune", [IN_D, WITH_F], ids=["in D", "with F"])
@pytest.mark.parametrize("texture", ["song", "bass"])
def test_every_row_is_what_asking_for_it_alone_gives(tune: Tune, texture: str) -> None:
    made = piece(tune, texture=texture)
    for every in (True, False):
        row = one_tune(made, OWN, boards(), every=every)
        for on, outcome in zip((OWN, *(b.instrument for b in boards())), (row.own, *row.others),
                               strict=True):  # fmt: skip
            try:
                alone = Session(tune, instrument=on, style=made.style(on)).arrange()
            except NotPlayable:
                assert outcome.kind == CANNOT
                assert outcome.cost is None
                continue
            assert outcome.proven
            if outcome.kind == PLAYED:
                assert outcome.cost == alone.cost
                assert outcome.hardest == max(alone.difficulty.by_bar.values())
                assert outcome.median == alone.difficulty.median
            else:
                assert (outcome.kind, every) == (NO_EASIER, False)
                assert outcome.least is not None
                assert outcome.most is not None
                assert row.own.cost is not None
                assert row.own.cost <= outcome.least <= alone.cost <= outcome.most


def test_bounds_spare_searches_and_change_no_total() -> None:
    row = one_tune(piece(IN_D), OWN, boards(), every=False)
    assert NO_EASIER in [outcome.kind for outcome in row.others]
    solved = one_tune(piece(IN_D), OWN, boards())
    few, all_of_them = (FretsAdvice(OWN, boards(), (each,)).totals for each in (row, solved))
    for bounded, exact in zip(few, all_of_them, strict=True):
        assert (bounded.playable, bounded.easier, bounded.saved) == (
            exact.playable, exact.easier, exact.saved,
        )  # fmt: skip
        assert bounded.more_least <= exact.more_most <= bounded.more_most


def test_what_opens_is_named_with_its_reason() -> None:
    row = one_tune(piece(WITH_F), OWN, boards())
    assert row.own.kind == CANNOT
    assert "bar 2: F cannot be played: the bass string has no F" in row.own.why
    kinds = dict(zip([b.words for b in boards()], [o.kind for o in row.others], strict=True))
    assert kinds == {
        "without 6+": CANNOT, "with 1+": PLAYED, "with 8+": CANNOT, "with 13+": CANNOT,
        "with 1+, 8+, 13+": PLAYED,
    }  # fmt: skip


def test_what_not_even_all_frets_open_is_told_so_without_trying_each() -> None:
    never = chart("key: D\nmetre: 4/4\n| D | Eb | D |\n")
    row = one_tune(piece(never), OWN, boards())
    assert {outcome.kind for outcome in row.others} == {CANNOT}
    assert row.others[1].why.startswith("not even with 1+, 8+, 13+: bar 2: Eb cannot be played")
    for board in boards():
        with pytest.raises(NotPlayable):
            Session(never, instrument=board.instrument).arrange()


def test_a_tune_that_closes_has_bar_reason_and_mends() -> None:
    own = instrument("1+6+")
    row = one_tune(piece(WITH_F), own, without_frets(own, None), mends=True)
    without = row.others[0]
    assert without.why.startswith("bar 2: F cannot be played")
    assert any("for F in bar 2" in mend for mend in without.mends), without.mends


def test_losses_and_bars_are_those_of_the_answer_without() -> None:
    minor = chart("key: D minor\nmetre: 4/4\n| Dm | Gm | A | Dm |\n")
    own = instrument("1+6+")
    (without,) = without_frets(own, ((3,),))
    row = one_tune(piece(minor), own, (without,))
    alone = Session(minor, instrument=without.instrument).arrange()
    mine = Session(minor, instrument=own).arrange()
    new = [tone for tone in losses(alone).tones if tone not in losses(mine).tones]
    assert new, "a minor third is gone with 1+"
    for tone in new:
        assert any(f"{tone.chord} in bar" in words for words in row.others[0].losses)
    apart = {
        moment.written + 1
        for moment, here, there in zip(mine.moments, mine.choices, alone.choices, strict=True)
        if (here.grip.frets, here.struck) != (there.grip.frets, there.struck)
    }
    told = row.others[0].differs
    assert apart == {
        bar
        for part in re.sub("bars? ", "", told).split(", ")
        for bar in range(int(part.split("-")[0]), int(part.split("-")[-1]) + 1)
    }


def test_a_melody_that_goes_to_the_bass_string_is_told_with_its_bars() -> None:
    """F4 lies on fret 8+ of a D3 string, and on no other fret of D-A-d with 6+ and 8+."""
    tune, more = read_tune("tallow-and-rush"), instrument().with_fret(fret_semitones("8+"))
    opens = enumerate(more.tuning)
    places = [(c, 65 - o) for c, o in opens if 65 - o in more.frets(c)]
    assert places == [(0, fret_semitones("8+"))]
    found = losses(Session(tune, instrument=more, style=Style(texture="solo")).arrange())
    low = {bar.number for bar in tune.bars for note in bar.notes if note.midi == 65}
    assert low <= set(found.low)
    assert "on the bass string in bars 1, 2, 3, 7, 9 and 13" in found.words()[-1]
    usual = losses(Session("harrow-lane", style=Style(texture="solo")).arrange())
    assert not usual.low


def test_conditions_hold_on_every_fretboard_and_wrong_ones_are_faults() -> None:
    pins = Pin.parse("1: melody 6+", False, OWN)
    asked = replace(
        piece(chart("key: A\nmetre: 4/4\n| A | E | A |\n")), conditions=Conditions(pins=pins)
    )
    row = one_tune(asked, OWN, without_frets(OWN, None))
    assert row.own.kind == PLAYED
    assert row.others[0].kind == CANNOT
    assert "6+" in row.others[0].why
    wrong = Conditions(pins=Pin.parse("99: bass 3", False, OWN))
    with pytest.raises(ConditionError, match="99"):
        one_tune(replace(asked, conditions=wrong), OWN, boards())


def test_out_of_time_is_not_known_and_a_stop_is_a_stop() -> None:
    row = one_tune(piece(IN_D), OWN, boards(), Watch(seconds=0.0))
    assert {row.own.kind, *(o.kind for o in row.others)} == {UNKNOWN}
    assert not row.proven
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        one_tune(piece(IN_D), OWN, boards(), watch)
