"""Mends as changes of the work: a click on a mend asks for what its price was found for."""

import json
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

from solver.clash import Clash
from solver.demands import Wanted
from solver.errors import ArrangeError
from solver.watch import Watch
from tests.undersong.desk.works import CHART, work
from undersong.desk.settings import begun, session_of
from undersong.desk.views.cannot import SHOWN, cannot_view
from undersong.desk.views.patches import patch_of, patched
from undersong.desk.work import Settings, Source, Work
from undersong.mends.melody import melody_ideas
from undersong.mends.mend import Idea, Kind, Mend, Mends
from undersong.mends.music import music_ideas
from undersong.mends.settings import setting_ideas
from undersong.mends.wishes import wish_ideas
from undersong.session import Session

SEVENTHS = """title: Whose Turn With the Urn
key: D
metre: 4/4
tempo: 100

| D | A7 | G | D |
"""

SHORT = """title: Last One Out
key: D
metre: 2/4
tempo: 80

| D | D |
"""

HIGH = b"""X:1
T:Up the Belfry Stair
M:2/4
L:1/4
Q:1/4=80
K:D
"D"d' f'|"A"a e'|"D"d'2|]
"""

LOW = b"""X:1
T:Down the Belfry Stair
M:2/4
L:1/4
Q:1/4=80
K:D
"D"d f|"A"e d|"D"d2|]
"""

WORKS = {
    "plain": work(),
    "wishes": replace(
        work(alike="repeats", shapes=3, transpose=2),
        pins=("1: bass 1, middle I", "2: manner roots"),
        forbids=("all: barred", "3: bass 8"),
        at_most=("1 shifts a bar", "3 barred, 1-2"),
        at_least=("2 passing",),
    ),
    "mild": replace(work(alike="repeats"), pins=("2: manner roots",), at_most=("9 barred",)),
    "few": work(SHORT, shapes=2),
    "capo": work(capo="1", bass_ceiling="6", highest="9", without_fingers=("P",)),
    "level": replace(work(level=2), at_most=("2 barred",), pins=("1: bass 0",)),
    "noter": Work(
        Source(name="stair.abc", data=LOW), settings=Settings(texture="drone", hand="noter")
    ),
    "thumb": work(hand="thumb-off-bass"),
    "retuned": work(tuning="D3 A3 A3"),
    "four strings": work(instrument="four-equidistant"),
    "sevenths": work(SEVENTHS, transpose=-2),
    "high": Work(Source(name="belfry.abc", data=HIGH), settings=Settings(texture="solo")),
    "bass": Work(Source(bundled="harrow-lane"), settings=Settings(texture="bass", tempo=80)),
}


def ideas_of(some: Work) -> Iterator[Idea]:
    """Every change that a mend could be."""
    asked = begun(some)
    wanted = Wanted(asked.tune, asked.instrument, asked.hand, asked.style, asked.conditions)
    yield from wish_ideas(wanted, lambda quota: None, 0)
    yield from melody_ideas(wanted)
    yield from setting_ideas(wanted, some.settings.transpose)
    for played in (1, 2):
        yield from music_ideas(wanted, Clash(("",), played=(played, played)), Watch(seconds=5))


@cache
def patches(name: str) -> list[tuple[Idea, dict[str, Any] | None]]:
    some = WORKS[name]
    return [(idea, patch_of(Mend(idea, 0, True), some)) for idea in ideas_of(some)]


def words_without(name: str) -> set[str]:
    """What cannot be done by one click in that work, by kind."""
    return {idea.kind.name for idea, patch in patches(name) if patch is None}


def test_what_no_setting_says_is_no_patch() -> None:
    """A hand that bars with another finger is a hand file; fret 8+ alone is no instrument."""
    assert words_without("plain") == {"BAR", "FRET"}
    assert next(idea.words for idea, patch in patches("plain") if patch is None).endswith("8+")


def test_pins_behind_a_capo_are_no_mend_by_a_capo() -> None:
    capos = [patch for idea, patch in patches("level") if idea.kind is Kind.CAPO]
    assert capos
    assert not any(capos)  # '1: bass 0' lies behind each


def test_caps_of_a_level_are_not_lifted_by_a_setting() -> None:
    assert {"CEILING", "HIGHEST", "MANNER", "NO_LIMIT"} <= words_without("level")
    own = [p for i, p in patches("level") if i.kind is Kind.NO_LIMIT and "barred" in i.words]
    assert own == [{"at_most": [], "at_least": []}]


