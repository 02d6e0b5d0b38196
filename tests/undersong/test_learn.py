"""Weights learned from likes: judged by every sequence counted out (``tests.solver.brute``), and by
linear programs over all of them (GLOP, a solver of real numbers; lessons use CP-SAT)."""

import re
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from ortools.linear_solver import pywraplp

from scoring.evaluate import evaluate
from scoring.terms import TERMS
from scoring.weights import DEFAULTS, Weights
from solver.conditions import NONE, Conditions
from solver.conditions.pins import Pin
from solver.errors import ArrangeError
from solver.result import UNPROVEN, Arrangement, Proof
from solver.watch import Watch
from tests.solver.brute import Page, moments_asked
from tests.solver.instances import Instance, tiny
from tests.solver.oracles import Book
from tests.solver.ruled_book import TooMany
from tests.undersong.arranged import chart
from tests.undersong.running import run
from undersong.learn import (
    ALREADY,
    BEST,
    NEAREST,
    UNFINISHED,
    FileLike,
    PinLike,
    learn_weights,
    liked_pins,
)
from undersong.learn.words import lesson_text, lesson_toml
from undersong.session import Session
from undersong.sheet.write import write

NAMES = [term.about.name for term in TERMS]
LIMITS = [term.about.limit for term in TERMS]
TUNE = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |\n")


def page_of(case: Instance, weights: Weights, most: int = 20_000) -> Page:
    moments = moments_asked(case, NONE)
    book = Book(moments, case.instrument, case.hand, case.style, weights, most=most)
    return Page(book, case.tune)


def played(case: Instance, page: Page, row: int) -> Arrangement:
    asked = (case.tune, case.instrument, case.hand, case.style, Weights(), page.book.moments)
    made = Arrangement(*asked, page.choices(row), Proof(UNPROVEN, 0, 0))
    return replace(made, proof=Proof(UNPROVEN, made.cost, 0))


def cases(most: int) -> Iterator[tuple[Instance, Page]]:
    """Tiny cases with few enough sequences, counted by the default weights."""
    for seed in range(2000):
        try:
            case = replace(tiny(seed), weights=Weights())
            page = page_of(case, Weights(), most)
            Session(
                case.tune, instrument=case.instrument, hand=case.hand, style=case.style
            ).arrange()
        except (TooMany, ArrangeError):
            continue
        if 1 < len(page.standing) <= most:
            yield case, page


def amounts_of(case: Instance, page: Page) -> np.ndarray:
    """(sequences, terms): every sequence's amounts."""
    rows = []
    for row in range(len(page.standing)):
        bill = evaluate(page.choices(row), page.book.moments, case.instrument, case.hand, Weights())
        rows.append([amount for amount, _ in bill.terms.values()])
    return np.array(rows)


