"""A limit as it is typed is read as the same limit."""

import pytest

from solver.conditions import Conditions
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.few_shapes import FewShapes
from solver.conditions.quota import Quota
from solver.conditions.words import parts_of


@pytest.mark.parametrize("most", [True, False])
@pytest.mark.parametrize("bars", [WHOLE, Bars(9, 16), Bars(section="B")])
@pytest.mark.parametrize(("what", "above"), [("shifts", None), ("barred", None), ("hard", 80)])
@pytest.mark.parametrize("each", [True, False])
def test_what_is_typed_is_read_again(
    what: str, above: int | None, bars: Bars, each: bool, most: bool
) -> None:
    quota = Quota(
        what, most=2 if most else None, least=None if most else 2, above=above, bars=bars, each=each
    )
    ((is_most, text),) = quota.typed
    assert is_most == most
    assert Quota.parse(text, most) == quota


def test_both_limits_are_typed_each_by_itself() -> None:
    assert Quota("passing", least=3, most=5).typed == ((False, "3 passing"), (True, "5 passing"))


@pytest.mark.parametrize(
    ("quota", "typed", "told"),
    [
        (Quota("shifts", most=1), "1 shift", "at most 1 shift"),
        (Quota("shifts", most=1, each=True), "1 shift a bar", "at most 1 shift a bar"),
        (Quota("shifts", most=2), "2 shifts", "at most 2 shifts"),
        (Quota("shifts", most=0), "0 shifts", "at most 0 shifts"),
        (Quota("hard", most=1, above=80), "1 hard above 80", "at most 1 hard bar above 80 %"),
        (Quota("hard", most=2, above=80), "2 hard above 80", "at most 2 hard bars above 80 %"),
    ],
)
def test_one_of_a_thing_is_told_as_one(quota: Quota, typed: str, told: str) -> None:
    ((most, text),) = quota.typed
    assert (text, str(quota)) == (typed, told)
    assert Quota.parse(text, most) == quota
    assert Quota.parse(text.replace("1 shift", "1 shifts"), most) == quota, "as it was typed before"


def test_a_condition_of_one_shape_is_told_as_one() -> None:
    for most, words in ((1, "at most 1 shape"), (2, "at most 2 shapes"), (0, "at most 0 shapes")):
        (part,) = parts_of(Conditions(shapes=FewShapes(most)))
        assert part.words == words
