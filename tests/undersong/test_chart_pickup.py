"""A chart with another pickup than the tune: the sentence names the line that mends it, and with
that line the chart can be laid."""

from pathlib import Path

import pytest

from tests.undersong.running import run
from tune.readers.abc import read_abc
from tune.readers.chart import read_chart
from undersong.chart_pickup import refuse_other_pickup
from undersong.chords import lay_chords

HEAD = "title: Lower Gate\nkey: D\nmetre: 3/4\n"
BARS = "| D | G | (2/4) D |\n"
TUNE = "X:1\nT:Lower Gate\nM:3/4\nL:1/4\nK:D\nA | d f a | b g d | d2 |]\n"
FULL = TUNE.replace("A | ", "")


@pytest.mark.parametrize(
    ("tune", "line", "told"),
    [
        (TUNE, "", "the tune has a pickup of 1/4, which the chart lacks; write the line "
         "'pickup: 1/4' before"),
        (TUNE, "pickup: 2/4 A7\n", "the tune's pickup lasts 1/4 and the chart's 1/2; write the "
         "chart's as 'pickup: 1/4'"),
        (FULL, "pickup: 1/4\n", "the chart has a pickup of 1/4, which the tune lacks; take away"),
    ],
)  # fmt: skip
def test_another_pickup_is_told_with_its_mend(
    tmp_path: Path, tune: str, line: str, told: str
) -> None:
    (tmp_path / "tune.abc").write_text(tune, "utf-8")
    (tmp_path / "my.chart").write_text(HEAD + line + BARS, "utf-8")
    ended = run("arrange", str(tmp_path / "tune.abc"), "--chords", str(tmp_path / "my.chart"))
    assert ended.code == 2
    assert len(ended.lines) == 1
    assert f"--chords {tmp_path / 'my.chart'}: {told}" in ended.told


@pytest.mark.parametrize(
    ("tune", "line"), [(TUNE, "pickup: 1/4\n"), (TUNE, "pickup: 1/4 A7\n"), (FULL, "")]
)
def test_with_that_line_the_chart_can_be_laid(tune: str, line: str) -> None:
    music, chart = read_abc(tune), read_chart(HEAD + line + BARS)
    refuse_other_pickup(music, chart)
    assert lay_chords(music, chart).has_chords
