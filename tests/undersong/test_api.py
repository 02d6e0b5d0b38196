"""The Python API: its names, where tunes come from, and what an answer must prove."""

import io
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import corpus
import undersong
from solver.result import PROVEN, UNPROVEN
from solver.search import Answer
from tests.undersong.bad_input import GOOD_ABC, GOOD_CHART
from tests.undersong.running import surroundings
from undersong.check import Fault

NAMES = {
    "Alike", "Alternative", "Alternatives", "ArrangeError", "Arrangement", "Bars", "Checked",
    "Clash",
    "ConditionError", "Conditions", "FewShapes", "FretboardError", "Costliest",
    "HarmonyWeights", "Idea", "Ideas",
    "LearnedShape", "Level", "LevelSet", "Limits", "Mend", "Near", "NotFound",
    "NotPlayable", "OutOfTime",
    "Pin", "Placed", "Price", "Quota",
    "Session", "SheetError", "Standing", "Stopped", "Style", "TabError", "TabOrder", "TuneError",
    "Unfulfillable",
    "Watch", "WeightError", "Weights", "WrongAnswer", "arrange", "check_tab",
    "explain_bar", "from_json", "hand",
    "instrument", "lay_chords", "make_levels",
    "learn_weights", "propose_chords", "read_levels", "read_tune", "right_hand",
    "side_by_side", "text_tab",
    "to_json",
    "verify", "with_drone", "write",
}  # fmt: skip


def test_the_public_names_are_these_and_no_others() -> None:
    assert set(undersong.__all__) == NAMES
    assert sorted(undersong.__all__) == undersong.__all__
    assert dir(undersong) == sorted(NAMES)
    for name in NAMES:
        found = getattr(undersong, name)
        assert found.__name__ == name
        assert found.__doc__
    with pytest.raises(AttributeError, match="perform"):
        undersong.perform  # noqa: B018


def test_a_public_name_means_the_same_after_every_part_has_been_imported() -> None:
    import undersong.check
    import undersong.cli
    import undersong.sheet

    for name in NAMES:
        assert getattr(undersong, name).__name__ == name


def test_importing_the_package_costs_nothing() -> None:
    script = (
        "import sys; before = set(sys.modules); import undersong\n"
        "print(sorted({name.partition('.')[0] for name in set(sys.modules) - before}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        env=surroundings(),
        check=True,
    )
    loaded = set(eval(done.stdout))  # a list of names, printed above
    assert "undersong" in loaded
    assert loaded <= {"undersong", "typing", "importlib", "collections", "functools", "re"} | set(
        sys.stdlib_module_names
    )


def test_every_bundled_tune_is_reached_by_name_from_any_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in corpus.names():
        by_name = undersong.read_tune(name)
        assert by_name == undersong.read_tune(corpus.path(name))
        assert by_name == undersong.read_tune(corpus.path(name).name)


def test_a_file_goes_before_a_bundled_file_name_but_never_before_a_bare_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "harrow-lane.abc").write_text(GOOD_ABC, encoding="utf-8")
    (tmp_path / "harrow-lane").write_text(GOOD_ABC, encoding="utf-8")
    assert undersong.read_tune("harrow-lane.abc").title == "Gate Left Open"
    assert undersong.read_tune("harrow-lane").title == "Harrow Lane"


def test_a_tune_of_many_and_a_tune_of_odd_suffix(tmp_path: Path) -> None:
    second = GOOD_ABC.replace("X:1", "X:2").replace("Gate", "Window")
    book = tmp_path / "book.abc"
    book.write_text(GOOD_ABC + "\n" + second, encoding="utf-8")
    assert undersong.read_tune(book, "2").title == "Window Left Open"
    assert undersong.read_tune(book, "Gate Left Open").title == "Gate Left Open"
    odd = tmp_path / "gate.music"
    odd.write_text(GOOD_CHART, encoding="utf-8")
    assert undersong.read_tune(odd, form="chart").title == "Gate Left Open"


