"""What the page is given: the numbers of the answer itself, words worked out by hand."""

import json
from dataclasses import replace
from functools import cache
from typing import Any

from scoring.terms import TERMS
from solver.result import Arrangement
from tests.undersong.desk.works import work
from undersong.compare import side_by_side
from undersong.desk.settings import begun, session_of, tune_of
from undersong.desk.views.answer import answer_view
from undersong.desk.views.changes import changes_view
from undersong.desk.views.choices import GROUPS, choices_view
from undersong.desk.views.compare import compare_view
from undersong.desk.views.levels import levels_view
from undersong.desk.views.others import others_view
from undersong.desk.views.read import read_view
from undersong.desk.views.reading import reading_view
from undersong.desk.views.why import why_view
from undersong.desk.work import Work
from undersong.sheet.document import from_json
from undersong.why import explain_bar

TWO = """title: The Hall Clock
key: D
metre: 4/4
tempo: 100

| D | G |
"""


@cache
def solved(some: Work) -> Arrangement:
    asked = begun(some)
    return session_of(asked).arrange(asked.weights, asked.conditions)


def hands_in(made: Arrangement, played: int) -> list[Any]:
    pairs = zip(made.moments, made.choices, strict=True)
    return [(choice.grip, choice.struck) for moment, choice in pairs if moment.bar == played]


def plain(value: Any) -> None:
    """Nothing but JSON, and no place on this machine."""
    text = json.dumps(value)
    assert json.loads(text) == value
    assert "/work/" not in text
    assert "/home/" not in text
    assert "/root/" not in text


def test_an_answer_tells_what_its_document_does() -> None:
    made = solved(work())
    view = answer_view(made, seconds=0.1234)
    plain(view)
    again = from_json(view["document"], "")
    summary = view["summary"]
    assert (again.cost, again.proof.status) == (summary["cost"], summary["proof"])
    assert summary["proven"] is True
    assert summary["seconds"] == 0.123
    assert summary["hardest"] == again.difficulty.hardest
    assert summary["open"] == ["D3", "A3", "D4"]
    assert view["changes"] == []
    assert [bar["played"] for bar in view["page"]["bars"]] == [[1], [2], [3], [4]]
    for bar in view["page"]["bars"]:
        assert 0 <= bar["x"] < bar["x"] + bar["width"] <= view["page"]["width"]
        assert 0 <= bar["y"] < bar["y"] + bar["height"] <= view["page"]["height"]
    assert ["Tuning", "D3 A3 D4"] in view["settings"]


def test_a_bar_is_read_out_by_beat_string_and_finger() -> None:
    made = solved(replace(work(TWO, manner="roots"), pins=("2, beat 2: 3-3-5 RMT",)))
    first, second = reading_view(made)
    assert (first["played"], first["number"], first["times"]) == (1, "1", "")
    assert first["words"].startswith("Bar 1. Chord D. Beat 1: play the bass string open. Beat 2: ")
    assert second["words"].startswith(
        "Bar 2. Chord G. Beat 1: play the bass string at fret 3 (ring finger)"
    )
    assert (
        "Beat 2: play the middle string at fret 3 (middle finger) and the melody string at fret 5 "
        "(thumb); the bass string rings on."
    ) in second["words"]


def test_bars_played_twice_are_read_twice() -> None:
    chart = TWO.replace("| D | G |", "|: D | G :|")
    rows = reading_view(solved(work(chart)))
    assert [(row["played"], row["number"]) for row in rows] == [
        (1, "1"), (2, "2"), (3, "1"), (4, "2"),
    ]  # fmt: skip
    assert rows[2]["words"].startswith("Bar 1, ")
    assert rows[2]["times"] != rows[0]["times"]


def test_only_the_bars_that_differ_are_told() -> None:
    after = solved(replace(work(), pins=("2, beat 2: 3-3-5 RMT",)))
    other = solved(replace(work(), pins=("2, beat 2: 3-3-5 MIT",)))
    assert changes_view(after, after) == []
    rows = changes_view(after, other)
    plain(rows)
    told = {row["played"]: row["words"] for row in rows}
    assert "(3)-3-5 RMT" in told[2].partition(" became ")[0]
    assert "(3)-3-5 MIT" in told[2].partition(" became ")[2]
    for number in (1, 2, 3, 4):
        assert (number in told) == (hands_in(after, number) != hands_in(other, number))


