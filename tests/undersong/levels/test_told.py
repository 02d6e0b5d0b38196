"""Levels in words: what changes from one to the next, counted anew, and the reasons for those that
are not met."""

import re
from dataclasses import replace
from pathlib import Path

from solver.style import Style
from tests.undersong.running import run
from undersong.levels import Level, LevelSet, Made, levels_for, reasons, steps_of, why_not
from undersong.session import Session


def test_what_changes_is_counted(five: LevelSet) -> None:
    steps = steps_of(five)
    assert [(step.lower, step.higher) for step in steps] == [(1, 2), (2, 3), (3, 4), (4, 5)]
    words = [str(step) for step in steps]
    assert words[0].startswith("Level 1 to 2: the root is struck on every bass beat")
    assert "the bass goes root and fifth in turn (bars" in words[1]
    assert "the bass walks" in words[2]
    assert "the bass runs into new chords" in words[3]
    for told in words:
        assert "the greatest step up in difficulty is bar " in told
        assert not re.search(r"bar \d+(?: \(.*?\))? stay as", told)  # one bar stays
        assert not re.search(r"bars [^;]*? stays as", told)
        for widest, before in re.findall(r"is now (\d+) % of .*?, before (\d+) %", told):
            assert int(widest) > int(before)
    versions = [one.arrangement for one in five.met]
    for step, lower, higher in zip(steps, versions[:-1], versions[1:], strict=True):
        assert lower is not None
        assert higher is not None
        frets = [
            {
                (m.bar, m.offset): (c.grip.frets, c.struck)
                for m, c in zip(made.moments, made.choices, strict=True)
            }
            for made in (lower, higher)
        ]
        for (bar, offset), sound in frets[0].items():
            if bar in step.same:
                assert frets[1][bar, offset] == sound


def test_one_reason_for_every_level_is_said_once() -> None:
    """The bass string of this bundled tune's instrument has no E flat within its ceiling."""
    ended = run("levels", "the-vicars-piano")
    assert ended.code == 1
    assert ended.told.count("Eb cannot be played") == 1
    assert ended.lines[0].startswith("undersong: none of the 5 levels can be met: bar 1: Eb cannot")
    assert "'undersong mends'" in ended.lines[1]
    ended = run("levels", "the-vicars-piano", "--only", "2")
    assert ended.lines[0].startswith("undersong: level 2 cannot be met: bar 1: Eb cannot")


def test_levels_with_the_same_reason_are_named_together() -> None:
    one, two, three = (Made(Level(number, "x", "held"), why="a") for number in (1, 2, 3))
    some = LevelSet((one, replace(two, why="b"), three), 1, 0.0)
    assert reasons(some) == ("levels 1 and 3 cannot be met: a", "level 2 cannot be met: b")
    near = replace(two, nearest=("with c", "with d"))
    assert reasons(LevelSet((one, near), 1, 0.0))[1] == (
        "level 2 cannot be met: a; with c, or with d"
    )


def test_a_level_that_teaches_nothing_new_in_the_bass_says_so(tmp_path: Path) -> None:
    """In 3/4 with a chord a bar and one bass stroke a bar no fifth has its turn: every chord begins
    on its root (common practice, no source)."""
    file = tmp_path / "waltz.chart"
    file.write_text(
        "title: Bus Shelter Waltz\nkey: D\nmetre: 3/4\ntempo: 100\n\n| D | G | A | D |\n",
        encoding="utf-8",
    )
    (step,) = steps_of(Session(file).levels(levels_for("song")[1:3]))
    assert step.changes[0] == (
        "nothing new in the bass: no chord lasts until another note than its root takes its turn"
    )
    assert step.new, "the left hand has more to do"


GATE = "X:1\nT:Bare Gate\nM:3/4\nL:1/4\nQ:1/4=100\nK:D\nA | d f a | b g d | d2 |]\n"


def test_a_level_that_is_the_one_before_says_that_it_may_be_left_out(tmp_path: Path) -> None:
    """One voice on one string is played alike, slow enough for both levels of drone playing."""
    (tmp_path / "gate.abc").write_text(GATE, encoding="utf-8")
    ended = run("levels", str(tmp_path / "gate.abc"), "--texture", "drone", "--width", "200")
    assert ended.code == 0
    words = "every bar has the same frets and strokes as before, so this level may be left out"
    assert ended.out.endswith(f"Level 1 to 2:\n  nothing is new: {words}\n")
    one, two = (
        Session(tmp_path / "gate.abc", style=Style(texture="drone", manner="held")).levels().met
    )
    assert one.arrangement is not None
    assert two.arrangement is not None
    assert one.arrangement.choices == two.arrangement.choices


def test_a_level_that_is_left_out_in_words_has_nothing_else_to_teach() -> None:
    for name in ("harrow-lane", "mending-weather", "lantern-path"):
        for step in steps_of(Session(name).levels()):
            out = [change for change in step.changes if "may be left out" in change]
            assert bool(out) is not step.new
            rest = [change for change in step.changes if change not in out]
            assert step.new or all(change.startswith("the same frets") for change in rest)


def test_a_silent_pickup_has_no_frets_to_be_the_same(tmp_path: Path) -> None:
    file = tmp_path / "sung.abc"
    file.write_text(GATE.replace("| d f a", '| "D"d f a').replace("| b", '| "G"b'), "utf-8")
    steps = steps_of(Session(file).levels())
    assert steps
    assert not any("the pickup" in change for step in steps for change in step.changes)


def test_what_levels_teach_is_told_of_those_that_came_out(tmp_path: Path) -> None:
    file = tmp_path / "low.abc"
    file.write_text("X:1\nT:Too Low\nM:3/4\nL:1/4\nK:D\nA, | D, F, A,| G,3 |]\n", "utf-8")
    ended = run("levels", str(file), "--texture", "drone")
    assert ended.code == 1
    assert ended.out.count("cannot be met") == 2
    assert "Level" not in ended.out
    assert not ended.out.endswith("\n\n")


def test_reasons_are_told_as_a_teacher_would() -> None:
    made = Made(levels_for("song")[0], why="bar 5: no", nearest=("it can with A", "it can with B"))
    assert why_not(made) == "bar 5: no; it can be met with A, or with B"
    assert why_not(replace(made, nearest=())) == "bar 5: no"


def test_one_version_is_one() -> None:
    ended = run("levels", "mending-weather", "--only", "1")
    assert "in 1 version;" in ended.told
    assert "nested" not in ended.told
