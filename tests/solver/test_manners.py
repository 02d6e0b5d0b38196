"""What each bass manner asks for in each metre, bar by bar, as a player of the trade expects.

Sources by their titles, as in TRADE "Bass": *Walking the Bass*, *Components of bluegrass* (roots on
the strong beats; bass on 1 and 3, walking between chords), *Bass Lessons!* (root and fifth bar
about in three; root on 1), Lehmann, public domain (second species: dissonance on weak beats only).
C: common practice, no source. D7: the design's section on manners.

How a bar is written: ``0:R 2:5 or R`` is the root at the bar's beginning and two quarters later the
fifth (or the root where no fret has it); ``4`` the fourth, ``/`` the note after the slash, ``tone``
any tone of the chord, ``any`` foreign notes too. All tunes here are D D G D, a chord a bar, so the
D lasts two bars, and the last bar ends on its root.
"""

import pytest

from scoring.moment import FOREIGN, Moment
from solver.manners import MANNERS
from solver.style import manners_in
from tests.solver.laid_out import at, bar, bass, lay, tune
from tune.chord import parse_chord
from tune.time import QUARTER

METRES = ("2/2", "2/4", "3/4", "4/4", "6/8", "9/8", "12/8")
HALVES = {"2/2": "2", "2/4": "1", "4/4": "2", "6/8": "3/2", "12/8": "3"}
"""Quarters from the bar's beginning to its half, where a bar has one."""


def laid(metre: str, manner: str, hand: str = "bass-then-strum") -> list[str]:
    return bass(lay(tune(metre, "D", "", "G", "D"), manner, hand))


def test_the_manners_by_name() -> None:
    assert list(MANNERS) == [
        "held", "roots", "alternating", "alternating-fourth", "walking", "runs", "figure",
        "free",
    ]  # fmt: skip
    assert all(len(meaning) > 10 for meaning, _ in MANNERS.values())


@pytest.mark.parametrize("metre", METRES)
def test_held_strikes_the_root_once_a_bar_and_lets_it_ring(metre: str) -> None:
    # D7: held, the root rings
    assert laid(metre, "held") == ["0:R"] * 4
    moments = lay(tune(metre, "D", "", "G", "D"), "held")
    assert all(moment.rings for moment in moments)


@pytest.mark.parametrize("metre", METRES)
def test_roots_strike_the_root_wherever_the_right_hand_has_a_bass_note(metre: str) -> None:
    # Components of bluegrass: roots on the strong beats, 1 and 3 in four
    half = f" {HALVES[metre]}:R" if metre in HALVES else ""
    assert laid(metre, "roots") == ["0:R" + half] * 4


@pytest.mark.parametrize(("manner", "sign"), [("alternating", "5"), ("alternating-fourth", "4")])
@pytest.mark.parametrize("metre", sorted(HALVES))
def test_alternation_at_the_half_bar(metre: str, manner: str, sign: str) -> None:
    # D7: at the half bar in 2/2, 2/4, 4/4, 6/8, 12/8; two in a bar of six-eight
    half = HALVES[metre]
    swing = f"0:R {half}:{sign} or R"
    assert laid(metre, manner) == [swing, swing, swing, f"0:R {half}:R"]


@pytest.mark.parametrize(("manner", "sign"), [("alternating", "5"), ("alternating-fourth", "4")])
@pytest.mark.parametrize("metre", ["3/4", "9/8"])
def test_in_three_root_and_fifth_take_bar_about(metre: str, manner: str, sign: str) -> None:
    # Bass Lessons!: root on 1; root and fifth bar about; a chord of one bar has its root
    assert laid(metre, manner) == ["0:R", f"0:{sign} or R", "0:R", "0:R"]
    long = bass(lay(tune(metre, "D", "", "", "", "", "D", "G"), manner))
    assert long == ["0:R", f"0:{sign} or R"] * 3 + ["0:R"]


@pytest.mark.parametrize(
    ("metre", "long", "short", "last"),
    [
        ("2/2", "0:tone 2:any", "0:R 2:any", "0:R 2:R"),
        ("2/4", "0:tone 1:any", "0:R 1:any", "0:R 1:R"),
        ("3/4", "0:tone 1:any 2:any", "0:R 1:any 2:any", "0:R 1:any 2:R"),
        ("6/8", "0:tone 3/2:any", "0:R 3/2:any", "0:R 3/2:R"),
        ("9/8", "0:tone 3/2:any 3:any", "0:R 3/2:any 3:any", "0:R 3/2:any 3:R"),
        ("4/4", "0:tone 1:any 2:tone 3:any", "0:R 1:any 2:tone 3:any", "0:R 1:any 2:tone 3:R"),
        (
            "12/8",
            "0:tone 3/2:any 3:tone 9/2:any",
            "0:R 3/2:any 3:tone 9/2:any",
            "0:R 3/2:any 3:tone 9/2:R",
        ),
    ],
)
def test_walking_has_a_note_on_every_beat(metre: str, long: str, short: str, last: str) -> None:
    # Walking the Bass; root where the chord begins, its tones on strong beats (1, and 3 of four),
    # foreign notes on weak beats only (Lehmann); 1-2-3 in three
    assert laid(metre, "walking") == [short, long, short, last]


