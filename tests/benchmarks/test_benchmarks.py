"""The benchmarks themselves, in miniature: that they run, and say what they measured.

What they measure is no test's business: a busy machine must not fail one. The plain model of
``benchmarks.plain`` knows nothing of how our search goes about it, so that where it has the time
to prove an answer, the two must agree.
"""

import subprocess
import sys
from pathlib import Path

import pytest

from benchmarks import plain, proof, resolve, stability
from benchmarks.rows import Row, show
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes
from solver.errors import Unfulfillable
from solver.graph import build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.passes import Costs, explore, outlook
from solver.proof import prove
from solver.question import Question
from solver.style import Style
from solver.watch import Watch
from tests.solver import full_graph
from tune.readers import read

TUNE = """\
title: Two Lanterns
key: D
metre: 4/4
tempo: 96

|: D | G | A7 | D :|
"""


@pytest.fixture
def lanterns(tmp_path: Path) -> str:
    path = tmp_path / "two-lanterns.txt"
    path.write_text(TUNE, encoding="utf-8")
    return str(path)


def test_without_a_name_all_are_listed() -> None:
    done = subprocess.run(
        (sys.executable, "-m", "benchmarks"), capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    there = {path.stem for path in Path(plain.__file__).parent.glob("*.py")}
    named = {line.split(":")[0].strip() for line in done.stderr.splitlines()[1:]}
    assert named == there - {"__init__", "__main__", "alone", "rows", "plain"}


def test_proof_in_miniature(lanterns: str) -> None:
    rows = proof.run(lanterns, sizes=proof.Sizes(runs=1, plain=100, cap=0.5))
    named = {row.name.strip(): row for row in rows}
    assert named["alternating, moments"].values == (32,)
    assert named["steps in all"].middle > named["plain model: steps"].middle > 0
    assert [row.target for row in rows if row.target] == [5.0, 0.01] * 2


def test_resolve_in_miniature(lanterns: str) -> None:
    rows = resolve.run(lanterns, ("roots",), runs=1)
    assert all(value > 0 for row in rows for value in row.values)
    assert {row.target for row in rows} == {None, resolve.SECONDS, resolve.SHARE}


def test_stability_in_miniature(lanterns: str) -> None:
    (fretted, anything) = stability.run((lanterns,), ("roots",))
    pairs = list(zip(fretted.values, anything.values, strict=True))
    assert len(pairs) == len(stability.CHANGES)
    assert all(0 <= some <= more <= 8 for some, more in pairs)


def test_a_missed_target_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [Row("quick", (1.0, 3.0, 2.0), "s", 2.0), Row("slow", (2.5,), "s", 2.0, "a word")]
    assert [row.met for row in rows] == [True, False]
    show(rows)
    quick, slow = capsys.readouterr().out.splitlines()[-2:]
    assert quick.split() == ["quick", "3", "1.000", "2.000", "3.000", "2.000", "s", "met"]
    assert slow.endswith("MISSED  (a word)")


@pytest.mark.parametrize("most", [1, 2])
def test_the_plain_model_agrees_with_the_search(tmp_path: Path, most: int) -> None:
    path = tmp_path / "one-lantern.txt"
    path.write_text(TUNE.replace(" | A7 | D ", " "), encoding="utf-8")
    style, index = Style("roots", bass_ceiling=10, highest=3), Hand(not_used="TMRP", may_bar="")
    tune = read(str(path))
    graph = build_graph(moments_of(tune, style, 3), Held(instrument(), index, style))
    costs = Costs.of(graph, Weights())
    asked = Conditions(Alike("repeats"), FewShapes(most))
    question = Question(tune, graph.moments, graph, costs, asked)
    ahead = outlook(graph, costs)
    assert [proof.step_count(link) for link in graph.links] == [
        full_graph.step_count(link) for link in graph.links
    ]
    try:
        ours = prove(question, Watch(60)).cost
    except Unfulfillable:
        everything = explore(graph, costs, ahead, 1 << 40)
        with pytest.raises(SystemExit, match="no answer"):
            plain.solved(plain.state(question, everything), 60.0, 1)
        return
    near = explore(graph, costs, ahead, ours + 200)
    theirs = plain.solved(plain.state(question, near), 60.0, 1)
    assert theirs.proven
    assert theirs.best == ours
