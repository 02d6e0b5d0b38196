"""A limit as it is typed is read as the same limit."""

import pytest

from solver.conditions.bars import WHOLE, Bars
from solver.conditions.quota import Quota


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
