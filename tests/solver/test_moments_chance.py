"""What holds for the moments of every small tune: random bars, repeats, manners, right hands."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from scoring.moment import FOREIGN, Moment
from solver.righthand import right_hand, right_hands
from solver.style import manners_in
from tests.solver.laid_out import bar, lay, role, tune
from tune.errors import TuneError
from tune.key import Key
from tune.time import QUARTER, Metre, Tempo, ticks
from tune.tune import Bar, Tune

METRES = ("2/2", "2/4", "3/4", "4/4", "6/8", "9/8", "12/8")
SYMBOLS = ("D", "G", "A7", "Bm", "D/F#", "C/D", "Em7", "N.C.")
HANDS = [hand.name for hand in right_hands()]


@st.composite
def bars(draw: st.DrawFn) -> list[Bar]:
    """Up to seven bars: changes anywhere on an eighth, short bars, repeats, metres that change."""
    made: list[Bar] = []
    metre = draw(st.sampled_from(METRES))
    for number in range(1, draw(st.integers(1, 7)) + 1):
        if draw(st.integers(0, 5)) == 0:
            metre = draw(st.sampled_from(METRES))
        beats, unit = metre.split("/")
        full = 8 * int(beats) // int(unit)  # in eighths
        short = number == 1 or draw(st.integers(0, 4)) == 0
        length = draw(st.integers(1, full)) if short else full
        places = draw(st.sets(st.integers(0, length - 1), max_size=2))
        words = [f"{draw(st.sampled_from(SYMBOLS))}@{place}/2" for place in sorted(places)]
        changes: dict[str, object] = {
            "length": f"{length}/2",
            "repeat_start": draw(st.integers(0, 3)) == 0,
            "repeat_times": draw(st.sampled_from((1, 1, 1, 2))),
            "section": draw(st.sampled_from(("", "", "B"))),
            "key": Key(draw(st.sampled_from("DGA"))),
        }
        if draw(st.integers(0, 4)) == 0:
            changes["tempo"] = Tempo(QUARTER, draw(st.integers(60, 180)))
        made.append(bar(number, metre, " ".join(words), **changes))
    return made


@st.composite
def laid(draw: st.DrawFn) -> tuple[Tune, tuple[Moment, ...], str, str]:
    """A tune that has a chord, its moments, the manner and the right hand."""
    made = draw(bars())
    if not any(change.chord for one in made for change in one.chords):
        made[0] = bar(1, "4/4", "D")
    song = tune("4/4", *made)
    manner, hand = draw(st.sampled_from(manners_in("song"))), draw(st.sampled_from(HANDS))
    carry = draw(st.sampled_from(("rest", "carry")))
    return song, lay(song, manner, hand, no_chord=carry), manner, hand


@settings(max_examples=80, deadline=None)
@given(laid())
def test_moments_cover_the_tune_without_gap_or_overlap(
    made: tuple[Tune, tuple[Moment, ...], str, str],
) -> None:
    song, moments, _, _ = made
    starts = {played.number: played.start for played in song.played}
    clock = 0
    for moment in moments:
        assert starts[moment.bar] + moment.offset == clock
        assert moment.length > 0
        written = song.bars[moment.written]
        assert song.played[moment.bar - 1].written == moment.written
        assert 0 <= moment.offset < written.length
        assert moment.ms == song.tempo_at(moment.written).milliseconds(moment.length)
        assert moment.scale == written.key.pitch_classes
        clock += moment.length
    assert clock == sum(song.bars[played.written].length for played in song.played)


def chord_at(song: Tune, moment: Moment, carry: bool) -> object:
    """The chord in force where the moment begins, found by going through the tune anew; none
    wherever none is written yet."""
    now = None
    for played in song.played[: moment.bar]:
        if not any(bar.chords for bar in song.bars[: played.written]):
            now = None
        for change in song.bars[played.written].chords:
            if (played.number, change.tick) > (moment.bar, moment.offset):
                return now
            if change.chord is not None or not carry:
                now = change.chord
    return now


@settings(max_examples=60, deadline=None)
@given(bars(), st.sampled_from(manners_in("song")), st.sampled_from(HANDS), st.booleans())
def test_every_chord_is_heard_from_where_it_stands(
    made: list[Bar], manner: str, hand: str, carry: bool
) -> None:
    song = tune("4/4", *made, bar(9, "4/4", "D"))
    moments = lay(song, manner, hand, no_chord="carry" if carry else "rest")
    for moment in moments:
        assert moment.chord == chord_at(song, moment, carry)
    for before, after in pairwise(moments):
        if after.chord is not None and before.chord != after.chord:
            assert after.change
            assert before.leads
    begins = {(moment.bar, moment.offset) for moment in moments}
    for played in song.played:
        for change in song.bars[played.written].chords:
            moment = next(m for m in reversed(moments)
                          if (m.bar, m.offset) <= (played.number, change.tick))  # fmt: skip
            assert (
                (played.number, change.tick) in begins
                or moment.chord == change.chord
                or (change.chord is None and carry)
            )


@settings(max_examples=80, deadline=None)
@given(laid())
def test_what_is_asked_agrees_with_itself(made: tuple[Tune, tuple[Moment, ...], str, str]) -> None:
    _, moments, manner, hand = made
    damped = right_hand(hand).damped
    for before, moment in zip((None, *moments), moments, strict=False):
        assert len(set(moment.strikes)) == len(moment.strikes) >= 1
        if moment.chord is None:
            assert not any(any(struck) for struck in moment.strikes)
            continue
        assert moment.damped is damped
        may_strike = any(struck[0] for struck in moment.strikes)
        assert moment.roles or not may_strike
        assert set(moment.roles) <= {*moment.chord.degrees, "slash bass", "alternate fourth",
                                     *FOREIGN}  # fmt: skip
        if moment.strong or moment.change:
            assert not moment.roles & set(FOREIGN)
        if moment.change:
            assert moment.strikes[0][0]
            assert not moment.keeps
            assert role(moment) in ("R", "/") or manner == "free"
        if moment.keeps:
            assert before is not None
            assert before.chord == moment.chord
        assert moment.rings is (manner == "held" and not damped)
        assert moment.plays == right_hand(hand).plays(3)
        assert not moment.run or manner == "runs"
        assert not moment.moves or manner in ("walking", "runs", "free")


@settings(max_examples=60, deadline=None)
@given(bars(), st.sampled_from(manners_in("song")), st.sampled_from(HANDS))
def test_every_time_through_a_repeat_has_the_same_bass(
    made: list[Bar], manner: str, hand: str
) -> None:
    plain = [
        replace(one, repeat_start=False, repeat_times=1)
        for one in made
        if one.length == one.metre.bar
    ]
    # the last two bars are found nowhere else, so that no time through ends like the tune
    chords = bar(1, "4/4", "Em", repeat_start=True)
    again = tune("4/4", chords, *plain, bar(8, "4/4", "A G@2", repeat_times=3), bar(9, "4/4", "D"))
    moments = lay(again, manner, hand)
    passes: dict[int, list[list[tuple[object, ...]]]] = {}
    for played in again.played:
        here = [
            (m.offset, m.roles, m.fallback, m.strikes, m.change, m.judged)
            for m in moments
            if m.bar == played.number
        ]
        passes.setdefault(played.written, []).append(here)
    assert len(passes[0]) == 3
    for written, times in passes.items():
        assert all(one == times[0] for one in times), again.bars[written].number


@settings(max_examples=30, deadline=None)
@given(laid(), st.integers(-5, 6))
def test_a_tune_moved_up_or_down_asks_the_same(
    made: tuple[Tune, tuple[Moment, ...], str, str], semitones: int
) -> None:
    song, _, manner, hand = made
    try:
        moved = song.transposed(semitones)
    except TuneError:
        assume(False)
    here, there = (lay(one, manner, hand, no_chord="rest") for one in (song, moved))
    assert [(m.roles, m.strikes, m.length) for m in here] == [
        (m.roles, m.strikes, m.length) for m in there
    ]


def test_the_metres_of_these_tunes_are_those_of_the_right_hands() -> None:
    for hand in right_hands():
        assert {str(metre) for metre, _ in hand.bars} == set(METRES)
    assert ticks("1/2") * 8 == Metre(4, 4).bar
