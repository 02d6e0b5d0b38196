"""The work as the page sends it: read back as written, refused with its path."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.undersong.desk.works import work
from undersong.desk.work import CHART, Settings, Source, Work, work_in, work_out
from undersong.sheet.errors import SheetError
from undersong.sheet.json_node import parse

TEXTS = st.text(max_size=12)
SETTINGS = st.builds(
    Settings,
    tempo=st.none() | st.integers(0, 400),
    transpose=st.integers(-24, 24),
    octave=st.lists(st.tuples(TEXTS, st.integers(-3, 3)), max_size=3).map(tuple),
    chords=st.sampled_from(["given", "proposed", "drone", f"{CHART}| D | G |"]),
    tuning=st.none() | TEXTS,
    without_fingers=st.lists(TEXTS, max_size=3).map(tuple),
    bass_above=st.booleans(),
    level=st.none() | st.integers(0, 9),
)
SOURCES = (
    st.builds(Source, bundled=TEXTS.filter(bool))
    | st.builds(Source, chart=TEXTS)
    | st.builds(Source, written=TEXTS.filter(bool))
    | st.builds(Source, name=TEXTS.filter(bool), data=st.binary(max_size=40))
)
WORKS = st.builds(
    Work,
    tune=SOURCES,
    choose=st.none() | TEXTS,
    settings=SETTINGS,
    weights=st.dictionaries(TEXTS, st.integers(0, 1000), max_size=3).map(
        lambda prices: tuple(prices.items())
    ),
    pins=st.lists(TEXTS, max_size=3).map(tuple),
    at_most=st.lists(TEXTS, max_size=3).map(tuple),
)


@given(WORKS)
def test_a_work_written_and_read_is_the_same(some: Work) -> None:
    assert work_in(parse(json.dumps(work_out(some)))) == some


def changed(path: str, value: Any) -> str:
    """The document of a work with one value changed; path: names with points between."""
    document = work_out(work())
    place: Any = document
    *names, last = path.split(".")
    for name in names:
        place = place[name]
    place[last] = value
    return json.dumps(document)


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("format", "undersong arrangement", "no work of the desk"),
        ("version", 2, "no work of the desk"),
        ("tune", {"file": "/etc/passwd"}, "tune"),
        ("tune", {"name": "x.abc", "base64": "%%%"}, "tune.base64"),
        ("tune", "harrow-lane", "tune"),
        ("settings.capo", 3, "settings.capo"),
        ("settings.transpose", 1.5, "settings.transpose"),
        ("settings.transpose", 25, "settings.transpose"),
        ("settings.octave", [["all", 4]], "settings.octave[0][1]"),
        ("settings.transpose", True, "settings.transpose"),
        ("settings.octave", [["all"]], "settings.octave[0]"),
        ("settings.chords", "/home/me/chart.txt", "settings.chords"),
        ("settings.speed", 3, '"speed" is unknown here'),
        ("weights", {"high-bass": "20"}, "weights.high-bass"),
        ("weights", {"high-bass": -1}, "weights.high-bass"),
        ("pins", [1], "pins[0]"),
        ("pins", ["5: barred"] * 201, "200 are enough"),
    ],
)
def test_what_is_no_work_is_refused_with_its_path(path: str, value: Any, says: str) -> None:
    with pytest.raises(SheetError) as refused:
        work_in(parse(changed(path, value)))
    assert says in str(refused.value)


def test_a_file_with_bytes_and_a_chart_are_told_apart() -> None:
    some = replace(work(), tune=Source(name="mine.abc", data=b"X:1\n"))
    assert work_out(some)["tune"] == {"name": "mine.abc", "base64": "WDoxCg=="}
