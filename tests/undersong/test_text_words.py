"""What the text tab says around and above the strings."""

import re
from dataclasses import replace
from random import Random

import pytest

from fretboard.hand import CAUTION
from fretboard.presets import instrument
from scoring.moment import ROLES
from solver.conditions import Conditions
from solver.conditions.limits import BarLimit, Limits
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.righthand import RightHand, Stroke, right_hand
from solver.style import Style
from tests.undersong.arranged import bundled, by_chance, chart
from tests.undersong.tab_page import join_parts, read_page
from tune.time import QUARTER, Metre
from tune.tune import Tune
from undersong.sheet.asked_words import asked_words
from undersong.sheet.errors import SheetError
from undersong.sheet.options import SheetOptions
from undersong.sheet.text import text_tab
from undersong.sheet.text_signs import ROLE_SIGNS, ordinal, plain

PLAIN = chart("key: D\nmetre: 4/4\n| D | G | A | D |")


def chance(tune: Tune = PLAIN, strings: str = "standard", capo: int = 0) -> Arrangement:
    strung = instrument(strings).with_capo(capo)
    return by_chance(tune, Style(manner="roots"), strung, Random(1))


def flowed(page: str) -> str:
    """The page as one line of words."""
    return " ".join(page.split())


def test_the_header_names_the_tune_and_how_it_is_played() -> None:
    page = flowed(text_tab(bundled("harrow-lane")))
    assert page.startswith("Harrow Lane Harrow Lane class (Undersong) Tune D major, 4/4, 1/4 = 112")
    assert "Tuning D3-A3-D4 (as it sounds, bass to melody), no capo Instrument standard" in page
    assert "Bass alternating: root and fifth in turn" in page
    assert "Right hand bass-then-strum: the bass note alone" in page


def test_the_first_line_is_the_title_alone() -> None:
    assert text_tab(bundled("lantern-path")).split("\n")[0] == "Lantern Path"


def test_a_compound_beat_is_named_as_a_part_of_a_whole_note() -> None:
    assert "A mixolydian, 6/8, 3/8 = 104" in text_tab(bundled("kettle-on-at-nine"))


@pytest.mark.parametrize(
    ("from_capo", "said", "frets"),
    [(False, "capo at 4, frets counted from the nut", {"4"}), (True, "from the capo", {"0"})],
)
def test_a_capo_is_said_and_counts_as_asked(from_capo: bool, said: str, frets: set[str]) -> None:
    """Fret 4 lies 7 semitones above the nut (TRADE.md, Frets)."""
    arrangement = chance(capo=7)
    page = text_tab(arrangement, SheetOptions(from_capo=from_capo))
    assert said in flowed(page)
    opens = {
        string[0]
        for bar in read_page(page).bars
        for column in bar.columns
        for string in column.strings
        if isinstance(string, tuple) and not string[1]
    }
    assert opens == frets


def test_strings_are_labelled_by_their_open_notes_bass_on_top() -> None:
    arrangement = chance()
    top_down = [row[:2] for row in text_tab(arrangement).split("\n") if re.match(r"[A-G]\d ", row)]
    assert top_down[:3] == ["D3", "A3", "D4"]
    other = text_tab(arrangement, SheetOptions(bass_on_top=False)).split("\n")
    assert [row[:2] for row in other if re.match(r"[A-G]\d ", row)][:3] == ["D4", "A3", "D3"]


def test_four_strings_have_four_lines() -> None:
    assert read_page(text_tab(chance(strings="four-equidistant"))).names == ["D3", "A3", "D4", "D4"]


def test_the_footer_says_how_good_the_answer_is() -> None:
    arrangement = bundled("harrow-lane")
    cost = arrangement.cost
    proven = replace(arrangement, proof=Proof(PROVEN, cost, 0))
    assert f"Proven best: {cost} ms of hand work;" in flowed(text_tab(proven))
    unproven = replace(arrangement, proof=Proof(UNPROVEN, cost - 70, 70))
    page = flowed(text_tab(unproven))
    assert f"Best so far: {cost} ms of hand work, at most 70 ms above the best; another run" in page
    assert "Proven" not in page


def test_the_costliest_bar_is_the_played_bar_that_costs_most() -> None:
    arrangement = bundled("kettle-on-at-nine")
    bill = arrangement.bill
    costs = dict.fromkeys((bar.number for bar in arrangement.tune.played), 0)
    for moment, amounts in zip(arrangement.moments, bill.amounts, strict=True):
        costs[moment.bar] += sum(n * arrangement.weights[name] for name, n in amounts.items())
    assert sum(costs.values()) == arrangement.cost
    played = arrangement.tune.played[max(costs, key=lambda bar: costs[bar]) - 1]
    number = arrangement.tune.bars[played.written].number
    said = re.search(
        r"Costliest: bar (\d+), the (\w+) time \((\d+) ms of work\)", text_tab(arrangement)
    )
    assert said is not None
    assert said.groups() == (str(number), ordinal(played.turn), str(max(costs.values())))


def test_the_caution_about_reach_closes_the_page() -> None:
    for width in (40, 80, 200):
        page = text_tab(chance(), SheetOptions(width=width))
        assert flowed(page).endswith(CAUTION)


def test_the_legend_explains_the_bass_notes_that_occur_and_no_others() -> None:
    arrangement = bundled("stacking-the-chairs", "walking")
    used = {choice.role for choice in arrangement.choices if choice.role}
    legend = flowed(text_tab(arrangement)).split("Bass row")[1].split(" A reach")[0]
    signs = re.findall(r"(?:: |, )(\S+) ", legend)
    assert signs == [ROLE_SIGNS[role] for role in ROLES if role in used]


