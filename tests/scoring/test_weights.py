"""Weights: what a player may set, and what she is told when it cannot be."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.terms import TERMS
from scoring.weights import DEFAULTS, WeightError, Weights

LIMITS = {term.about.name: term.about.limit for term in TERMS}


def test_without_changes_every_weight_is_its_default() -> None:
    assert dict(Weights().items()) == dict(DEFAULTS)
    assert [name for name, _ in Weights().items()] == [term.about.name for term in TERMS]
    assert Weights.of({}) == Weights.of(DEFAULTS) == Weights()


def test_a_change_changes_that_weight_alone() -> None:
    made = Weights.of({"high-bass": DEFAULTS["high-bass"] + 1})
    assert made["high-bass"] == DEFAULTS["high-bass"] + 1
    assert {n: v for n, v in made.items() if n != "high-bass"} == {
        n: v for n, v in DEFAULTS.items() if n != "high-bass"
    }


def test_weights_are_the_same_in_whatever_order_they_are_given() -> None:
    one = Weights.of({"clash": 5, "stretch": 9, "high-bass": 3})
    other = Weights.of({"high-bass": 3, "stretch": 9, "clash": 5})
    assert one == other
    assert hash(one) == hash(other)
    assert [name for name, _ in one.changed] == ["stretch", "high-bass", "clash"]


def test_updating_keeps_the_rest_and_the_last_word_counts() -> None:
    first = Weights.of({"clash": 5, "stretch": 9})
    second = first.updated({"stretch": 7, "cramp": 1})
    assert (second["clash"], second["stretch"], second["cramp"]) == (5, 7, 1)
    assert first["stretch"] == 9
    assert second.updated({}) == second
    assert first.updated(DEFAULTS) == Weights()


@given(st.dictionaries(st.sampled_from(sorted(DEFAULTS)), st.integers(0, 100)))
def test_any_weights_are_read_as_they_were_given(values: dict[str, int]) -> None:
    made = Weights.of(values)
    assert dict(made.items()) == {**DEFAULTS, **values}
    assert Weights.of(dict(made.items())) == made


WRONG = [
    ({"bass-hight": 5}, "there is no weight named 'bass-hight'; the names are hand-shift, "),
    ({"": 5}, "there is no weight named ''"),
    ({"High-Bass": 5}, "there is no weight named 'High-Bass'"),
    ({"high-bass": 5, "low-bass": 5}, "there is no weight named 'low-bass'"),
    ({"high-bass": -1}, "the weight high-bass must lie between 0 and 100000, not -1"),
    ({"high-bass": 100_001}, "the weight high-bass must lie between 0 and 100000, not 100001"),
    ({"hand-shift": 101}, "the weight hand-shift must lie between 0 and 100, not 101"),
    ({"high-bass": 1.5}, "the weight high-bass must be a whole number of ms, not 1.5"),
    ({"high-bass": 2.0}, "the weight high-bass must be a whole number of ms, not 2.0"),
    ({"high-bass": "20"}, "the weight high-bass must be a whole number of ms, not '20'"),
    ({"hand-shift": True}, "the weight hand-shift must be a whole number of ms, not True"),
    ({"parallel-fifths": False}, "the weight parallel-fifths must be a whole number of ms"),
    ({"high-bass": None}, "the weight high-bass must be a whole number of ms, not None"),
    ({"high-bass": [1]}, r"the weight high-bass must be a whole number of ms, not \[1\]"),
]


@pytest.mark.parametrize(("values", "sentence"), WRONG)
def test_a_weight_that_cannot_be(values: dict[str, int], sentence: str) -> None:
    with pytest.raises(WeightError, match=sentence):
        Weights.of(values)
    with pytest.raises(WeightError, match=sentence):
        Weights().updated(values)


def test_a_whole_float_equal_to_the_default_is_refused_too() -> None:
    same = float(DEFAULTS["high-bass"])
    with pytest.raises(WeightError, match="whole number"):
        Weights.of({"high-bass": same})  # type: ignore[dict-item]


def test_an_unknown_name_is_told_every_name() -> None:
    with pytest.raises(WeightError) as caught:
        Weights.of({"none": 1})
    assert all(name in str(caught.value) for name in DEFAULTS)


@pytest.mark.parametrize("name", sorted(DEFAULTS))
def test_every_weight_takes_nought_and_its_limit(name: str) -> None:
    assert Weights.of({name: 0})[name] == 0
    assert Weights.of({name: LIMITS[name]})[name] == LIMITS[name]
    with pytest.raises(WeightError, match=f"{name} must lie between"):
        Weights.of({name: LIMITS[name] + 1})


def test_a_file_of_weights(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("# quieter\nhigh-bass = 20\nclash = 0\n")
    made = Weights.from_file(file)
    assert (made["high-bass"], made["clash"], made["cramp"]) == (20, 0, DEFAULTS["cramp"])
    file.write_text("")
    assert Weights.from_file(file) == Weights()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("high-bass = ", "no valid TOML: "),
        ("high-bass", "no valid TOML: "),
        ("high-bass = 1\nhigh-bass = 2", "no valid TOML: "),
        ("high_bass = 20", "no weight named 'high_bass'"),
        ("high-bass = -3", "between 0 and 100000, not -3"),
        ("high-bass = 1.5", "a whole number of ms, not 1.5"),
        ("high-bass = '20'", "a whole number of ms, not '20'"),
        ("high-bass = true", "a whole number of ms, not True"),
        ("[weights]\nhigh-bass = 20", "no weight named 'weights'"),
        ("[high-bass]\nms = 20", "a whole number of ms, not {"),
    ],
)
def test_a_bad_file_is_named_with_what_is_wrong(tmp_path: Path, text: str, sentence: str) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(text)
    with pytest.raises(WeightError) as caught:
        Weights.from_file(file)
    assert str(caught.value).startswith(f"{file}: ")
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(WeightError, match=r"none\.toml: the file cannot be read \(No such"):
        Weights.from_file(tmp_path / "none.toml")
    with pytest.raises(WeightError, match=r"the file cannot be read \(Is a dir"):
        Weights.from_file(tmp_path)
    odd = tmp_path / "odd.toml"
    odd.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(WeightError, match=r"odd\.toml: the file is no text; save it as UTF-8"):
        Weights.from_file(odd)
    deep = tmp_path / "deep.toml"
    deep.write_text("high-bass = " + "[" * 5000 + "]" * 5000)
    with pytest.raises(WeightError, match=r"deep\.toml: the file nests too deep"):
        Weights.from_file(deep)


def test_a_file_that_begins_with_a_byte_order_mark_is_read(tmp_path) -> None:
    """Some editors put one in front; instruments and hands are read with one too."""
    file = tmp_path / "mine.toml"
    file.write_bytes(b"\xef\xbb\xbfhigh-bass = 20\n")
    assert Weights.from_file(file)["high-bass"] == 20
