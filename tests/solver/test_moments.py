"""From bars to moments: pickups, split bars, N.C., repeats, changes of metre and tempo.

Common practice, no source, except where a line names one. Bars are written as in ``test_manners``.
"""

import pytest

from solver.errors import ArrangeError, StyleError
from solver.moments import moments_of
from solver.style import Style
from tests.solver.laid_out import at, bar, bass, lay, strokes, tune
from tune.key import Key
from tune.time import QUARTER, Tempo

NAMES = ("held", "roots", "alternating", "walking", "runs")


# Split bars and changes off the pattern.


def test_a_split_bar_has_both_roots() -> None:
    assert bass(lay(tune("4/4", "D G@2", "A", "D"))) == ["0:R 2:R", "0:R 2:5 or R", "0:R 2:R"]
    assert bass(lay(tune("4/4", "D G@2", "A", "D"), "walking"))[0] == "0:R 1:any 2:R 3:any"


@pytest.mark.parametrize(
    ("manner", "first", "second"),
    [
        ("held", "0:R 3:R", "0:R 1:R"),
        ("roots", "0:R 2:R 3:R", "0:R 1:R 2:R"),
        ("alternating", "0:R 2:5 or R 3:R", "0:R 1:R 2:5 or R"),
        ("walking", "0:R 1:any 2:tone 3:R", "0:R 1:R 2:tone 3:any"),
        ("runs", "0:R 2:tone 5/2:any 3:R", "0:R 1:R 2:5 or R 3:any 7/2:any"),
    ],
)
def test_a_change_off_the_pattern_has_its_root_where_it_comes(
    manner: str, first: str, second: str
) -> None:
    assert bass(lay(tune("4/4", "D G@3", "A D@1", "G"), manner))[:2] == [first, second]


def test_a_change_between_the_beats() -> None:
    moments = lay(tune("4/4", "D G@3/2", "D"))
    assert bass(moments)[0] == "0:R 3/2:R 2:5 or R"
    assert strokes(moments)[0] == "0:b.. 1:.um 3/2:b.. 2:b.. 3:.um"
    change = at(moments, 1, "3/2")
    assert (change.change, change.downbeat, change.strong) == (True, False, False)


def test_in_three_the_count_begins_with_the_first_bar_that_a_chord_meets() -> None:
    # the A on 3 leads into its bar, which then has the root on 1 (Bass Lessons!: root on 1)
    assert bass(lay(tune("3/4", "D A@2", "A", "", "D"))) == [
        "0:R 2:R", "0:R", "0:5 or R", "0:R",
    ]  # fmt: skip


def test_a_chord_written_again_goes_on() -> None:
    again, once = tune("4/4", "D", "D D@2", "D", "G"), tune("4/4", "D", "", "", "G")
    for name in NAMES:
        assert bass(lay(again, name)) == bass(lay(once, name))
    assert [m.bar for m in lay(again) if m.change] == [1, 4]


def test_a_chord_spelled_anew_goes_on() -> None:
    # one chord by ear, such as comes of transposing through a change of key
    for one, other in (("D#", "Eb"), ("G#m7", "Abm7"), ("D/F#", "D/Gb")):
        assert [m.bar for m in lay(tune("4/4", one, other, "D")) if m.change] == [1, 3]
    assert [m.bar for m in lay(tune("4/4", "D#", "Ebm", "Eb/Bb")) if m.change] == [1, 2, 3]


def test_a_bass_note_falls_with_the_strum_where_the_chord_changes_on_it() -> None:
    assert strokes(lay(tune("4/4", "D G@3", "D")))[0] == "0:b.. 1:.um 2:b.. 3:bum"


# Pickups.


@pytest.mark.parametrize("manner", NAMES)
def test_a_pickup_with_its_chord(manner: str) -> None:
    pickup = tune("4/4", bar(0, "4/4", "A", length=1), "D", "G", "D")
    plain = tune("4/4", "D", "G", "D")
    assert bass(lay(pickup, manner))[0] == "0:R"
    assert bass(lay(pickup, manner))[1:] == bass(lay(plain, manner))