def can_be_best(*liked: tuple[np.ndarray, int]) -> bool:
    """Whether some weights, whole or not, make each of those rows the best of its table."""
    solver = pywraplp.Solver.CreateSolver("GLOP")
    weights = [
        solver.NumVar(-(-DEFAULTS[name] // 10), float(limit), "")
        for name, limit in zip(NAMES, LIMITS, strict=True)
    ]
    for table, row in liked:
        for dearer in np.unique(table[row] - table, axis=0).tolist():
            solver.Add(sum(many * w for many, w in zip(dearer, weights, strict=True)) <= 0)
    status = solver.Solve()
    assert status in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.INFEASIBLE)
    return bool(status == pywraplp.Solver.OPTIMAL)


def test_learned_weights_make_what_was_best_under_other_weights_best() -> None:
    learned = 0
    dice = np.random.default_rng(7)
    for case, page in cases(3000):
        other = Weights.of(
            {name: -(-DEFAULTS[name] * int(dice.choice((3, 10, 30))) // 10) for name in NAMES}
        )
        session = Session(case.tune, instrument=case.instrument, hand=case.hand, style=case.style)
        liked = session.arrange(other)
        if replace(liked, weights=Weights()).cost == page.cost.sum(axis=1).min():
            continue
        lesson = learn_weights([FileLike("liked", liked)])
        assert lesson.end == BEST
        assert lesson.changed
        truth = page_of(case, lesson.weights).cost.sum(axis=1)
        assert replace(liked, weights=lesson.weights).cost == truth.min()
        if lesson.clear:
            again = session.arrange(lesson.weights)
            assert again.cost == truth.min()
            assert [a for a, _ in again.bill.terms.values()] == [
                a for a, _ in liked.bill.terms.values()
            ]
        assert all(lot.before and lot.after == 0 for lot in lesson.lots)
        for name in NAMES:
            assert lesson.weights[name] >= min(DEFAULTS[name], -(-DEFAULTS[name] // 10))
        learned += 1
        if learned == 8:
            return
    raise AssertionError("too few cases")


def test_whether_anything_at_all_is_best_is_told_as_linear_programs_tell_it() -> None:
    """Rows by chance: found best by the lesson only if real weights can make them so, and never
    called impossible where whole weights of ten times the size would do."""
    never = ever = 0
    dice = np.random.default_rng(11)
    for case, page in cases(60):
        table = amounts_of(case, page)
        row = int(dice.integers(len(table)))
        lesson = learn_weights([FileLike("some", played(case, page, row))])
        possible = can_be_best((table, row))
        if lesson.end in (BEST, ALREADY):
            assert possible
            ever += 1
        else:
            assert lesson.end == NEAREST
            left = lesson.lots[0].after
            total = page_of(case, lesson.weights).cost.sum(axis=1)
            assert left == total[row] - total.min() > 0
            assert lesson.against == ("some",)
            assert lesson.sure
            never += not possible
        if never >= 5 and ever >= 5:
            return
    raise AssertionError((never, ever))


def test_likes_that_contradict_one_another_are_told() -> None:
    """Two sequences, each of which can be best, but not both: by linear programs over all."""
    for case, page in cases(40):
        table = amounts_of(case, page)
        able = [row for row in range(len(table)) if can_be_best((table, row))]
        pairs = [
            (one, two)
            for one in able
            for two in able
            if one < two and not can_be_best((table, one), (table, two))
        ]
        for one, two in pairs[:4]:
            likes = [FileLike(f"row {row}", played(case, page, row)) for row in (one, two)]
            if any(learn_weights([like]).end == NEAREST for like in likes):
                continue  # only weights that are no whole ms would do
            lesson = learn_weights(likes)
            assert lesson.end == NEAREST
            assert lesson.against == (f"row {one}", f"row {two}")
            assert lesson.sure
            assert "contradict" in lesson_text(lesson)
            third = FileLike("best", played(case, page, int(page.cost.sum(axis=1).argmin())))
            if can_be_best((table, one)) and learn_weights([likes[0], third]).end != NEAREST:
                more = learn_weights([third, *likes])
                assert set(more.against) <= {"best", f"row {one}", f"row {two}"}
                assert len(more.against) == 2
            return
    raise AssertionError("no two that contradict one another")


def test_what_is_best_already_needs_no_lesson() -> None:
    answer = Session(TUNE).arrange()
    lesson = learn_weights([FileLike("mine", answer)])
    assert (lesson.end, lesson.changed, lesson.rounds) == (ALREADY, {}, 1)
    assert "best already" in lesson_text(lesson)


def test_pins_are_learned_from() -> None:
    session = Session(TUNE)
    answer = session.arrange()
    pins = Pin.parse("2 beat 2: 3-1-0", False, session.instrument)
    conditions = Conditions(pins=pins)
    held = session.arrange(conditions=conditions)
    assert held.cost > answer.cost, "the pin has a price, or there is nothing to learn"
    likes = [PinLike(pin) for pin in liked_pins(conditions)]
    lesson = learn_weights(likes, session=session, conditions=conditions)
    assert lesson.lots[0].before == held.cost - answer.cost
    free = session.arrange(lesson.weights)
    pinned = session.arrange(lesson.weights, conditions)
    assert lesson.lots[0].after == pinned.cost - free.cost
    if lesson.end == BEST:
        assert pinned.cost == free.cost
    else:
        assert lesson.end == NEAREST
        assert not lesson.sure, "other ways with the pin might have been best"
    assert lesson.lots[0].after < lesson.lots[0].before


@pytest.mark.parametrize(
    ("bars", "pin"),
    [
        ("| D | Bm | G | D | Bm | A7 | G | D |", "3: bass 3"),
        ("| D | G | A7 | D |", "2 beat 2: 3-1-0"),
        ("| G | D | D |", "1 beat 2: 3-3-0"),
    ],
)
def test_bars_that_would_change_besides_are_named(bars: str, pin: str) -> None:
    """Played anew under both weights, and compared bar by bar here."""
    session = Session(chart(f"key: D\nmetre: 4/4\n{bars}\n"))
    conditions = Conditions(pins=Pin.parse(pin, False, session.instrument))
    likes = [PinLike(one) for one in liked_pins(conditions)]
    lesson = learn_weights(likes, session=session, conditions=conditions)
    assert lesson.changed
    now, then = session.arrange(), session.arrange(lesson.weights)
    rows = zip(now.moments, now.choices, then.choices, strict=True)
    apart = {m.bar for m, a, b in rows if (a.grip.frets, a.struck) != (b.grip.frets, b.struck)}
    besides = lesson.lots[0].besides
    assert besides is not None
    assert set(map(int, re.findall(r"\d+", _spelt(besides)))) == apart - {int(pin[0])}
    told = f"{besides} would change too" if besides else "no other bar would change"
    assert f"with nothing pinned, {told}" in lesson_text(lesson)


def _spelt(bars: str) -> str:
    """Every bar of ``bars 1-3, 5`` by its number."""
    return re.sub(
        r"(\d+)-(\d+)",
        lambda run: " ".join(map(str, range(int(run[1]), int(run[2]) + 1))),
        bars,
    )


def test_what_cannot_be_learned_from() -> None:
    answer = Session(TUNE).arrange()
    with pytest.raises(ArrangeError, match="name at least one"):
        learn_weights([])
    with pytest.raises(ArrangeError, match="one round"):
        learn_weights([FileLike("mine", answer)], rounds=0)
    broken = replace(answer, choices=(answer.choices[-1], *answer.choices[1:]))
    with pytest.raises(ArrangeError, match="mine: no weights can make it the best"):
        learn_weights([FileLike("mine", broken)])
    with pytest.raises(ArrangeError, match="need a tune"):
        learn_weights([PinLike(*Pin.parse("1: bass 0", False, answer.instrument))])


def test_out_of_time_and_out_of_rounds() -> None:
    session = Session(TUNE)
    liked = session.arrange(
        conditions=Conditions(pins=Pin.parse("2 beat 2: 3-1-0", False, session.instrument))
    )
    like = FileLike("mine", replace(liked, conditions=NONE))
    lesson = learn_weights([like], watch=Watch(seconds=0.0))
    assert (lesson.end, lesson.changed) == (UNFINISHED, {})
    assert "no time" in lesson_text(lesson)
    lesson = learn_weights([like], rounds=1)
    assert lesson.end == UNFINISHED
    assert lesson.rounds == 1
    left = replace(liked, conditions=NONE).cost - session.arrange().cost
    assert f"have left is {left} ms in all" in lesson_text(lesson)


def test_a_far_like_ends_in_time_with_the_distance_that_is_left() -> None:
    """Every bass note with the middle finger: no weights come near that."""
    session = Session("harrow-lane")
    pins = Pin.parse("all: bass M", False, session.instrument)
    watch = Watch(seconds=3.0)
    lesson = learn_weights([PinLike(*pins)], session=session, watch=watch)
    assert time.perf_counter() - watch.begun < 3.0 + 3.0, "one search at most is past the limit"
    assert lesson.end == UNFINISHED
    (lot,) = lesson.lots
    assert lot.before is not None
    assert lot.after is not None
    assert 0 < lot.after <= lot.before
    assert f"have left is {lot.after} ms in all" in lesson_text(lesson)


def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    session = Session(TUNE)
    for seed in range(200):
        dice = np.random.default_rng(seed)
        other = Weights.of(
            {name: -(-DEFAULTS[name] * int(dice.choice((2, 50))) // 10) for name in NAMES}
        )
        liked = session.arrange(other)
        if replace(liked, weights=Weights()).cost > session.arrange().cost:
            break
    write(liked, "liked.json")
    ended = run("learn", "liked.json", "--to", "mine.toml")
    assert ended.code == 0
    assert "suggested:" in ended.out
    assert "proven best" in ended.out
    weights = Weights.from_file(tmp_path / "mine.toml")
    assert session.arrange(weights).cost == replace(liked, weights=weights).cost
    again = run("learn", "liked.json", "--weights", "mine.toml", "--to", "more.toml")
    assert "best already" in again.out
    assert "nothing to suggest" in again.told
    assert not (tmp_path / "more.toml").exists()


def test_the_file_holds_what_is_not_the_default() -> None:
    answer = Session(TUNE).arrange()
    lesson = learn_weights([FileLike("mine", answer)], Weights.of({"high-bass": 16}))
    assert "high-bass = 16" in lesson_toml(lesson)


def test_the_command_tells_how_it_goes_where_no_terminal_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The README's example: a bass that stays on fret 3."""
    monkeypatch.setattr("undersong.cli.learn.EVERY", 0.0)
    ended = run("learn", "harrow-lane", "--pin", "3: bass 3")
    assert ended.code == 0
    assert "proven best" in ended.out
    notes = [line for line in ended.told.splitlines() if "looking for weights" in line]
    assert notes[0].startswith("undersong: note: round 1, ")
    assert "ms from the best so far, looking for weights (" in notes[0]
    assert notes[0].endswith(" s of 60)")
