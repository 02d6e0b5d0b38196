"""Bass parts: sound ones pass, and each way to spoil one is caught by its own rule.

The parts are made by hand (``bass_passages``); what a bass part is is common practice, no source.
"""

from dataclasses import replace

import pytest

from fretboard.presets import instrument
from solver.style import Style
from tests.undersong.bass_passages import BASS_PARTS, breathing, figured, filled
from tests.undersong.passages import bar, style_of, tune_of
from tests.undersong.test_check_textures import Row, line, said, styled
from tune.time import Metre
from tune.tune import Tune
from undersong.check import check
from undersong.check.asks import Ask, asks_of


@pytest.mark.parametrize("name", BASS_PARTS)
def test_a_sound_part_has_no_fault(name: str) -> None:
    assert check(BASS_PARTS[name]()) == ()


ROWS = [
    Row("another string sounds", figured, line(1, "7 x 4 | T - I | 160 | b-s | fifth"), 1, "alone"),
    Row("another string rings", figured, line(0, "0 0 x | - - - | 100 | b-- | root"), 0, "alone"),
    Row("two strings struck", figured, line(0, "0 0 x | - - - | 100 | bm- | root"), 0,
        "right hand"),
    Row("a root for the octave", figured, line(2, "0 x x | - - - | 248 | b-- | root"), 2, None),
    Row("a root called octave", figured, line(2, "0 x x | - - - | 248 | b-- | octave"), 2, "role"),
    Row("a third in a figure", figured, line(2, "4 x x | I - - | 140 | b-- | third"), 2, "manner"),
    Row("an octave for the fifth", figured, line(3, "12 x x | T - - | 302 | b-- | octave"), 3,
        "manner"),
    Row("an octave where a chord begins", figured, line(0, "12 x x | T - - | 302 | b-- | octave"),
        0, "root"),
    Row("a fifth below its root", figured, line(5, "0 x x | - - - | 170 | b-- | fifth"), 5,
        "manner"),
    Row("a root that is not the lowest", figured, line(6, "12 x x | T - - | 302 | b-- | root"), 6,
        "manner"),
    Row("a figure that need not climb", figured, said(1, climbs=False), 1, "asked"),
    Row("a stroke left out", figured, line(1, "0 x x | - - - | 100 | ---"), 1, "manner"),
    Row("above the ceiling", figured, styled(bass_ceiling=10), 2, "fret"),
    Row("no breath taken", breathing, line(4, "0 x x | - - - | 100 | ---"), 4, None),
    Row("a stroke at a breath", breathing, line(4, "0 x x | - - - | 100 | b-- | root"), 4,
        "right hand"),
    Row("a note that changes as it rings", breathing, line(4, "2 x x | I - - | 75 | ---"), 4,
        "ringing"),
    Row("a hand far from its finger", figured, line(1, "7 x x | M - - | 100 | b-- | fifth"), 1,
        "place"),
    Row("a breath unsaid", breathing, said(4, breath=False), 4, "asked"),
    Row("a breath elsewhere", breathing, said(3, breath=True), 3, "asked"),
    Row("a breath that must ring", breathing, said(4, rings=True), 4, "asked"),
    Row("a held bass let go", breathing, said(3, rings=False), 3, "asked"),
    Row("a passing note that turns back", filled, line(3, "0 x x | - - - | 170 | b-- | root"), 2,
        "foreign note"),
    Row("a fill that is no run", filled, said(2, run=False), 2, "asked"),
    Row("a root that belongs to the fill", filled, said(4, run=False), 4, "asked"),
    Row("a note outside the key in a fill", filled, line(2, "3 x x | M - - | 110 | b-- | passing"),
        2, "foreign note"),
    Row("strings said to be played", filled, said(0, plays=(True, True, False)), 0, "asked"),
    Row("a strum judged", filled, said(0, judged=True), 0, "asked"),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.what)
def test_the_rule_catches_it_there(row: Row) -> None:
    spoiled = row.spoil(row.base())
    moment = spoiled.moments[row.moment]
    here = {f.rule for f in check(spoiled) if (f.bar, f.offset) == (moment.bar, moment.offset)}
    if row.rule is None:
        assert not here
    else:
        assert row.rule in here


