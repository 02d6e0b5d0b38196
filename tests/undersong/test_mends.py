"""Mends are sufficient, and cost what they say: each is judged by writing every sequence down."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NoReturn

import pytest

from fretboard.hand import CAUTION, Hand
from scoring.weights import Weights
from solver.clash import clash_of_bars
from solver.conditions import NONE, Conditions
from solver.conditions.few_shapes import FewShapes, known_shapes
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.conditions.words import parts_of
from solver.demands import Wanted
from solver.errors import ArrangeError, NotFound, Unfulfillable
from solver.style import Style
from solver.watch import Watch
from tests.solver.brute import Page, brute_best, moments_asked
from tests.solver.conditioned import tiny_conditioned
from tests.solver.instances import Instance, tiny
from tests.solver.made import case_of
from tests.solver.oracles import Book
from tests.solver.ruled_book import TooMany
from tests.undersong.running import run
from undersong.cli.mending import besides
from undersong.mends import mends_of
from undersong.mends.mend import Idea, Kind, Mend, Mends, in_order
from undersong.mends.music import music_ideas
from undersong.mends.settings import setting_ideas
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


@dataclass(frozen=True)
class Seen:
    """found: mends; counted: those of them that were judged by writing everything down."""

    found: int
    counted: int


def examine(case: Instance, most: int, conditions: Conditions = NONE) -> Seen:
    """AssertionError where a mend is not what it says."""
    session = session_of(case)
    assert brute_best(case, conditions) is None
    mends = session.mends(conditions, case.weights, most=most)
    counted = 0
    for mend in mends:
        assert mend.proven
        try:
            told = counted_out(mend, case.weights)
        except TooMany:
            continue  # counted below, and asserted over all cases
        assert told == mend.cost, mend
        counted += 1
    for last in (False, True):
        costs = [mend.cost for mend in mends if mend.kind.asks_more_of_the_hand == last]
        assert costs == sorted(costs)
    return Seen(len(mends), counted)


def test_mends_of_tiny_tunes_are_sufficient() -> None:
    for seed in (0, 12, 16, 20):
        seen = examine(tiny(seed), most=4)
        assert seen.found > 0, seed
        assert seen.counted > 0, seed


@pytest.mark.slow
@pytest.mark.parametrize("first", range(400, 600, 50))
def test_mends_of_many_tiny_tunes_are_sufficient(first: int) -> None:
    found = counted = 0
    for seed in range(first, first + 50):
        case = tiny(seed)
        if clash_of_bars(Wanted(*case.asked[:4])) is not None:
            seen = examine(case, most=8)
            found, counted = found + seen.found, counted + seen.counted
    assert found > 20
    assert counted > 10


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


def test_what_asks_more_of_the_hand_comes_last_and_never_without_the_caution() -> None:
    case = case_of("D", "Eb", hand=Hand(not_used="P", may_bar="T"))
    ideas = list(setting_ideas(session_of(case).wanted()))
    more = [idea for idea in ideas if idea.kind.asks_more_of_the_hand]
    assert [(idea.kind, idea.words) for idea in more] == [
        (Kind.BAR, "let finger I bar"),
        (Kind.BAR, "let finger M bar"),
        (Kind.BAR, "let finger R bar"),
        (Kind.FINGER, "use finger P too"),
        (Kind.REACH, "only if your hand has it: a span of 220 mm"),
    ]
    assert all(CAUTION in idea.loses for idea in more)
    assert ideas[-len(more) :] == more
    assert not any("safe" in f"{idea.words} {idea.loses}" for idea in ideas)


def made(kind: Kind, cost: int, **more: int) -> Mend:
    request = Session("the-vicars-piano").wanted()
    return Mend(Idea(kind, f"{kind.value} {cost}", "", "", request, **more), cost, True)


def test_a_finger_that_was_to_rest_is_advised_after_all_else() -> None:
    found = in_order(
        [made(Kind.FINGER, 1), made(Kind.KEY, 9), made(Kind.KEY, 8), made(Kind.KEY, 7)]
    )
    assert [mend.cost for mend in found] == [7, 8, 9, 1]
    assert [mend.cost for mend in Mends(found, 4, 0).best(3)] == [7, 8, 9]
    assert [mend.cost for mend in Mends(found, 4, 0).best(4)] == [7, 8, 9, 1]


def test_what_is_neither_found_nor_proven_counts_as_untried(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A search that gives up proves nothing; one that proves there is none does."""
    session = session_of(case_of("D", "Eb", style=Style()))
    clash = session.clash()
    assert clash is not None

    def ended(error: type[ArrangeError]) -> Mends:
        def arrange(*_: object, **__: object) -> NoReturn:
            raise error("so it ended")

        monkeypatch.setattr(Session, "arrange", arrange)
        return mends_of(session.wanted(), clash, Weights(), Watch())

    given_up, proven = ended(NotFound), ended(Unfulfillable)
    assert given_up.found == proven.found == ()
    assert given_up.untried > 5
    assert proven.untried == 0
    assert proven.tried == given_up.tried + given_up.untried
    with pytest.raises(ArrangeError, match="so it ended"):
        ended(ArrangeError)  # a fault, which nobody may swallow