@pytest.mark.parametrize(
    ("metre", "first", "run_of_two", "run_of_one", "last"),
    [
        # eighths over the last beat of a bar's chord, the last two of a longer one; thirds of the
        # beat in compound metres, halves of it in 2/2 (issue: half beats into the next root)
        ("4/4", "0:R 2:5 or R", "0:R 2:tone 5/2:any 3:any 7/2:any", "0:R 2:5 or R 3:any 7/2:any",
         "0:R 2:R"),
        ("3/4", "0:R", "0:5 or R 1:any 3/2:any 2:any 5/2:any", "0:R 2:any 5/2:any", "0:R"),
        ("2/4", "0:R 1:5 or R", "0:tone 1/2:any 1:any 3/2:any", "0:R 1:any 3/2:any", "0:R 1:R"),
        ("2/2", "0:R 2:5 or R", "0:tone 1:any 2:any 3:any", "0:R 2:any 3:any", "0:R 2:R"),
        ("6/8", "0:R 3/2:5 or R", "0:tone 1/2:any 1:any 3/2:any 2:any 5/2:any",
         "0:R 3/2:any 2:any 5/2:any", "0:R 3/2:R"),
        ("9/8", "0:R", "0:5 or R 3/2:any 2:any 5/2:any 3:any 7/2:any 4:any",
         "0:R 3:any 7/2:any 4:any", "0:R"),
        ("12/8", "0:R 3:5 or R", "0:R 3:tone 7/2:any 4:any 9/2:any 5:any 11/2:any",
         "0:R 3:5 or R 9/2:any 5:any 11/2:any", "0:R 3:R"),
    ],
)  # fmt: skip
def test_runs_lead_into_the_next_root(
    metre: str, first: str, run_of_two: str, run_of_one: str, last: str
) -> None:
    assert laid(metre, "runs") == [first, run_of_two, run_of_one, last]


def test_a_run_and_the_root_it_runs_into_are_one() -> None:
    moments = lay(tune("4/4", "D", "", "G", "D"), "runs")
    marked = [f"{m.bar}:{m.offset / QUARTER:g}" for m in moments if m.run]
    assert marked == ["2:2", "2:2.5", "2:3", "2:3.5", "3:0", "3:3", "3:3.5", "4:0"]


@pytest.mark.parametrize("chords", [("D", "D/D", "D"), ("D", "N.C.", "D"), ("D", "", "D")])
def test_no_run_into_the_same_bass_or_into_silence(chords: tuple[str, ...]) -> None:
    assert not any(moment.run for moment in lay(tune("4/4", *chords), "runs"))


def test_no_run_over_a_chord_of_one_beat() -> None:
    assert bass(lay(tune("4/4", "D G@3", "D", "D"), "runs"))[0] == "0:R 2:tone 5/2:any 3:R"
    assert at(lay(tune("4/4", "D G@3", "D", "D"), "runs"), 1, 3).run is not False
    short = lay(tune("3/4", "D G@2", "A", "D"), "runs")
    assert bass(short) == ["0:R 1:any 3/2:any 2:R", "0:R 2:any 5/2:any", "0:R"]


@pytest.mark.parametrize("metre", METRES)
def test_free_asks_for_nothing_but_chord_tones_on_strong_beats(metre: str) -> None:
    moments = lay(tune(metre, "D", "", "G", "D"), "free")
    for moment in moments:
        if moment.bar < 4 and moment.strong and moment.strikes[0][0]:
            assert moment.roles == {"root", "third", "fifth"}
    assert not any(moment.fallback for moment in moments)


def test_free_may_add_a_bass_note_on_the_beats_between() -> None:
    moments = lay(tune("4/4", "D", "", "G", "D"), "free")
    between = at(moments, 1, 1)
    assert between.strikes == (
        (False, True, True), (True, True, True), (False, True, False), (True, True, False),
    )  # fmt: skip
    assert set(FOREIGN) < between.roles
    # where the pattern has a bass note it is struck
    assert at(moments, 1, 2).strikes == ((True, False, False),)


@pytest.mark.parametrize("metre", METRES)
@pytest.mark.parametrize("manner", [name for name in manners_in("song") if name != "free"])
def test_every_chord_begins_on_its_root(metre: str, manner: str) -> None:
    # hard in every manner but free (D7)
    for hand in ("bass-then-strum", "full-strum", "bass-only", "broken"):
        moments = lay(tune(metre, "D", "", "G", "A/C#", "D"), manner, hand)
        begins = [moment for moment in moments if moment.change]
        assert [moment.bar for moment in begins] == [1, 3, 4, 5]
        assert [sorted(moment.roles) for moment in begins] == [
            ["root"], ["root"], ["slash bass"], ["root"],
        ]  # fmt: skip
        assert all(moment.strikes[0][0] and not moment.fallback for moment in begins)