def test_strings_tuned_anew_sound_other_notes_under_the_same_hands() -> None:
    """A step lower throughout and the tune with it: the hands stay."""
    low = solved(work(tuning="C3 G3 C4", transpose=-2))
    rows = changes_view(solved(work()), low)
    assert {row["words"] for row in rows} == {"the same hands sound other notes"}
    assert [row["played"] for row in rows] == [1, 2, 3, 4]


def test_another_tune_is_told_in_one_line() -> None:
    rows = changes_view(solved(work()), solved(work(TWO)))
    assert [row["words"] for row in rows] == ["another tune: every bar is new"]


def test_every_weight_stands_in_one_group() -> None:
    listed = [name for names in GROUPS.values() for name in names]
    assert sorted(listed) == sorted(term.about.name for term in TERMS)
    view = choices_view()
    plain(dict(view))
    for group in view["wishes"]:
        for weight in group["weights"]:
            assert 0 <= weight["default"] <= weight["most"] <= weight["limit"], weight["name"]


def test_whatever_can_be_chosen_can_be_set() -> None:
    view = choices_view()
    for setting, names in (
        ("instrument", view["instruments"]),
        ("hand", view["hands"]),
        ("right_hand", view["right_hands"]),
    ):
        for one in names:
            assert one["words"]
            begun(work(**{setting: one["name"]}))
    for texture in view["textures"]:
        assert texture["usual"] in texture["manners"]
        for manner in texture["manners"]:
            begun(work(texture=texture["name"], manner=manner))
        for level in view["levels"][texture["name"]]:
            begun(work(texture=texture["name"], level=level["number"]))


def test_why_adds_up_and_its_pins_hold() -> None:
    some = work()
    made = solved(some)
    view = why_view(explain_bar(made, 2))
    plain(view)
    assert (view["played"], view["number"]) == (2, "2")
    assert view["cost"] == sum(moment["cost"] for moment in view["moments"])
    for moment in view["moments"]:
        assert moment["cost"] == sum(term["cost"] for term in moment["terms"])
    here = solved(replace(some, pins=tuple(view["pin_here"])))
    assert (here.choices, here.cost) == (made.choices, made.cost)
    assert view["others"]
    for other in view["others"]:
        taken = solved(replace(some, pins=tuple(other["pins"])))
        assert taken.cost - made.cost <= other["more"] or not other["proven"]


def test_answers_side_by_side() -> None:
    one, two = solved(work()), solved(replace(work(), pins=("2, beat 2: 3-3-5 RMT",)))
    view = compare_view(side_by_side((one, two), ("one", "two")))
    plain(view)
    assert view["names"] == ["one", "two"]
    assert [total["cost"] for total in view["totals"]] == [one.cost, two.cost]
    for side in (0, 1):
        total = view["totals"][side]["cost"]
        assert sum(row["sides"][side]["cost"] for row in view["rows"]) == total
        assert sum(term["costs"][side] for term in view["terms"]) == total


def test_other_ways_are_kept_by_their_pins() -> None:
    some = work()
    asked = begun(some)
    found = session_of(asked).alternatives(2, weights=asked.weights, conditions=asked.conditions)
    best, other = others_view(found)
    plain([best, other])
    assert (best["name"], best["more"], best["pins"]) == ("the best", 0, [])
    taken = solved(replace(some, pins=tuple(other["pins"])))
    assert taken.cost == best["answer"]["summary"]["cost"] + other["more"]


def test_levels_come_easiest_first() -> None:
    asked = begun(work(TWO))
    found = session_of(asked).levels(None, asked.weights, asked.conditions)
    view = levels_view(found)
    plain(view)
    assert [version["number"] for version in view["versions"]] == [1, 2, 3, 4, 5]
    for version in view["versions"]:
        assert (version["answer"] is None) == bool(version["why"] and version["nearest"])
    assert view["verdict"]


def test_a_tune_as_it_was_read() -> None:
    view = read_view(tune_of(work(TWO)))
    plain(view)
    assert view["title"] == "The Hall Clock"
    assert (view["key"], view["metre"], view["bars"]) == ("D major", "4/4", 2)
    assert (view["has_chords"], view["has_melody"]) == (True, False)
    assert "| D | G |" in view["chart"]