def asks(tune: Tune, manner: str) -> list[Ask]:
    style: Style = style_of(manner, texture="bass")
    return list(asks_of(tune, style, len(instrument().courses)))


def beats(found: list[Ask], what: str) -> list[tuple[int, int]]:
    """(bar, eighths in) of the asks that are fills or breaths."""
    picked = [
        ask
        for ask in found
        if (ask.breath if what == "breath" else ask.bass is not None and ask.bass.run)
    ]
    return [(ask.bar.number, (ask.tick - ask.bar.start) // 5040) for ask in picked]


@pytest.mark.parametrize("manner", ["roots", "alternating", "alternating-fourth", "figure"])
def test_a_fill_stands_where_a_section_ends_and_nowhere_else(manner: str) -> None:
    tune = tune_of("D", "G", bar("A", section="B"), "D", "G")
    assert beats(asks(tune, manner), "fill") == [(2, 6), (2, 7)]


@pytest.mark.parametrize("manner", ["held", "walking", "free"])
def test_other_manners_have_no_fill(manner: str) -> None:
    tune = tune_of("D", "G", bar("A", section="B"), "D", "G")
    assert beats(asks(tune, manner), "fill") == []


def test_a_compound_fill_goes_in_quavers() -> None:
    jig = Metre(6, 8)
    tune = tune_of(bar("D", jig), bar("G", jig), bar("A", jig, section="B"), bar("D", jig))
    assert beats(asks(tune, "roots"), "fill") == [(2, 3), (2, 4), (2, 5)]


def test_a_new_metre_alone_is_no_section() -> None:
    tune = tune_of("D", bar("G", Metre(3, 4)), bar("A", Metre(3, 4)))
    assert beats(asks(tune, "roots"), "fill") == []


def test_a_part_that_comes_again_is_filled_each_time_but_not_where_it_ends_like_the_tune() -> None:
    """|: D G :| A D |: G D :| — the last part's first time closes as the tune does."""
    tune = tune_of(
        bar("D", repeat_start=True), bar("G", repeat_times=2), bar("A", section="B"), "D",
        bar("Em", repeat_start=True), "A7", "G", bar("D", repeat_times=2),
    )  # fmt: skip
    assert beats(asks(tune, "roots"), "fill") == [(2, 6), (2, 7), (4, 6), (4, 7), (6, 6), (6, 7)]


def test_breaths_come_every_fourth_bar_within_a_section() -> None:
    tune = tune_of(*["D"] + [""] * 5, bar("D", section="B"), *[""] * 8)
    assert beats(asks(tune, "held"), "breath") == [(4, 6), (10, 6), (14, 6)]
    assert beats(asks(tune, "walking"), "breath") == []


def test_the_last_bar_is_no_place_to_breathe() -> None:
    assert beats(asks(tune_of("D", "", "", ""), "held"), "breath") == []


@pytest.mark.parametrize(
    ("metre", "eighths"),
    [
        (Metre(4, 4), [0, 2, 4, 6]), (Metre(3, 4), [0, 2, 4]), (Metre(2, 4), [0, 1, 2, 3]),
        (Metre(6, 8), [0, 2, 3, 5]), (Metre(9, 8), [0, 3, 6]), (Metre(12, 8), [0, 3, 6, 9]),
    ],
    ids=str,
)  # fmt: skip
def test_a_figure_goes_in_the_steps_of_its_metre(metre: Metre, eighths: list[int]) -> None:
    found = asks(tune_of(bar("D", metre)), "figure")
    assert [ask.tick // 5040 for ask in found] == eighths
    roles = [next(iter(ask.bass.roles)) for ask in found if ask.bass]
    assert roles == ["root", "fifth", "octave", "fifth"][: len(eighths)]


def test_a_figure_in_a_song_is_a_fault() -> None:
    song = replace(figured(), style=replace(figured().style, manner="roots", texture="song"))
    object.__setattr__(song.style, "manner", "figure")  # past the style's own word on it
    assert [fault.rule for fault in check(song)] == ["manner"]
