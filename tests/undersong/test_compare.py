"""Answers side by side: every figure is counted again here from shapes, by code of this test."""

import json
import re
from dataclasses import replace
from pathlib import Path
from random import Random
from statistics import median_low

import pytest
from jsonschema import Draft202012Validator

from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.result import UNPROVEN, Arrangement, Proof
from solver.style import Style
from tests.scoring.plain_difficulty import plain_bars
from tests.undersong.arranged import bundled, by_chance, chart, found
from tests.undersong.running import run
from undersong.compare import CompareError, side_by_side
from undersong.compare.document import comparison_json, comparison_schema
from undersong.compare.text import comparison_text
from undersong.compared import bars_apart
from undersong.session import Session
from undersong.sheet.write import write

NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
TUNE = chart("key: D\nmetre: 4/4\n|: D | G A7 :|\n| Bm | D |\n")


def pair() -> tuple[Arrangement, Arrangement]:
    return bundled("harrow-lane"), bundled("harrow-lane", "walking")


def inside(answer: Arrangement, bar: int) -> list[int]:
    return [i for i, moment in enumerate(answer.moments) if moment.bar == bar]


def test_costs_and_terms_of_all_bars_add_up_to_the_bills() -> None:
    answers = pair()
    comparison = side_by_side(answers)
    for number, answer in enumerate(answers):
        assert sum(row.sides[number].cost for row in comparison.rows) == answer.bill.total
        for name, (amount, ms) in answer.bill.terms.items():
            sides = [row.sides[number].terms.get(name, (0, 0)) for row in comparison.rows]
            assert (sum(s[0] for s in sides), sum(s[1] for s in sides)) == (amount, ms)


def test_each_bars_bass_and_shapes_are_the_choices_own() -> None:
    answers = pair()
    for row in side_by_side(answers).rows:
        for answer, side in zip(answers, row.sides, strict=True):
            indexes = inside(answer, row.bar)
            assert [s.frets for s in side.strokes] == [
                answer.choices[i].grip.frets for i in indexes
            ]
            bass = [
                answer.instrument.courses[0].open + answer.choices[i].grip.frets[0]
                for i in indexes
                if answer.choices[i].struck[0]
            ]
            assert list(side.bass) == [f"{NAMES[p % 12]}{p // 12 - 1}" for p in bass]


def test_missing_tones_are_those_that_no_string_sounds_when_the_chord_is_judged() -> None:
    answer = bundled("harrow-lane")
    seen = set()
    for row in side_by_side((answer, answer)).rows:
        lacking: set[str] = set()
        for index in inside(answer, row.bar):
            moment, choice = answer.moments[index], answer.choices[index]
            if moment.chord is None or not moment.judged:
                continue
            sounding = {
                (answer.instrument.courses[c].open + fret) % 12
                for c, fret in enumerate(choice.grip.frets)
                if fret >= 0
            }
            lacking |= {name for name, pc in moment.chord.degrees.items() if pc not in sounding}
        side = row.sides[0]
        told = {*side.missing, *side.fading}
        assert told <= lacking, "a tone that sounds is not missed"
        seen |= told
    assert seen, "the tune misses some tone somewhere, or this test sees nothing"