@pytest.mark.parametrize("manner", [*NAMES, "alternating-fourth", "free"])
@pytest.mark.parametrize("metre", ["2/4", "3/4", "4/4", "6/8"])
def test_the_first_full_bar_begins_on_the_root_after_a_pickup_of_the_same_chord(
    metre: str, manner: str
) -> None:
    pickup = tune(metre, bar(0, metre, "D", length="1/2"), "D", "", "", "G")
    assert bass(lay(pickup, manner))[1:] == bass(lay(tune(metre, "D", "", "", "G"), manner))


def test_a_pickup_without_chord_is_silent() -> None:
    moments = lay(tune("4/4", bar(0, "4/4", "", length=1), "D", "G"))
    assert (moments[0].chord, moments[0].length, strokes(moments)[0]) == (None, QUARTER, "0:...")
    assert moments[1].change
    assert moments[0].leads


def test_a_pickup_is_the_end_of_a_bar() -> None:
    # two quarters of four: beats 3 and 4, the pattern's bass and strum; no downbeat
    moments = lay(tune("4/4", bar(0, "4/4", "A", length=2), "D", bar(2, "4/4", "D", length=2)))
    assert strokes(moments)[0] == "0:b.. 1:.um"
    assert [m.downbeat for m in moments if m.bar == 1] == [False, False]
    assert at(moments, 1, 0).half_bar
    assert at(moments, 1, 0).strong  # beat 3 of four
    # the last bar is its complement, a beginning: beats 1 and 2
    assert strokes(moments)[-1] == "0:b.. 1:.um"
    assert at(moments, 3, 0).downbeat


def test_a_pickup_within_a_repeat_is_played_as_one_each_time() -> None:
    song = tune(
        "3/4",
        bar(0, "3/4", "D", length=1, repeat_start=True),
        "D",
        "",
        bar(3, "3/4", "", length=2, repeat_times=2),
    )
    laid = bass(lay(song, "walking"))
    assert laid[4] == laid[0] == "0:R"
    assert laid[5:7] == laid[1:3] == ["0:R 1:any 2:any", "0:tone 1:any 2:any"]
    assert [m.downbeat for m in lay(song) if m.offset == 0] == [False, True, True, True] * 2


def test_short_bars_in_a_row_fill_up_one_bar_after_another() -> None:
    # 4 | 2 2 | 2 2 quarters: each second half completes the first, and none completes two
    halves = [bar(number, "4/4", length=2) for number in (2, 3, 4, 5)]
    moments = lay(tune("4/4", "D", *halves, "G"))
    assert [m.downbeat for m in moments if m.offset == 0] == [True, True, False, True, False, True]
    assert [m.strong for m in moments if m.offset == 0] == [True] * 6


# N.C.


