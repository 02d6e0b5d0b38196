"""The table of moments: RFC 4180, a header, exact numbers; a bar worked by hand."""

import csv
from io import StringIO

import pytest
from hypothesis import HealthCheck, given, settings

from fretboard.presets import instrument
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import arrangements, bundled, chart, found
from undersong.sheet.options import SheetOptions
from undersong.sheet.table import table_bytes, to_csv


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text, newline=""), strict=True))


def test_a_bar_of_d_worked_by_hand() -> None:
    """The open strings D3 A3 D4 are D without its third; the bass on 1, the upper strings on 2 and
    3 (the waltz of the usual right hand); at 100 a quarter lasts 600 ms."""
    made = found(chart("key: D major\nmetre: 3/4\n\n| D5 |"), Style(manner="held"))
    text = to_csv(made)
    assert text.endswith("\r\n")
    assert text.split("\r\n")[0].startswith(
        "moment,bar,written_bar,time,tick,beat,length,start_ms,ms,chord,bass_role,cost_ms,"
        "bar_rating_percent,hand_mm,bass_fret,bass_finger,bass_pitch,bass_struck,bass_ringing,"
        "bass_damped,middle_fret,"
    )
    rows = rows_of(text)
    assert [(r["bar"], r["tick"], r["beat"], r["length"], r["start_ms"]) for r in rows] == [
        ("1", "0", "1", "1", "0"),
        ("1", "10080", "2", "1", "600"),
        ("1", "20160", "3", "1", "1200"),
    ]
    assert [r["chord"] for r in rows] == ["D5"] * 3
    assert [r["bass_role"] for r in rows] == ["root", "", ""]
    assert [(r["bass_fret"], r["bass_finger"], r["bass_pitch"]) for r in rows] == [
        ("0", "", "50")
    ] * 3
    assert [r["bass_struck"] + r["bass_ringing"] for r in rows] == ["10", "01", "01"]
    assert (rows[1]["middle_pitch"], rows[1]["melody_pitch"]) == ("57", "62")
    assert rows[0]["middle_fret"] == "", "nothing sounds there before it is struck"


def test_extra_frets_have_their_printed_number_and_count_from_the_capo_where_asked() -> None:
    made = bundled("kettle-on-at-nine")
    frets = {choice.grip.frets[c] for choice in made.choices for c in range(3)} - {-1}
    printed = {r[f"{n}_fret"] for r in rows_of(to_csv(made)) for n in ("bass", "middle", "melody")}
    assert printed - {""} == {made.instrument.label(fret) for fret in frets}
    assert to_csv(made, SheetOptions(from_capo=True)) == to_csv(made), "there is no capo"
    capo = found(chart("key: G major\nmetre: 3/4\n\n| G5 |"), strung=instrument().with_capo(5))
    assert rows_of(to_csv(capo))[0]["bass_fret"] == "3"
    assert rows_of(to_csv(capo, SheetOptions(from_capo=True)))[0]["bass_fret"] == "0"


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(arrangements())
def test_every_moment_has_its_row_and_every_cost_adds_up(made: Arrangement) -> None:
    content = table_bytes(made, SheetOptions())
    rows = rows_of(content.decode("utf-8"))
    assert len(rows) == len(made.moments)
    assert sum(int(row["cost_ms"]) for row in rows) == made.cost
    for row, moment in zip(rows, made.moments, strict=True):
        terms = sum(int(value) for name, value in row.items() if name.startswith("cost "))
        assert terms == int(row["cost_ms"])
        assert int(row["bar"]) == moment.bar
        played = made.tune.played[moment.bar - 1]
        assert int(row["tick"]) == played.start + moment.offset
    assert table_bytes(made, SheetOptions()) == content


@pytest.mark.parametrize("name", ["harrow-lane", "tallow-and-rush"])
def test_the_table_is_the_same_every_time(name: str) -> None:
    assert to_csv(bundled(name)) == to_csv(bundled(name))
