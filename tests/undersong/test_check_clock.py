"""What the checker makes of the tune's time: bars, chords and strokes, worked out by hand.

Facts of the metres (strong beats, felt beats) are common practice, no source, as are repeats.
"""

import pytest

import corpus
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.moments import moments_of
from solver.result import UNPROVEN, Arrangement, Proof
from solver.righthand import right_hands
from solver.style import Style, manners_in
from tests.undersong.passages import alternating, bar, style_of, tune_of, with_moment
from tune.key import Key
from tune.readers import read
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, Tune
from undersong.check import check
from undersong.check.asks import Ask, asks_of
from undersong.check.clock import bar_times, chord_times, closing_bars, milliseconds
from undersong.check.passage import Passage
from undersong.check.rhythm import moments_true, times_right

BEAT = QUARTER
PICKUP = bar("D", length=BEAT, number=0)


def told(asks: tuple[Ask, ...]) -> list[str]:
    """``2+1/2 Bs root``: bar and quarters, strings, roles (``…``: chord tones and foreign)."""
    out = []
    for ask in asks:
        at = f"{ask.bar.number}+{(ask.tick - ask.bar.start) / BEAT:g}"
        bass = "B" if ask.bass else "b" if ask.pattern[0] else "-"
        strings = bass + "".join("x" if struck else "-" for struck in ask.pattern[1:])
        roles = sorted(ask.bass.roles) if ask.bass else []
        named = "…" if "passing" in roles else "tone" if len(roles) > 1 else "".join(roles)
        out.append(f"{at} {strings} {named}".strip())
    return out


# Bars and chords


def test_a_pickup_ends_the_bar_that_it_lacks() -> None:
    first, second = bar_times(tune_of(PICKUP, "D"))
    assert (first.phase, first.beats, first.strong) == (3 * BEAT, (0,), frozenset())
    assert (second.phase, second.start, second.end) == (0, BEAT, 5 * BEAT)
    assert second.strong == {BEAT, 3 * BEAT}