def test_no_chord_rests_bar_by_bar() -> None:
    moments = lay(tune("4/4", "D", "N.C. G@2", "N.C.", "", "D"))
    assert bass(moments) == ["0:R 2:5 or R", "2:R", "", "", "0:R 2:R"]
    rests = [m for m in moments if m.chord is None]
    assert [(m.bar, m.length // QUARTER) for m in rests] == [(2, 2), (3, 4), (4, 4)]
    for rest in rests:
        assert rest.strikes == ((False, False, False),)
        assert rest.plays == (False, False, False)
        assert rest.roles == frozenset()
        assert not any((rest.judged, rest.damped, rest.change, rest.moves, rest.rings))


def test_no_chord_carries_the_bass_on_where_the_player_says_so() -> None:
    moments = lay(tune("4/4", "D", "N.C. G@2", "N.C.", "", "D"), no_chord="carry")
    assert bass(moments) == [
        "0:R 2:5 or R", "0:R 2:R", "0:R 2:5 or R", "0:R 2:5 or R", "0:R 2:R",
    ]  # fmt: skip
    assert [m.bar for m in moments if m.change] == [1, 2, 5]


def test_nothing_can_be_carried_before_the_first_chord() -> None:
    assert bass(lay(tune("4/4", "N.C.", "", "D"), no_chord="carry")) == ["", "", "0:R 2:R"]


def test_after_a_rest_the_same_chord_begins_anew() -> None:
    moments = lay(tune("3/4", "D", "N.C.", "D", "", "G"))
    assert bass(moments) == ["0:R", "", "0:R", "0:5 or R", "0:R"]
    assert [m.bar for m in moments if m.change] == [1, 3, 5]


# Repeats, endings, sections.


def test_a_repeat_begins_afresh() -> None:
    song = tune(
        "3/4", bar(1, "3/4", "D", repeat_start=True), "", "", bar(4, "3/4", "", repeat_times=2)
    )
    once = ["0:R 1:any 2:any", *["0:tone 1:any 2:any"] * 2, "0:tone 1:any 2:R"]
    assert bass(lay(song, "walking")) == once * 2
    assert [m.bar for m in lay(song) if m.change] == [1, 5]


def test_a_repeat_without_a_start_sign_is_alike_both_times() -> None:
    # the second repeat goes back to the bar after the first one's end
    song = tune(
        "3/4",
        bar(1, "3/4", "D", repeat_times=2),
        *["D", "", ""],
        bar(5, "3/4", "", repeat_times=2),
    )
    second = ["0:R", "0:5 or R", "0:R", "0:R"]
    assert bass(lay(song)) == ["0:R", "0:R", *second, *second]
    assert [m.bar for m in lay(song) if m.change] == [1, 2, 3, 7]


def test_endings_begin_afresh_where_they_are_jumped_to() -> None:
    song = tune(
        "4/4",
        bar(1, "4/4", "D", repeat_start=True),
        bar(2, "4/4", "G", endings=(1,), repeat_times=2),
        bar(3, "4/4", "D", endings=(2,)),
    )
    moments = lay(song, "walking")
    assert [(m.written, m.change) for m in moments if m.downbeat] == [
        (0, True), (1, True), (0, True), (2, True),
    ]  # fmt: skip


def test_a_section_begins_afresh() -> None:
    song = tune("4/4", "D", bar(2, "4/4", "", section="B"), "", "D")
    assert [m.bar for m in lay(song) if m.change] == [1, 2]
    assert bass(lay(song, "walking"))[1] == "0:R 1:any 2:tone 3:any"


# Metre, key and tempo may change.


def test_a_new_metre_has_its_own_pattern_and_begins_on_the_root() -> None:
    moments = lay(tune("4/4", "D", bar(2, "3/4", ""), bar(3, "3/4", ""), "", bar(5, "6/8", "")))
    assert bass(moments) == ["0:R 2:5 or R", "0:R", "0:5 or R", "0:R 2:5 or R", "0:R 3/2:R"]
    assert [m.bar for m in moments if m.change] == [1, 2, 4, 5]


def test_a_new_key_gives_foreign_notes_its_scale() -> None:
    song = tune("4/4", "D", bar(2, "4/4", "", key=Key("G")), "D")
    moments = lay(song, "walking")
    assert at(moments, 1, 1).scale == Key("D").pitch_classes
    assert at(moments, 2, 1).scale == Key("G").pitch_classes


def test_a_new_tempo_takes_its_own_time() -> None:
    song = tune("4/4", "D", bar(2, "4/4", "", tempo=Tempo(QUARTER, 60)), "D", tempo=120)
    assert [m.ms for m in lay(song)] == [500] * 4 + [1000] * 8
    # in six-eight a beat of three eighths at 80: an eighth lasts 250 ms
    six = tune("6/8", bar(1, "6/8", "D", tempo=Tempo(QUARTER * 3 // 2, 80)))
    assert [m.ms for m in lay(six)] == [500, 250, 500, 250]


# Flags.


def test_downbeat_strong_beat_and_half_bar() -> None:
    moments = lay(tune("4/4", "D", "D"), "walking")
    flags = [(m.downbeat, m.strong, m.half_bar) for m in moments if m.bar == 1]
    assert flags == [
        (True, True, False), (False, False, False), (False, True, True), (False, False, False),
    ]  # fmt: skip
    three = [(m.downbeat, m.strong, m.half_bar) for m in lay(tune("3/4", "D"), "walking")]
    assert three == [(True, True, False), (False, False, False), (False, False, False)]


@pytest.mark.parametrize(
    ("metre", "half"), [("2/4", 1), ("2/2", 2), ("4/4", 2), ("6/8", 1.5), ("12/8", 3)]
)
def test_the_half_bar_of_each_metre(metre: str, half: float) -> None:
    moments = lay(tune(metre, "D"), "walking")
    assert [m.offset / QUARTER for m in moments if m.half_bar] == [half]


def test_the_last_moment_before_a_chord_leads_to_it() -> None:
    moments = lay(tune("4/4", "D", "G A@2", "N.C.", "D"), "walking")
    leads = [(m.bar, m.offset // QUARTER) for m in moments if m.leads]
    assert leads == [(1, 3), (2, 1), (3, 0)]  # not into silence, not out of the tune


def test_full_strums_are_judged_and_bass_notes_alone_are_not() -> None:
    moments = lay(tune("4/4", "D", "G"))
    assert [m.judged for m in moments] == [False, True, False, True] * 2
    assert all(m.judged for m in lay(tune("4/4", "D", "G"), hand="full-strum"))
    assert not any(m.judged for m in lay(tune("4/4", "D", "G"), hand="bass-only"))


def test_broken_chords_are_judged_at_their_last_string_before_the_bass() -> None:
    # bass, middle, melody, middle | bass, middle, melody, middle
    moments = lay(tune("4/4", "D", "G"), hand="broken")
    judged = [(m.bar, m.offset / QUARTER) for m in moments if m.judged]
    assert judged == [(1, 1.5), (1, 3.5), (2, 1.5), (2, 3.5)]
    three = [(m.bar, m.offset / QUARTER) for m in lay(tune("3/4", "D"), hand="broken") if m.judged]
    assert three == [(1, 2.5)]
    split = lay(tune("4/4", "D G@1", "D"), hand="broken")
    # the D before the change has one string, and is judged by it
    assert [(m.bar, m.offset / QUARTER) for m in split if m.judged][:2] == [(1, 0.5), (1, 1.5)]


def test_a_right_hand_that_damps_damps_every_sounding_moment() -> None:
    moments = lay(tune("4/4", "D", "N.C.", "D"), "held", "damped-bass-then-strum")
    assert [m.damped for m in moments if m.chord] == [True] * 6
    assert not any(m.rings for m in moments)  # what is damped cannot ring
    assert not any(m.damped for m in lay(tune("4/4", "D"), "held"))


def test_strings_struck_again_with_a_full_strum_keep_their_bass_note() -> None:
    moments = lay(tune("4/4", "D", "D"), hand="full-strum")
    assert strokes(moments)[0] == "0:bum 1:bum 2:bum 3:bum"
    assert [m.keeps for m in moments] == [False, True, False, True] * 2
    # what the bass may repeat is what it has just played
    assert at(moments, 1, 1).roles == {"root"}
    assert at(moments, 1, 3).roles == {"fifth", "root"}
    assert not any(m.keeps for m in lay(tune("4/4", "D", "D"), "walking", "full-strum"))


def test_a_bass_that_rings_on_knows_what_it_is() -> None:
    moments = lay(tune("4/4", "D", "D"))
    assert at(moments, 1, 1).roles == {"root"}
    assert at(moments, 1, 3).roles == {"fifth", "root"}


def test_the_melody_string_may_be_left_out_of_a_full_strum() -> None:
    moments = lay(tune("4/4", "D", "D"))
    assert at(moments, 1, 0).strikes == ((True, False, False),)
    assert at(moments, 1, 1).strikes == ((False, True, True), (False, True, False))


def test_four_courses_are_strummed_alike() -> None:
    four = moments_of(tune("4/4", "D"), Style(), 4)
    assert [m.strikes[0] for m in four[:2]] == [(True, *[False] * 3), (False, *[True] * 3)]
    assert all(len(m.plays) == 4 for m in four)


# What cannot be laid out.


def test_a_tune_without_chords() -> None:
    with pytest.raises(
        ArrangeError,
        match=r"moving bass needs them: .*, or take --chords proposed or --chords drone",
    ):
        lay(tune("4/4", "", "N.C."))


def test_a_metre_that_the_right_hand_does_not_know() -> None:
    with pytest.raises(StyleError, match="bass-then-strum has no pattern for 5/4, only for 2/2, "):
        lay(tune("5/4", "D"))
    with pytest.raises(StyleError, match="for 3/8"):
        lay(tune("4/4", "D", bar(2, "3/8", "D")))