def test_the_reason_is_that_of_the_condition_named() -> None:
    """One shape is proven too few by search alone; 200 passing notes by counting, in words."""
    case = case_of("D", "Em", style=Style(bass_ceiling=5, highest=5))
    few = Conditions(shapes=FewShapes(1), quotas=(Quota("passing", least=200),))
    clash = session_of(case).clash(few)
    assert clash is not None
    assert clash.demands == ("at most 1 shape",)
    assert str(clash) == "the tune cannot be played as asked: at most 1 shape"


def test_a_chord_of_one_bar_is_not_mended_twice() -> None:
    def everywhere(*bars: str) -> Iterator[Idea]:
        wanted = session_of(case_of(*bars, style=Style())).wanted()
        clash = clash_of_bars(wanted)
        assert clash is not None
        ideas = music_ideas(wanted, clash, Watch())
        return (idea for idea in ideas if idea.kind is Kind.CHORDS)

    assert list(everywhere("D", "Eb", "G")) == []
    assert [idea.words for idea in everywhere("Eb", "D", "Eb")] == [
        "play Eb/G for Eb, wherever they stand"
    ]


def test_what_is_typed_alike_is_advised_once() -> None:
    """D-A-A is a usual tuning, and D-A-g with its melody string a step up."""
    asked = ("arrange", "harrow-lane", "--tuning", "dorian", "--texture", "drone")
    told = run(*asked, "--hand", "noter").told
    assert told.count("(--tuning 'D3 A3 A3')") == 1
    options = [line.split("(")[1].split(")")[0] for line in told.split("\n") if "mend: " in line]
    assert len(set(options)) == len(options) > 1


def test_many_losses_are_counted_and_not_told_one_by_one() -> None:
    wanted = session_of(case_of("Eb", "Fm", "Ab", "Bb", "D", style=Style())).wanted()
    clash = clash_of_bars(wanted)
    assert clash is not None
    all_over = [i for i in music_ideas(wanted, clash, Watch()) if i.kind is Kind.CHORDS]
    assert [idea.loses for idea in all_over] == ["the bass note of 4 chords"]


def test_out_of_time_says_how_many_were_not_tried() -> None:
    session = Session("the-vicars-piano")
    clash = session.clash()
    assert clash is not None
    found = mends_of(session.wanted(), clash, Weights(), Watch(seconds=0.0))
    assert found.found == ()
    assert found.untried > 20