def test_a_bar_cut_by_a_repeat_sign_goes_on_after_it() -> None:
    cut = bar("G", length=3 * BEAT, repeat_times=2)
    tune = tune_of(PICKUP, cut, bar("D", length=BEAT), "D")
    assert [(b.number, b.written, b.phase // BEAT) for b in bar_times(tune)] == [
        (1, 0, 3), (2, 1, 0), (3, 0, 3), (4, 1, 0), (5, 2, 3), (6, 3, 0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("metre", "beats", "strong", "half"),
    [
        ((4, 4), [0, 1, 2, 3], [0, 2], 2),
        ((12, 8), [0, 1.5, 3, 4.5], [0, 3], 3),
        ((2, 2), [0, 2], [0], 2),
        ((6, 8), [0, 1.5], [0], 1.5),
        ((3, 4), [0, 1, 2], [0], None),
        ((9, 8), [0, 1.5, 3], [0], None),
    ],
)
def test_felt_and_strong_beats(
    metre: tuple[int, int], beats: list[float], strong: list[float], half: float | None
) -> None:
    (time,) = bar_times(tune_of(bar("D", Metre(*metre))))
    assert [tick / BEAT for tick in time.beats] == beats
    assert sorted(tick / BEAT for tick in time.strong) == strong
    assert time.half == (None if half is None else half * BEAT)


def test_a_chord_goes_on_until_another_or_a_fresh_start() -> None:
    tune = tune_of(
        "D", "D . G .", "", bar("", section="B"), bar("", repeat_start=True, repeat_times=2)
    )
    times = chord_times(tune, bar_times(tune), carry=False)
    assert [(t.start // BEAT, t.end // BEAT, str(t.chord)) for t in times] == [
        (0, 6, "D"), (6, 12, "G"), (12, 16, "G"), (16, 20, "G"), (20, 24, "G"),
    ]  # fmt: skip
    assert [str(t.following) for t in times] == ["G", "G", "G", "G", "None"]
    assert [len(t.bars) for t in times] == [2, 2, 1, 1, 1]


def test_a_chord_begins_afresh_wherever_the_playing_comes_back_to() -> None:
    """After a pickup, in a new metre, and in the bar that a repeat goes back to: each time."""
    tune = tune_of(PICKUP, "", bar("", length=3 * BEAT, repeat_times=2), bar("", Metre(3, 4)))
    times = chord_times(tune, bar_times(tune), carry=False)
    assert [(t.start // BEAT, t.end // BEAT) for t in times] == [
        (0, 1), (1, 8), (8, 9), (9, 16), (16, 19),
    ]  # fmt: skip
    endings = tune_of("D", bar("", endings=(1,), repeat_times=2), bar("", endings=(2,)), "G")
    times = chord_times(endings, bar_times(endings), carry=False)
    assert [t.start // BEAT for t in times] == [0, 8, 12, 16]


@pytest.mark.parametrize(("carry", "chords"), [(False, ["D", None, "D"]), (True, ["D"])])
def test_no_chord_rests_or_carries(carry: bool, chords: list[str | None]) -> None:
    tune = tune_of("D", "-", "D")
    times = chord_times(tune, bar_times(tune), carry)
    assert [time.chord and str(time.chord) for time in times] == chords


def test_no_chord_at_the_beginning_rests_either_way() -> None:
    tune = tune_of("-", "D")
    for carry in (False, True):
        first, second = chord_times(tune, bar_times(tune), carry)
        assert first.chord is None
        assert str(second.chord) == "D"


def test_chords_that_sound_alike_are_one() -> None:
    """D♯ and E♭ are one sound, and so are slashes on them; another quality is not."""
    tune = tune_of("D# . Eb .", "Ebm . D#m/Bb .", "Ebm/A# . Eb5 .")
    times = chord_times(tune, bar_times(tune), carry=False)
    assert [str(time.chord) for time in times] == ["D#", "Ebm", "D#m/Bb", "Eb5"]


def test_passages_close_like_the_tune_they_end_as() -> None:
    """Two times four bars, written out under a section's name: both close. Another third bar, or
    no fresh start after the same four, and only the tune's end does."""
    first = ("D", "G", "A", "D")
    again = (bar("D", section="B"), "G", "A", "D")

    def closing(*bars: Bar | str) -> set[int]:
        tune = tune_of(*bars)
        return set(closing_bars(tune, bar_times(tune)))

    assert closing(*first, *again) == {4, 8}
    assert closing("D", "G", "Em", "D", *again) == {8}
    assert closing(*first, "D", "G", "A", "D") == {8}
    assert closing("D", "G", "A", bar("D", repeat_times=2)) == {4, 8}


@pytest.mark.parametrize(
    ("length", "expected"), [(QUARTER, 625), (QUARTER // 7, 89), (3 * QUARTER, 1875), (1, 0)]
)
def test_milliseconds_at_96_to_the_minute(length: int, expected: int) -> None:
    """60000 / 96 = 625 ms a quarter."""
    assert milliseconds(tune_of("D"), 0, length) == expected


def test_the_tempo_changes_where_the_bar_says() -> None:
    tune = tune_of("D", bar("D", tempo=Tempo(QUARTER, 120)), "D")
    assert [milliseconds(tune, written, QUARTER) for written in (0, 1, 2)] == [625, 500, 500]


# What is asked


@pytest.mark.parametrize(
    ("manner", "pattern", "expected"),
    [
        ("held", "bass-then-strum",
         "1+0 B-- root|1+1 -xx|1+3 -xx|2+0 B-- root|2+1 -xx|2+2 B-- root|2+3 -xx"),
        ("roots", "bass-only", "1+0 B-- root|1+2 B-- root|2+0 B-- root|2+2 B-- root"),
        ("alternating", "bass-only", "1+0 B-- root|1+2 B-- fifth|2+0 B-- root|2+2 B-- root"),
        ("alternating-fourth", "full-strum",
         "1+0 Bxx root|1+1 bxx|1+2 Bxx alternate fourth|1+3 bxx|"
         "2+0 Bxx root|2+1 bxx|2+2 Bxx root|2+3 bxx"),
        ("walking", "bass-only",
         "1+0 B-- root|1+1 B-- …|1+2 B-- tone|1+3 B-- …|"
         "2+0 B-- tone|2+1 B-- …|2+2 B-- root|2+3 B-- …"),
        ("runs", "bass-only",
         "1+0 B-- root|1+2 B-- fifth|2+0 B-- root|2+1 B-- …|2+1.5 B-- …|2+2 B-- root"),
        ("free", "bass-only",
         "1+0 B-- tone|1+1 B-- …|1+2 B-- tone|1+3 B-- …|"
         "2+0 B-- tone|2+1 B-- …|2+2 B-- tone|2+3 B-- …"),
    ],
)  # fmt: skip
def test_what_each_manner_asks_for_in_four(manner: str, pattern: str, expected: str) -> None:
    """D for six beats, then G for two."""
    asks = asks_of(tune_of("D", ". . G ."), style_of(manner, pattern), 3)
    assert told(asks) == expected.split("|")


@pytest.mark.parametrize(
    ("manner", "metre", "expected"),
    [
        ("alternating", (3, 4), "1+0 root|2+0 fifth|3+0 root"),
        ("alternating", (6, 8), "1+0 root|1+1.5 fifth|2+0 root|2+1.5 fifth|3+0 root|3+1.5 fifth"),
        ("alternating", (9, 8), "1+0 root|2+0 fifth|3+0 root"),
        ("runs", (3, 4), "1+0 root|2+0 fifth|2+1 …|2+1.5 …|2+2 …|2+2.5 …|3+0 root"),
        ("runs", (6, 8), "1+0 root|1+1.5 fifth|2+0 tone|2+0.5 …|2+1 …|2+1.5 …|2+2 …|2+2.5 …|"
         "3+0 root|3+1.5 fifth"),
    ],
)  # fmt: skip
def test_bass_in_other_metres(manner: str, metre: tuple[int, int], expected: str) -> None:
    """D for two bars, then, where a run needs somewhere to go, G."""
    last = bar("G" if manner == "runs" else "", Metre(*metre))
    tune = tune_of(bar("D", Metre(*metre)), bar("", Metre(*metre)), last)
    asks = asks_of(tune, style_of(manner, "bass-only"), 3)
    assert [line.replace(" B--", "") for line in told(asks)] == expected.split("|")


def test_a_slash_on_the_fifth_is_answered_by_the_root() -> None:
    asks = asks_of(tune_of("D/A"), style_of("alternating", "bass-only"), 3)
    assert told(asks) == ["1+0 B-- slash bass", "1+2 B-- root"]


def test_a_slash_on_the_fourth_is_answered_by_the_root() -> None:
    asks = asks_of(tune_of("D/G"), style_of("alternating-fourth", "bass-only"), 3)
    assert told(asks) == ["1+0 B-- slash bass", "1+2 B-- root"]


def test_bar_about_begins_with_the_first_bar_that_the_chord_meets() -> None:
    waltz = Metre(3, 4)
    tune = tune_of(bar("G . D", waltz), bar("", waltz), bar("", waltz))
    asks = asks_of(tune, style_of("alternating", "bass-only"), 3)
    assert told(asks) == ["1+0 B-- root", "1+2 B-- root", "2+0 B-- root", "3+0 B-- fifth"]


def test_a_rest_is_written_bar_by_bar() -> None:
    asks = asks_of(tune_of("D . - .", "", "G"), style_of("roots", "bass-only"), 3)
    assert told(asks) == ["1+0 B-- root", "1+2 ---", "2+0 ---", "3+0 B-- root", "3+2 B-- root"]


def test_an_optional_bass_note_and_the_melody_string_may_be_left_out() -> None:
    asks = asks_of(tune_of("D"), style_of("free"), 3)
    assert asks[0].strikes == ((True, False, False),)
    assert asks[1].strikes == (
        (False, True, True), (True, True, True), (False, True, False), (True, True, False),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("index", "fields"),
    [
        (2, {"fallback": frozenset()}),
        (2, {"roles": frozenset({"root", "fifth"})}),
        (0, {"fallback": frozenset({"third"})}),
        (14, {"roles": frozenset({"root", "fifth"})}),
        (14, {"fallback": frozenset({"fifth"})}),
    ],
)
def test_a_moment_cannot_ask_the_bass_for_something_else(
    index: int, fields: dict[str, frozenset[str]]
) -> None:
    """What the bass should play has a price where it is missed, so the moment's word counts."""
    spoiled = with_moment(alternating(), index, **fields)
    assert "asked" in {fault.rule for fault in check(spoiled)}


# The program's moments, seen by the checker


def _faults(name: str, manner: str, pattern: str, no_chord: str) -> list[str]:
    tune, style = read(str(corpus.path(name))), style_of(manner, pattern, no_chord=no_chord)
    return _faults_of(tune, style)


def _faults_of(tune: Tune, style: Style) -> list[str]:
    moments = moments_of(tune, style, 3)
    base = alternating()
    idle = (base.choices[0],) * len(moments)
    arrangement = Arrangement(
        tune, instrument(), base.hand, style, Weights(), moments, idle, Proof(UNPROVEN, 0, 0)
    )
    asks = asks_of(tune, style, 3)
    faults = list(times_right(arrangement, asks))
    faults = faults or list(moments_true(Passage(arrangement, asks)))
    return [str(fault) for fault in faults]


@pytest.mark.parametrize("manner", manners_in("song"))
@pytest.mark.parametrize("name", corpus.names())
def test_the_moments_of_every_tune_are_what_the_tune_says(name: str, manner: str) -> None:
    assert _faults(name, manner, "full-strum", "rest") == []


@pytest.mark.slow
@pytest.mark.parametrize("no_chord", ["rest", "carry"])
@pytest.mark.parametrize("pattern", [hand.name for hand in right_hands()])
@pytest.mark.parametrize("name", corpus.names())
def test_the_moments_of_every_pattern(name: str, pattern: str, no_chord: str) -> None:
    for manner in manners_in("song"):
        assert _faults(name, manner, pattern, no_chord) == [], manner


def test_short_bars_in_a_chain_count_on() -> None:
    """Half bars two by two: each second one fills up the one before."""
    half = {"length": 2 * BEAT, "key": Key("D")}
    tune = tune_of(bar("D"), bar("G", **half), bar("", **half), bar("A", **half), bar("", **half))
    assert [time.phase // BEAT for time in bar_times(tune)] == [0, 0, 2, 0, 2]
    style = style_of("walking", "bass-only")
    first = [m.downbeat for m in moments_of(tune, style, 3) if m.bar > 1 and m.offset == 0]
    assert first == [True, False, True, False]


@pytest.mark.parametrize("manner", manners_in("song"))
def test_a_rest_that_begins_afresh_leads_on_as_one(manner: str) -> None:
    """At a section within a rest the music begins afresh; the next bass note is a chord's all the
    same, or there is none."""
    within = tune_of("D", "-", bar("-", section="B"), "D", "-", bar("-", section="C"))
    style = style_of(manner, "bass-then-strum")
    rests = [m.leads for m in moments_of(within, style, 3) if m.chord is None]
    assert rests == [True, True, False, False]
    assert _faults_of(within, style) == []