def test_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(GOOD_CHART.encode())))
    assert undersong.read_tune("-").title == "Gate Left Open"


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("harow-lane", "did you mean harrow-lane"),
        ("no/such.abc", "no/such.abc: there is no such file"),
        ("gone.abc", "gone.abc: there is no such file"),
        (".", ".: this is a folder"),
        ("", "bundled tune ''"),
        ("x" * 5000, "no file can have that name"),
        ("a\0b.abc", "could not be read"),
    ],
)
def test_what_is_no_tune(source: str, says: str) -> None:
    with pytest.raises(undersong.TuneError) as caught:
        undersong.read_tune(source)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_names_and_values_give_the_same_answer_and_it_is_proven() -> None:
    by_name = undersong.arrange("lantern-path", instrument="1+6+", hand="small")
    by_value = undersong.arrange(
        undersong.read_tune("lantern-path"),
        instrument=undersong.instrument("1+6+"),
        hand=undersong.hand("small"),
        style=undersong.Style(),
        weights=undersong.Weights(),
    )
    assert by_name == by_value
    assert by_name.proof.status == PROVEN
    assert by_name.proof.gap == 0
    assert by_name.proof.bound == by_name.cost == by_name.bill.total
    assert undersong.verify(by_name) == ()


def test_progress_is_told() -> None:
    told: list[undersong.Standing] = []
    found = undersong.arrange("lantern-path", watch=undersong.Watch(tell=told.append))
    assert all(s.stage and 0 <= s.done <= s.total for s in told)
    assert told[-1].bound is not None
    assert told[-1].bound <= found.cost


def test_what_cannot_be_played_says_so() -> None:
    with pytest.raises(undersong.NotPlayable, match="bar 1: Eb cannot be played") as caught:
        undersong.arrange("the-vicars-piano")
    assert (caught.value.bar, caught.value.chord) == (1, "Eb")


def test_verify_finds_what_is_wrong_with_an_arrangement_of_anybodys() -> None:
    sound = undersong.arrange("lantern-path")
    at = next(n for n, choice in enumerate(sound.choices) if choice.struck[0])
    choice = sound.choices[at]
    frets = (choice.grip.frets[0] + 1, *choice.grip.frets[1:])
    wrong = replace(choice, grip=replace(choice.grip, frets=frets))
    faults = undersong.verify(
        replace(sound, choices=(*sound.choices[:at], wrong, *sound.choices[at + 1 :]))
    )
    assert faults
    assert all(fault.message for fault in faults)


def answering(monkeypatch: pytest.MonkeyPatch, **changes: Any) -> None:
    """Makes the search give its true answer with something about it changed."""
    from solver import search as room

    honest = room.Search.solve

    def solve(*arguments: Any, **named: Any) -> Answer:
        answer = honest(*arguments, **named)
        return replace(answer, **{key: change(answer) for key, change in changes.items()})

    monkeypatch.setattr(room.Search, "solve", solve)


def test_an_answer_that_is_not_known_to_be_best_says_by_how_much_it_may_miss(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    answering(monkeypatch, optimal=lambda _: False, bound=lambda answer: answer.bound - 70)
    found = undersong.arrange("lantern-path")
    assert found.proof.status == UNPROVEN
    assert found.proof.gap == 70
    assert found.proof.bound == found.cost - 70


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"cost": lambda answer: answer.cost + 1}, "the search counted"),
        ({"bound": lambda answer: answer.bound - 1}, "rules out"),
        (
            {"optimal": lambda _: False, "bound": lambda answer: answer.cost + 1},
            "rules out",
        ),
        ({"choices": lambda answer: answer.choices[::-1]}, "bar"),
    ],
)
def test_an_answer_that_does_not_add_up_is_thrown_away(
    changes: dict[str, Any], says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    answering(monkeypatch, **changes)
    with pytest.raises(undersong.WrongAnswer, match="fault of the program") as caught:
        undersong.arrange("lantern-path")
    assert any(says in fault for fault in caught.value.faults)


def test_an_answer_that_fails_its_check_is_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    fault = Fault(3, 0, "reach", "the thumb is further from the index finger than it reaches")
    monkeypatch.setattr("undersong.check.check", lambda _: (fault, fault))
    with pytest.raises(undersong.WrongAnswer, match=r"the thumb is further .*\(and 1 more\)"):
        undersong.arrange("lantern-path")