def test_another_capo_leaves_the_highest_frets_where_they_are() -> None:
    """Frets lie 0 2 4 5 7 9 10 12 14 16 semitones from the nut. Fret 6 is 10, with the capo at 1
    8 above it, a half step above fret 4; fret 9 is 16, 14 above the capo, which is fret 8."""
    found = [p for i, p in patches("capo") if i.words == "no capo"]
    assert found == [{"settings": {"capo": "0", "bass_ceiling": "4+", "highest": "8"}}]


def test_a_resting_finger_is_used_again() -> None:
    found = [p for i, p in patches("capo") if i.words == "use finger P too"]
    assert found == [{"settings": {"without_fingers": []}}]


def test_a_pin_is_dropped_from_its_text() -> None:
    found = {i.words: p for i, p in patches("wishes") if i.kind is Kind.PIN}
    assert found == {
        "drop the pin 'bar 1: bass 1'": {"pins": ["bar 1: middle I", "2: manner roots"]},
        "drop the pin 'bar 1: middle I'": {"pins": ["bar 1: bass 1", "2: manner roots"]},
        "drop the pin 'bar 2: manner roots'": {"pins": ["1: bass 1, middle I"]},
        "drop the pin 'whole tune: never barred'": {"forbids": ["3: bass 8"]},
        "drop the pin 'bar 3: never bass 8'": {"forbids": ["all: barred"]},
    }


def test_another_manner_in_a_bar_takes_the_place_of_one_that_is_pinned() -> None:
    found = [p for i, p in patches("wishes") if i.kind is Kind.MANNER_THERE]
    assert {"pins": ["1: bass 1, middle I", "1: manner held"]} in found
    assert all(p is not None for p in found)


def test_other_chords_become_a_chart_in_the_tunes_own_key() -> None:
    """The tune is transposed a step down: G7 there is A7 in the tune, and Bm is no part of it."""
    found = {i.words: p for i, p in patches("sevenths") if i.kind is Kind.CHORD}
    patch = found["play G for G7 in bar 2"]
    assert patch is not None
    chart = patch["settings"]["chords"]["chart"]
    assert "| D | A | G | D |" in " ".join(chart.split())


def test_a_melody_is_moved_by_octaves() -> None:
    found = [p for i, p in patches("high") if i.kind is Kind.OCTAVE]
    assert {"settings": {"octave": [["all", -1]]}} in found


@cache
def solved(asked_by: Session, some: Work) -> int:
    asked = begun(some)
    return asked_by.arrange(asked.weights, asked.conditions).asked_cost


def test_a_click_costs_what_the_mend_says() -> None:
    """For each kind: the mend's own request and the work after the click, both solved."""
    seen = set()
    for name in ("plain", "mild", "few", "high", "sevenths", "thumb"):
        some = WORKS[name]
        for idea, patch in patches(name):
            if patch is None or idea.kind in seen:
                continue
            clicked = patched(some, patch)
            asked, request = begun(clicked), idea.request
            session = Session(
                request.tune, instrument=request.instrument, hand=request.hand, style=request.style
            )
            try:
                told = session.arrange(asked.weights, request.conditions).asked_cost
            except ArrangeError:
                continue
            found = session_of(asked).arrange(asked.weights, asked.conditions).asked_cost
            assert found == told, (name, idea.words)
            seen.add(idea.kind)
    assert set(Kind) - seen == {Kind.KNOWN, Kind.BAR}  # neither can be set on the desk


def test_the_view_of_mends() -> None:
    some = replace(work(CHART), pins=("1: bass 6",))
    asked = begun(some)
    session = session_of(asked)
    clash = session.clash(asked.conditions, asked.weights)
    assert clash is not None
    wanted = Wanted(asked.tune, asked.instrument, asked.hand, asked.style, asked.conditions)
    idea = Idea(Kind.PIN, "drop it", "", "", replace(wanted, conditions=begun(work()).conditions))
    mends = Mends((Mend(idea, 1200, False),) * 9, 9, 2)
    view = cannot_view("no shape fits", clash, mends, some)
    assert json.loads(json.dumps(view)) == view
    assert view["sentence"] == "no shape fits"
    assert view["clash"] == str(clash)
    assert view["untried"] == 2
    assert len(view["mends"]) == SHOWN
    assert view["mends"][0] == {
        "words": "drop it",
        "loses": "nothing lost",
        "cost": 1200,
        "proven": False,
        "more_of_the_hand": False,
        "patch": {"pins": []},
    }


def test_without_a_clash_there_is_only_the_sentence() -> None:
    assert cannot_view("no", None, None, work()) == {
        "sentence": "no", "clash": None, "mends": [], "untried": 0,
    }  # fmt: skip