def test_bars_of_one_session_differ_where_two_alternatives_do() -> None:
    for seed in range(12):
        one, other = (by_chance(TUNE, Style(), bundled("harrow-lane").instrument, Random(s), 0.9)
                      for s in (seed, seed // 2))  # fmt: skip
        comparison = side_by_side((one, other))
        apart = tuple(row.bar for row in comparison.rows if row.played_otherwise)
        assert set(bars_apart(one, other)) <= set(apart)
        # the hands a bar begins with may be held from a bar that differs
        held = {bar for bar in apart if bar not in bars_apart(one, other)}
        assert not held, "both have the same moments, and every bar begins with one"


def test_an_answer_does_not_differ_from_itself() -> None:
    answer = bundled("harrow-lane")
    comparison = side_by_side((answer, answer, answer))
    assert comparison.differing == ()
    assert comparison.settings == {}
    assert "All bars are played alike." in comparison_text(comparison)


def test_strokes_at_other_ticks_are_held_against_what_rings_there() -> None:
    answers = bundled("harrow-lane"), bundled("harrow-lane", "alternating", "full-strum")
    for row in side_by_side(answers).rows:
        offsets = [
            {stroke.offset for stroke in side.strokes if any(stroke.struck)} for side in row.sides
        ]
        if offsets[0] != offsets[1]:
            assert "strokes" in row.differs
    side = side_by_side(answers).rows[1].sides[0]
    assert side.at(side.strokes[1].offset - 1) == side.strokes[0]
    assert side.at(-1) == side.held == side_by_side(answers).rows[0].sides[0].strokes[-1]


def test_costs_are_counted_by_the_first_ones_weights() -> None:
    one = bundled("harrow-lane")
    other = replace(one, weights=Weights.of({"finger-down": 500}))
    comparison = side_by_side((one, other))
    assert comparison.bills[1].total == one.bill.total != other.bill.total
    assert "weights changed" in comparison.settings
    assert "by the weights of 1" in comparison_text(comparison)


def test_difficulty_is_that_of_counting_move_by_move() -> None:
    answers = pair()
    for number, one in enumerate(answers):
        plain = plain_bars(one.choices, one.moments, one.instrument, one.hand)
        for row in side_by_side(answers).rows:
            assert row.sides[number].difficulty == plain[row.bar]


def test_the_hardest_and_the_middle_bar() -> None:
    comparison = side_by_side(pair())
    for number in (0, 1):
        percents = [row.sides[number].difficulty for row in comparison.rows]
        bar, percent = comparison.hardest(number)
        assert percent == max(percents)
        assert bar == 1 + percents.index(percent)
        assert comparison.median(number) == median_low(percents)


def test_what_cannot_be_compared_is_refused_in_one_sentence() -> None:
    one = bundled("harrow-lane")
    with pytest.raises(CompareError, match="2 to 20 answers"):
        side_by_side((one,))
    with pytest.raises(CompareError, match="one tune"):
        side_by_side((one, found(TUNE)))
    other = chart("key: D\nmetre: 3/4\n|: D | G A7 . :|\n| Bm | D |\n")
    with pytest.raises(CompareError, match=r"bar 1 \(4/4\).*bar 1 \(3/4\)"):
        side_by_side((found(TUNE), found(other)))
    with pytest.raises(CompareError, match="2 answers and 1 names"):
        side_by_side((one, one), ("a",))


def test_versions_of_a_tune_are_compared_by_their_bars_numbers() -> None:
    other = chart("key: D\nmetre: 4/4\n|: D | Em A7 :|\n| Bm | D |\n")
    comparison = side_by_side((found(TUNE), found(other)))
    assert [row.bar for row in comparison.rows if "chords" in row.differs] == [2, 4]


@pytest.mark.parametrize("count", [2, 3, 5])
@pytest.mark.parametrize("width", [40, 80])
def test_the_page_stays_within_its_width(count: int, width: int) -> None:
    manners = ("alternating", "walking", "roots", "held", "runs")[:count]
    comparison = side_by_side([bundled("harrow-lane", manner) for manner in manners], manners)
    page = comparison_text(comparison, width)
    assert max(map(len, page.splitlines())) <= width
    assert page.isascii()
    for number, answer in enumerate(comparison.answers):
        assert str(answer.bill.total) in page, number
    short = comparison_text(comparison, width, only_differing=True)
    assert len(short) <= len(page)


def test_what_marks_a_bar_is_said_of_those_bars() -> None:
    one = found(TUNE)
    last, grip = one.choices[-1], one.choices[-1].grip
    free = (set(range(1, 5)) - set(grip.fingers)).pop()
    fingers = tuple(finger if finger < 0 else free for finger in grip.fingers)
    assert fingers != grip.fingers
    assert sum(finger >= 0 for finger in fingers) == 1, "one finger, which another can stand for"
    other = replace(
        one, choices=(*one.choices[:-1], replace(last, grip=replace(grip, fingers=fingers)))
    )
    page = comparison_text(side_by_side((one, other)))
    bar = one.tune.bars[-1].number
    assert f"+ the same frets and strokes, but other fingers: bar {bar}\n" in page
    assert "* bar" not in page
    assert "* other" not in page


def test_levels_are_told_apart_by_their_number_and_caps() -> None:
    levels = Session(TUNE).levels().met
    made = [one.arrangement for one in levels[:2] if one.arrangement is not None]
    page = comparison_text(side_by_side(made))
    assert "\nlevel - 1: 1; 2: 2\n" in page
    assert "each bar no harder than on the next level" in " ".join(page.split())
    assert "whole tune: " not in page


def test_only_differing_leaves_out_what_all_play_alike() -> None:
    one = found(TUNE)
    last = replace(one.choices[-1], struck=(True, *one.choices[-1].struck[1:]), role="root")
    other = replace(one, choices=(*one.choices[:-1], last))
    comparison = side_by_side((one, other))
    assert [row.bar for row in comparison.differing] == [6]
    page = comparison_text(comparison, only_differing=True)
    assert "* bar 4" in page
    assert " bar 3 " not in page
    assert json.loads(comparison_json(comparison, only_differing=True))["differing"] == [6]


def test_bars_played_alike_each_time_stand_there_once() -> None:
    """Repeats alike in one answer and not in the other: what either plays otherwise another time
    stands there for each time, everything else once."""
    tune, same = bundled("harrow-lane").tune, Conditions(alike=Alike("repeats"))
    alike = [
        Session(tune, style=Style(manner=manner)).arrange(conditions=same)
        for manner in ("alternating", "walking")
    ]
    page = comparison_text(side_by_side(alike))
    heads = [line for line in page.splitlines() if line.startswith(("* bar ", "+ bar ", "  bar "))]
    assert len(heads) == len(alike[0].tune.bars) == 16
    assert "time)" not in "".join(heads)
    comparison = side_by_side(alike)
    for bar in (1, 9):
        costs = {
            row.sides[0].cost
            for row in comparison.rows
            if alike[0].tune.played[row.bar - 1].written == bar - 1
        }
        assert all(f"{cost} ms" in page for cost in costs)


def test_bars_played_otherwise_another_time_stand_there_for_each() -> None:
    comparison = side_by_side(pair())
    page = comparison_text(comparison)
    heads = [line for line in page.splitlines() if line.startswith(("* bar ", "+ bar "))]
    shown = {
        (bar.written, row.differs, tuple(side.strokes for side in row.sides))
        for row, bar in zip(comparison.rows, pair()[0].tune.played, strict=True)
    }
    assert len(heads) == len(shown) > 16


def test_the_document_fits_its_schema_and_the_answers() -> None:
    schema = comparison_schema()
    Draft202012Validator.check_schema(schema)
    answers = pair()
    document = json.loads(comparison_json(side_by_side(answers, ("a", "b"))))
    Draft202012Validator(schema).validate(document)
    assert [one["cost"]["by_own_weights"] for one in document["answers"]] == [
        answer.cost for answer in answers
    ]
    assert len(document["bars"]) == len(answers[0].tune.played)
    first = document["bars"][0]["answers"][0]["moments"][0]
    assert first["frets"][0] == "0"


def test_the_command_prints_and_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name, answer in zip(("a.json", "b.json"), pair(), strict=True):
        write(answer, name)
    ended = run("compare", "a.json", "b.json", "--only-differing")
    assert ended.code == 0
    assert "1   a.json: proven best" in ended.out
    ended = run("compare", "a.json", "b.json", "--to", "c.json", "--to", "c.txt")
    assert (ended.code, ended.out) == (0, "")
    Draft202012Validator(comparison_schema()).validate(
        json.loads((tmp_path / "c.json").read_text())
    )
    assert (tmp_path / "c.txt").read_text().startswith("Harrow Lane: 2 answers")


def test_answers_to_other_tunes_are_told_so() -> None:
    """Same bars, other chords, no melody; other titles; and what is the same tune all the same."""
    other = chart("key: D\nmetre: 4/4\n|: Em | A D :|\n| G | F#m |\n")
    comparison = side_by_side((found(TUNE), found(other)), ("ours", "theirs"))
    assert comparison.warnings == (
        "theirs is an answer to another tune than ours (the chords agree in 0 of 6 bars); bars "
        "stand side by side by their numbers only",
    )
    assert "WARNING: theirs is an answer to another tune than ours" in comparison_text(comparison)
    document = json.loads(comparison_json(comparison))
    assert document["warnings"] == list(comparison.warnings)
    Draft202012Validator(comparison_schema()).validate(document)
    named = side_by_side((found(TUNE), found(replace(TUNE, title="Lamp Post Reel"))))
    assert "('Harrow Lane Exercise' and 'Lamp Post Reel')" in named.warnings[0]
    one = bundled("harrow-lane")
    same = (found(TUNE.transposed(2)), found(TUNE.at_tempo(60)))
    assert side_by_side((found(TUNE), *same)).warnings == ()
    assert side_by_side((one, bundled("harrow-lane", "walking"))).warnings == ()


def test_a_tune_whose_chords_alone_are_others_is_the_same_tune() -> None:
    """Its melody says so."""
    from undersong.chords import with_drone

    one = bundled("harrow-lane")
    assert side_by_side((one, found(with_drone(one.tune)))).warnings == ()


def test_bars_that_cannot_be_aligned_are_refused_with_both_titles() -> None:
    with pytest.raises(CompareError, match="'Harrow Lane' and 'Harrow Lane Exercise'"):
        side_by_side((bundled("harrow-lane"), found(TUNE)))


def test_the_command_warns_of_other_tunes_where_only_files_are_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write(found(TUNE), "a.json")
    write(found(replace(TUNE, title="Lamp Post Reel")), "b.json")
    ended = run("compare", "a.json", "b.json", "--to", "c.txt")
    assert (ended.code, ended.out) == (0, "")
    assert "warning: b.json is an answer to another tune than a.json" in ended.told
    ended = run("compare", "a.json", "b.json")
    assert "WARNING: b.json is an answer" in ended.out
    ended = run("compare", "a.json", "nofile.json")
    assert (ended.code, len(ended.lines)) == (2, 1)
    assert "nofile.json: the file cannot be read" in ended.told


def test_where_all_play_alike_another_hands_figures_stand_there_too() -> None:
    """The same frets and fingers are rated otherwise for a larger hand."""
    small, large = (Session(TUNE, hand=span).arrange() for span in (180, 230))
    same = replace(
        large, moments=small.moments, choices=small.choices, proof=Proof(UNPROVEN, 0, large.cost)
    )
    comparison = side_by_side((small, same))
    assert not comparison.differing
    page = comparison_text(comparison)
    beneath = {}
    for row in comparison.rows:
        one, other = row.sides
        if one.difficulty != other.difficulty:
            beneath[row.bar] = f"difficulty {other.difficulty} %"
            assert f"difficulty {one.difficulty} %" in page
    assert beneath
    lines = [line for line in page.splitlines() if line.startswith("    2")]
    told = {part for line in lines for part in re.split(": |; ", line)}
    assert set(beneath.values()) <= told
    twice = comparison_text(side_by_side((small, small)))
    assert not [line for line in twice.splitlines() if line.startswith("    2")]