def test_every_bass_role_has_a_sign_of_its_own() -> None:
    assert set(ROLE_SIGNS) == set(ROLES)
    assert len(set(ROLE_SIGNS.values())) == len(ROLES)


def test_commas_between_the_parts_of_a_beat_are_explained_where_they_occur() -> None:
    page = text_tab(bundled("through-the-double-doors", "held", "broken"))
    assert "dots, and commas between" in flowed(page)
    assert "," in {c.beat for bar in read_page(page).bars for c in bar.columns}
    assert "parts of a beat are dots Lines" in flowed(text_tab(chance()))


def test_damping_is_explained_where_it_occurs() -> None:
    damped = Style(manner="roots", right_hand=right_hand("damped-bass-then-strum"))
    page = text_tab(by_chance(PLAIN, damped, instrument(), Random(1)))
    assert "* damped with the palm" in flowed(page)
    assert "*" not in text_tab(chance())


def test_sections_begin_a_line_and_stand_above_it() -> None:
    tune = chart(
        "key: D\nmetre: 3/4\npickup: 1/4 A7\nsection Opening\n| D | G | D | G | A | D |\n"
        "section Verse\n| G | D |"
    )
    page = read_page(text_tab(chance(tune)))
    assert page.per_line == [5, 2, 2]
    assert {bar.heading: bar.number for bar in page.bars if bar.heading} == {
        "Opening": "1",
        "Verse": "7",
    }


def test_changes_of_metre_and_tempo_stand_above_their_bar() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | G |\nmetre: 6/8\ntempo: 3/8 = 60\n| A | D |")
    bars = read_page(text_tab(chance(tune))).bars
    assert [bar.heading for bar in bars] == ["", "", "6/8, 3/8 = 60", ""]
    assert [bar.columns[-1].beat for bar in bars] == [".", ".", ".", "."]
    assert [sum(c.beat.isdigit() for c in bar.columns) for bar in bars] == [4, 4, 2, 2]


def test_long_chord_symbols_close_together_do_not_collide() -> None:
    tune = chart("key: D\nmetre: 4/4\n| F#m7b5 C#m7b5/G# Bbmaj7/D G#dim7 | D |")
    bars = read_page(text_tab(chance(tune))).bars
    assert [c.chord for c in bars[0].columns if c.chord] == [
        "F#m7b5", "C#m7b5/G#", "Bbmaj7/D", "G#dim7",
    ]  # fmt: skip
    assert bars[1].columns[0].chord == "D"


def test_no_chord_is_said_and_its_lines_are_silent() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | N.C. | D |")
    bar = read_page(text_tab(chance(tune))).bars[1]
    assert bar.columns[0].chord == "N.C."
    assert not any(sounds for column in bar.columns for sounds in column.sounds)


def test_a_bar_too_long_for_the_page_goes_on_in_the_next_line() -> None:
    metre = Metre(12, 4)
    half = QUARTER // 2
    strokes = tuple(Stroke(tick, "bass") for tick in range(0, metre.bar, half))
    hand = RightHand("own", "", False, ((metre, strokes),))
    tune = chart("key: D\nmetre: 12/4\n| D | G |")
    arrangement = by_chance(tune, Style(manner="roots", right_hand=hand), instrument(), Random(0))
    page = text_tab(arrangement, SheetOptions(width=40))
    assert max(map(len, page.split("\n"))) <= 40
    parts = read_page(page).bars
    assert [(bar.number, bar.whole) for bar in parts] == [
        ("1", False), ("", True), ("2", False), ("", True),
    ]  # fmt: skip
    assert [len(bar.columns) for bar in join_parts(parts)] == [24, 24]


def test_words_in_other_letters_are_likened_to_plain_ones() -> None:
    assert plain("Zoë’s “Séance” – №\t5\n…") == 'Zoe\'s "Seance" - No 5 ...'
    assert plain("Чай") == "???"
    assert plain("Zoë’s\x07\u200b tea", unicode=True) == "Zoë’s tea"


def test_ordinals() -> None:
    assert [ordinal(n) for n in (1, 2, 3, 4, 11, 12, 13, 21, 112)] == [
        "1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "112th",
    ]  # fmt: skip


@pytest.mark.parametrize("width", [0, 39, 401, -1])
def test_a_page_that_cannot_be_is_refused(width: int) -> None:
    with pytest.raises(SheetError, match="40 to 400 columns"):
        SheetOptions(width=width)


def test_the_same_page_every_time() -> None:
    arrangement = bundled("harrow-lane")
    assert text_tab(arrangement) == text_tab(replace(arrangement))


def test_what_bars_of_a_level_are_held_to_is_said_by_their_printed_numbers() -> None:
    """The seventh bar played is bar 7, the fifteenth bar 7 the second time."""
    made = bundled("harrow-lane")
    for bars, said in (
        ((BarLimit(7, 60), BarLimit(15, 70, 20)), (True, "bar 7 (2nd time) harder than need be")),
        ((BarLimit(7, 60, 20), BarLimit(15, 70, 20)), (True, "bar 7 harder than need be, so that")),
        ((BarLimit(7, 100), BarLimit(15, 105, 30)), (False, "bar 7 (2nd time) harder than")),
    ):
        words = asked_words(replace(made, conditions=Conditions(limits=Limits(bars=bars))))
        assert ("each bar no harder than on the next level" in words) is said[0]
        assert words[-1].startswith(said[1])
        assert words[-1].endswith("so that an easier level can be met")