def test_no_kind_fills_the_list_while_others_wait() -> None:
    kinds = [Kind.KEY] * 4 + [Kind.CAPO, Kind.TUNING]
    found = tuple(made(kind, n) for n, kind in enumerate(kinds))
    shown = Mends(found, 6, 0).best(4)
    assert [mend.kind for mend in shown] == [Kind.KEY, Kind.KEY, Kind.CAPO, Kind.TUNING]


def test_limits_are_apart_from_one_another() -> None:
    found = tuple(made(Kind.LIMIT, n, which=n % 2) for n in range(6))
    assert [mend.cost for mend in Mends(found, 6, 0).best(4)] == [0, 1, 2, 3]


def test_a_ceiling_is_raised_no_further_than_it_must_be() -> None:
    case = case_of("D", "Bm", style=Style(bass_ceiling=7, highest=7))
    mends = session_of(case).mends(most=50)
    raised = [mend.option for mend in mends if mend.kind is Kind.CEILING]
    assert raised == ["--bass-ceiling 5"], "B lies at fret 5 of a D string, nine semitones up"


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


def test_a_clash_is_told_where_the_refusal_says_less(tmp_path: Path) -> None:
    """The root and the ceiling clash, which the refusal says of the root alone; nothing clashes
    with a limit that cannot be held by itself."""
    page = tmp_path / "two.abc"
    page.write_text(PAGE % '"Bm"', encoding="utf-8")
    low = run("arrange", str(page), "--bass-ceiling", "4")
    assert low.code == 1
    assert "bar 2: Bm cannot be played: the bass string has no B up to fret 4" in low.lines[0]
    assert "clash: bar 2 cannot be played as asked: (1) " in low.lines[1]
    limit = run("arrange", str(page), "--at-least", "90 passing")
    assert limit.code == 1
    assert "'at least 90 passing' cannot be held: there can be no more than" in limit.lines[0]
    assert not any("clash: " in line for line in limit.lines)
    pinned = run("arrange", str(page), "--pin", "2: bass 1")
    assert pinned.code == 1
    assert "bar 2" in pinned.lines[0]
    assert "clash: bar 2 cannot be played as asked: (1) the bass begins on B" in pinned.lines[1]


@pytest.mark.slow
def test_the_bundled_tune_that_is_made_for_another_key() -> None:
    mends = Session("the-vicars-piano").mends()
    options = [mend.option for mend in mends]
    assert len(mends) == 5
    # the tune's own page says: "on D-A-d take it down one semitone"
    assert "--transpose -1" in options
    assert "--tuning 'Eb3 Bb3 Eb4'" in options
    # what can be played in D on D-A-d costs the same in E flat with every string tuned up as far
    costs = {mend.option: mend.cost for mend in mends}
    assert costs["--transpose -1"] == costs["--tuning 'Eb3 Bb3 Eb4'"]


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
    conditions = replace(asked.conditions, costliest=None)
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


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ((), "(--octave all=-1)"),
        ((("all", 1),), "(leave --octave out)"),
        ((("all", 2),), "(--octave all=1)"),
        ((("5-8", 1),), "(--octave 5-8=1 --octave all=-1)"),
    ],
)
def test_octaves_are_said_with_those_that_were_typed(
    typed: tuple[tuple[str, int], ...], told: str
) -> None:
    session = Session("harrow-lane")
    wanted = session.wanted(NONE)
    idea = Idea(Kind.OCTAVE, "play the whole melody an octave lower", "--octave all=-1", "", wanted)
    said = str(besides(Mend(idea, 1, True), typed))
    assert told in said
    assert ("lower than asked (" in said) == bool(typed)


def test_octaves_of_several_phrases_are_said_each() -> None:
    wanted = Session("harrow-lane").wanted(NONE)
    idea = Idea(Kind.OCTAVE, "play some", "--octave 1-2=-1 --octave 5=-1", "", wanted)
    mend = besides(Mend(idea, 1, True), (("5", 1),))
    assert mend.option == "--octave 1-2=-1"
