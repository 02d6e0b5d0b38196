"""Mends are sufficient, and cost what they say: each is judged by writing every sequence down."""

from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest

from fretboard.hand import CAUTION
from scoring.weights import Weights
from solver.clash import clash_of_bars
from solver.conditions import NONE, Conditions
from solver.conditions.few_shapes import FewShapes, known_shapes
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.conditions.words import parts_of
from solver.demands import Wanted
from solver.style import Style
from solver.watch import Watch
from tests.solver.brute import Page, brute_best, moments_asked
from tests.solver.conditioned import tiny_conditioned
from tests.solver.instances import Instance, tiny
from tests.solver.made import case_of
from tests.solver.oracles import Book, TooMany
from tests.undersong.running import run
from undersong.mends import mends_of
from undersong.mends.mend import Mend, Mends
from undersong.session import Session


def session_of(case: Instance) -> Session:
    return Session(case.tune, instrument=case.instrument, hand=case.hand, style=case.style)


def counted_out(mend: Mend, weights: Weights) -> int | None:
    """ms of the best of all sequences; TooMany where they cannot be written down."""
    request = mend.request
    case = Instance(request.tune, request.instrument, request.hand, request.style, weights)
    moments = moments_asked(case, request.conditions)
    book = Book(moments, case.instrument, case.hand, case.style, weights, most=20_000)
    told = Page(book, case.tune).best(request.conditions)
    return None if told is None else told.cost


def examine(case: Instance, most: int, conditions: Conditions = NONE) -> int:
    """How many mends were found; AssertionError where one is not what it says."""
    session = session_of(case)
    assert brute_best(case, conditions) is None
    mends = session.mends(conditions, case.weights, most=most)
    for mend in mends:
        assert mend.proven
        with suppress(TooMany):
            assert counted_out(mend, case.weights) == mend.cost, mend
    assert [mend.cost for mend in mends] == sorted(mend.cost for mend in mends)
    return len(mends)


@pytest.mark.parametrize("seed", [0, 12, 19, 20])
def test_mends_of_tiny_tunes_are_sufficient(seed: int) -> None:
    examine(tiny(seed), most=4)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(400, 600))
def test_mends_of_many_tiny_tunes_are_sufficient(seed: int) -> None:
    case = tiny(seed)
    if clash_of_bars(Wanted(*case.asked[:4])) is not None:
        examine(case, most=8)


def pin(case: Instance, text: str) -> Conditions:
    return Conditions(pins=Pin.parse(text, False, case.instrument))


def test_dropping_the_pin_is_a_mend() -> None:
    case = case_of("D", "G")
    mends = session_of(case).mends(pin(case, "2: bass 0"), most=3)
    assert any(mend.words == "drop the pin 'bar 2: bass 0'" for mend in mends)
    assert session_of(case).mends(pin(case, "2: bass 3")) == ()


def test_a_limit_is_loosened_to_the_least_that_can_be_held() -> None:
    case = case_of("D", "Bm", style=Style(bass_ceiling=9, highest=5))
    conditions = Conditions(quotas=(Quota("passing", least=3),))
    session = session_of(case)
    clash = session.clash(conditions)
    assert clash is not None
    assert str(clash) == (
        "the tune cannot be played as asked: 'at least 3 passing' cannot be held: "
        "there can be no more than 0"
    )
    words = [mend.words for mend in session.mends(conditions)]
    assert words == ["drop 'at least 3 passing'"]


def test_no_shape_at_all_is_loosened_to_as_many_as_are_needed() -> None:
    case = case_of("Bm", "Bm")
    conditions = Conditions(shapes=FewShapes(0))
    session = session_of(case)
    clash = session.clash(conditions)
    assert clash is not None
    assert clash.proven
    allowed = [m for m in session.mends(conditions) if m.option.startswith("--shapes ")]
    assert len(allowed) == 1
    fewer = replace(conditions, shapes=FewShapes(int(allowed[0].option.split()[1]) - 1))
    assert session.clash(fewer) is not None


