"""Ladders of tempi worked by hand: where they begin, how they rise, when the hand has time."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from undersong.practice.ladder import BEGIN, STEP, Rung, ladder
from undersong.tempo_within import quickest


def like_the_tempo(tempo: int) -> int:
    """A move whose share of its time is the tempo itself."""
    return min(1000, tempo)


def test_a_ladder_worked_by_hand() -> None:
    # target 120; 70 % of it is 84, and the hand has time up to 100: begins at 84. From 84 to 120
    # in steps of at most 8 %: ln(120 / 84) / ln 1.08 = 4.63, so five steps, each 7.394 %:
    # 84, 90.2, 96.9, 104.0, 111.7, 120
    found = ladder(like_the_tempo, like_the_tempo, 120)
    assert [rung.tempo for rung in found.rungs] == [84, 90, 97, 104, 112, 120]
    assert [rung.rating for rung in found.rungs] == [84, 90, 97, 104, 112, 120]
    assert [rung.has_time for rung in found.rungs] == [True] * 3 + [False] * 3
    assert found.fastest == 100


def test_it_begins_where_the_hand_has_time() -> None:
    # twice the tempo in percent: 100 % at 50, which is below 70 % of 120
    found = ladder(lambda tempo: 2 * tempo, lambda tempo: 2 * tempo, 120)
    assert found.rungs[0] == Rung(50, 100, 100)
    assert found.fastest == 50
    assert found.rungs[-1] == Rung(120, 240, 240)


def test_what_no_tempo_mends_is_said_and_begins_where_slowness_helps_no_more() -> None:
    # a reach of 110 % whatever the tempo, and above 60 a minute the time decides
    found = ladder(lambda tempo: max(110, tempo + 50), like_the_tempo, 100)
    assert found.fastest is None
    assert found.rungs[0] == Rung(60, 110, 60)
    assert not any(rung.has_time for rung in found.rungs)


def test_a_tempo_that_is_the_slowest_there_is_has_one_rung() -> None:
    assert [rung.tempo for rung in ladder(like_the_tempo, like_the_tempo, 10).rungs] == [10]


@given(st.integers(10, 400), st.integers(0, 300), st.integers(1, 40))
def test_rungs_rise_to_the_target_and_begin_with_time(target: int, held: int, per: int) -> None:
    def rated_at(tempo: int) -> int:
        return max(held, tempo * per // 10)

    found = ladder(rated_at, rated_at, target)
    tempi = [rung.tempo for rung in found.rungs]
    assert tempi == sorted(set(tempi))
    assert tempi[-1] == target
    assert tempi[0] <= max(10, target * BEGIN // 100)
    if rated_at(10) <= 100:
        assert found.rungs[0].rating <= 100
        assert found.fastest is not None
        assert rated_at(found.fastest) <= 100
        assert found.fastest == target or rated_at(found.fastest + 1) > 100
    else:
        assert found.fastest is None
        assert found.rungs[0].rating == rated_at(10)
    if len(tempi) < 10:  # else the way is too long for small steps
        # a whole beat of rounding each way
        assert all((b - 1) / (a + 1) <= 1 + STEP / 100 for a, b in pairwise(tempi))


@pytest.mark.parametrize("most", [0, 50, 99, 100, 150])
def test_the_fastest_within_is_found_as_by_trying_all(most: int) -> None:
    tried = [tempo for tempo in range(10, 121) if tempo * 7 // 5 <= most]
    assert quickest(lambda tempo: tempo * 7 // 5 <= most, 120) == (max(tried) if tried else None)