def roles_after(manner: str, licence: str) -> list[Moment]:
    """Moments in all metres where that role may be struck."""
    found = []
    for metre in METRES:
        for moment in lay(tune(metre, "D", "", "G", "D"), manner):
            if licence in moment.roles | moment.fallback:
                found.append(moment)
    return found


@pytest.mark.parametrize("manner", manners_in("song"))
def test_the_fourth_is_licensed_in_its_manner_alone(manner: str) -> None:
    assert bool(roles_after(manner, "alternate fourth")) is (manner == "alternating-fourth")


@pytest.mark.parametrize("manner", manners_in("song"))
def test_foreign_notes_stand_only_where_the_books_allow(manner: str) -> None:
    # Lehmann: only on weak beats
    foreign = [m for role in FOREIGN for m in roles_after(manner, role)]
    assert bool(foreign) is (manner in ("walking", "runs", "free"))
    assert not any(moment.strong or moment.change or moment.downbeat for moment in foreign)


@pytest.mark.parametrize("manner", ["walking", "runs", "free"])
def test_foreign_notes_come_from_the_key(manner: str) -> None:
    d_major = {parse_chord(name).bass_pitch_class for name in ["D", "E", "F#", "G", "A", "B", "C#"]}
    assert all(m.scale == d_major for role in FOREIGN for m in roles_after(manner, role))


# Slash chords.


@pytest.mark.parametrize(
    ("chord", "manner", "expected"),
    [
        ("D/F#", "alternating", "0:/ 2:5 or /"),
        ("C/D", "alternating", "0:/ 2:5 or /"),  # a slash bass foreign to the chord
        ("D/A", "alternating", "0:/ 2:R or /"),  # the fifth is there already, so the root answers
        ("D/D", "alternating", "0:/ 2:5 or /"),
        ("D/F#", "alternating-fourth", "0:/ 2:4 or /"),
        ("D/G", "alternating-fourth", "0:/ 2:R or /"),  # the same with the fourth
        ("D/A", "roots", "0:/ 2:/"),
        ("D/F#", "held", "0:/"),
        ("D/F#", "walking", "0:/ 1:any 2:tone 3:any"),
        ("D/F#", "free", "0:tone 2:tone"),
    ],
)
def test_a_slash_chord_has_its_own_bass(chord: str, manner: str, expected: str) -> None:
    assert bass(lay(tune("4/4", chord, "G"), manner))[0] == expected


def test_a_slash_bass_is_among_the_tones() -> None:
    moments = lay(tune("4/4", "C/D", "G"), "walking")
    assert at(moments, 1, 2).roles == {"root", "third", "fifth", "slash bass"}
    assert at(moments, 1, 0).role_pitch_class("slash bass") == 2


def test_a_waltz_on_a_slash_chord() -> None:
    assert bass(lay(tune("3/4", "D/A", "", "D/F#", "", "D"))) == [
        "0:/", "0:R or /", "0:/", "0:5 or /", "0:R",
    ]  # fmt: skip


# The last bar.


@pytest.mark.parametrize("metre", METRES)
@pytest.mark.parametrize("manner", manners_in("song"))
@pytest.mark.parametrize("hand", ["bass-then-strum", "full-strum", "bass-only", "broken"])
def test_the_last_bar_ends_on_the_root_every_time_it_is_played(
    metre: str, manner: str, hand: str
) -> None:
    # the whole tune twice; two bars under its last chord
    for chord, root in (("D", "root"), ("D/F#", "slash bass")):
        ending = bar(3, metre, chord), bar(4, metre, "", repeat_times=2)
        moments = lay(tune(metre, "G", "A", *ending), manner, hand)
        assert [m.bar for m in moments if m.downbeat] == list(range(1, 9))
        for number in (4, 8):
            new = [m for m in moments if m.bar == number and not m.keeps]
            last_asked = max(i for i, m in enumerate(new) if m.strikes[0][0])
            # whatever may be struck from there on is the root
            assert all(m.roles == {root} for m in new[last_asked:] if m.roles), (chord, number)
            assert not any(m.fallback for m in new[last_asked:])


def test_the_bars_before_the_last_do_not_close() -> None:
    # the same chord in the bar before, and a passage that ends otherwise than the tune does
    assert bass(lay(tune("4/4", "D", "G", "D", "", "D"))) == ["0:R 2:5 or R"] * 4 + ["0:R 2:R"]
    halves = tune("4/4", "D", "G", "A", bar(4, "4/4", "G", repeat_times=2), "D")
    assert bass(lay(halves)) == ["0:R 2:5 or R"] * 8 + ["0:R 2:R"]


def test_a_last_bar_without_a_chord_is_silent() -> None:
    moments = lay(tune("4/4", "D", "N.C."))
    assert bass(moments) == ["0:R 2:5 or R", ""]