def test_known_shapes_of_which_none_fits_may_have_a_price() -> None:
    case = case_of("G")
    known = Conditions(shapes=FewShapes(known=known_shapes("0-0-1", case.instrument)))
    options = [mend.option for mend in session_of(case).mends(known)]
    assert "--known-price 300" in options
    assert "leave out --known" in options


def test_a_wider_reach_is_never_advised_without_the_caution() -> None:
    case = case_of("D", "Eb")
    session = session_of(case)
    from undersong.mends.settings import setting_ideas

    reach = [idea for idea in setting_ideas(session.wanted()) if idea.kind == "reach"]
    assert len(reach) == 1
    assert CAUTION in reach[0].loses
    assert not any("safe" in f"{i.words} {i.loses}" for i in setting_ideas(session.wanted()))


def test_out_of_time_says_how_many_were_not_tried() -> None:
    session = Session("the-vicars-piano")
    clash = session.clash()
    assert clash is not None
    found = mends_of(session.wanted(), clash, Weights(), Watch(seconds=0.0))
    assert found.found == ()
    assert found.untried > 20


def test_no_kind_fills_the_list_while_others_wait() -> None:
    request = Session("the-vicars-piano").wanted()
    kinds = ["key"] * 4 + ["capo", "tuning"]
    found = tuple(
        Mend(kind, f"{kind} {n}", "", "", request, n, True) for n, kind in enumerate(kinds)
    )
    shown = Mends(found, 6, 0).best(4)
    assert [mend.kind for mend in shown] == ["key", "key", "capo", "tuning"]


PAGE = """X:1
T:Two bars
M:4/4
L:1/4
K:D
"D" D4 | %s D4 |]
"""


def test_the_command_tells_clash_and_mends(tmp_path: Path) -> None:
    page = tmp_path / "two.abc"
    page.write_text(PAGE % '"Eb"', encoding="utf-8")
    ended = run("mends", str(page), "--most", "3")
    assert ended.code == 1
    lines = ended.out.splitlines()
    assert lines[0].startswith("bar 2 cannot be played as asked: the bass begins on Eb")
    assert len(lines) == 4
    page.write_text(PAGE % '"D"', encoding="utf-8")
    ended = run("mends", str(page))
    assert ended.code == 0
    assert ended.out.startswith("it can be played as asked")


@pytest.mark.slow
def test_the_bundled_tune_that_is_made_for_another_key() -> None:
    mends = Session("the-vicars-piano").mends()
    options = [mend.option for mend in mends]
    assert len(mends) == 5
    # the tune's own page says: "on D-A-d take it down one semitone"
    assert "--transpose -1" in options
    assert "--tuning 'D#3 A#3 D#4'" in options
    # what can be played in D on D-A-d costs the same in E flat with every string tuned up as far
    costs = {mend.option: mend.cost for mend in mends}
    assert costs["--transpose -1"] == costs["--tuning 'D#3 A#3 D#4'"]


def only(conditions: Conditions, words: tuple[str, ...]) -> Conditions:
    """Those of the conditions alone that have these words."""
    for _ in parts_of(conditions):
        for part in parts_of(conditions):
            if part.words not in words:
                conditions = part.without
                break
    return conditions


def examine_over_tune(seed: int) -> bool:
    """Whether conditions over the tune clash; AssertionError where it is not just what it says."""
    asked = tiny_conditioned(seed)
    conditions = replace(asked.conditions, hardest=None)
    clash = session_of(asked.case).clash(asked.conditions, asked.case.weights)
    assert (clash is None) == (brute_best(asked.case, conditions) is not None)
    if clash is None or clash.bars:
        return False
    assert clash.proven
    kept = only(conditions, clash.demands)
    assert brute_best(asked.case, kept) is None
    if clash.irreducible:
        for part in parts_of(kept):
            assert brute_best(asked.case, part.without) is not None, (part.words, clash)
    return True


@pytest.mark.parametrize("seed", range(8))
def test_clashes_over_the_tune_are_irreducible(seed: int) -> None:
    examine_over_tune(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1200))
def test_many_clashes_over_the_tune_are_irreducible(seed: int) -> None:
    examine_over_tune(seed)
