"""One version of a tune: proven only where the solver says so, with one fingering for a shape where
its level asks for that."""

from dataclasses import replace

import pytest

from scoring.weights import Weights
from solver import search
from solver.conditions import NONE
from solver.conditions.alike import Alike
from solver.conditions.bars import WHOLE
from solver.conditions.few_shapes import LearnedShape, learned
from solver.conditions.pinned import Fingering
from solver.conditions.pins import Pin
from solver.proof import prove
from solver.question import Found, Question
from solver.result import UNPROVEN, Arrangement
from solver.watch import Watch
from undersong.api import read_tune
from undersong.check import check
from undersong.levels import LevelSet, levels_for
from undersong.levels.fingerings import settled, settling
from undersong.levels.version import Demands, Version
from undersong.rated import Rater
from undersong.session import Session


def test_no_version_is_called_proven_unless_the_solver_says_optimal(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Found] = []

    def unsure(*args: object, **named: object) -> Found:
        asked.append(prove(*args, **named))  # type: ignore[arg-type]
        return replace(asked[-1], optimal=False)

    monkeypatch.setattr(search, "prove", unsure)
    made = Session(read_tune("kettle-on-at-nine")).levels()
    assert len(asked) == len(made.met) > 3
    assert all(each.optimal for each in asked)
    assert not made.proven
    assert {one.arrangement.proof.status for one in made.met if one.arrangement} == {UNPROVEN}


def test_a_version_that_the_solver_finds_otherwise_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def other(*args: object, **named: object) -> Found:
        found = prove(*args, **named)  # type: ignore[arg-type]
        return replace(found, nodes=(*found.nodes[:-1], found.nodes[-1] ^ 1))

    monkeypatch.setattr(search, "prove", other)
    with pytest.raises(RuntimeError, match="not the one that the exact pass found"):
        Session(read_tune("kettle-on-at-nine")).levels()


def test_what_the_solver_was_asked_already_is_not_asked_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[int] = []

    def unsure(question: Question, *args: object, **named: object) -> Found:
        asked.append(len(question.moments))
        found = prove(question, *args, **named)  # type: ignore[arg-type]
        return replace(found, optimal=False)  # as where time ended: another may be found later

    monkeypatch.setattr(search, "prove", unsure)
    session, level = Session("kettle-on-at-nine"), levels_for("song")[-1]
    own = session.in_style(level.style(session.style, session.instrument))
    asks = replace(NONE, alike=Alike("repeats"))
    version = Version(level, own, asks, Weights(), frozenset(), Rater(own.instrument, own.hand))
    solved = version.solve(Demands({}, {}), Watch())
    before = len(asked)
    assert before
    assert version.proven(solved, Watch()) is solved.answer
    assert len(asked) == before


def fingerings(made: Arrangement) -> list[int]:
    """In how many ways each shape's frets are fingered."""
    ways: dict[tuple[int | None, ...], set[object]] = {}
    for choice in made.choices:
        shape = learned(choice.grip)
        if shape is not None:
            ways.setdefault(shape.frets, set()).add(shape.fingers)
    return [len(fingered) for fingered in ways.values()]


def test_the_first_levels_have_one_fingering_for_a_shape(five: LevelSet) -> None:
    for one in five.met[:2]:
        assert one.level.one_fingering
        assert one.arrangement is not None
        assert set(fingerings(one.arrangement)) == {1}
    assert not any(one.level.one_fingering for one in five.met[2:])


def test_one_fingering_is_settled_on_the_one_played_most() -> None:
    """This tune's first level has shapes with several fingerings, else the test says nothing."""
    level = levels_for("song")[0]
    session = Session("mending-weather")
    (loose,) = session.levels((replace(level, one_fingering=False),)).met
    (one,) = session.levels((level,)).met
    assert loose.arrangement is not None
    assert one.arrangement is not None
    assert sum(many > 1 for many in fingerings(loose.arrangement)) > 1
    assert sum(many > 1 for many in fingerings(one.arrangement)) <= 1
    assert one.arrangement.cost >= loose.arrangement.cost
    assert check(one.arrangement) == ()
    pins = settled(loose.arrangement.choices)
    assert len(pins) == sum(many > 1 for many in fingerings(loose.arrangement))
    assert (
        settled(
            loose.arrangement.choices,
            [
                LearnedShape(pin.pinned.shape.frets)
                for pin, *_ in pins
                if isinstance(pin.pinned, Fingering)
            ],
        )
        == ()
    )


def test_what_cannot_be_settled_together_is_settled_one_by_one() -> None:
    one, two, three = (
        Pin(WHOLE, Fingering(LearnedShape((fret, None, None), (0, None, None))))
        for fret in (2, 4, 5)
    )

    def solve(pins: tuple[Pin, ...]) -> frozenset[Pin] | None:
        return None if two in pins else frozenset(pins)

    def still(found: frozenset[Pin]) -> list[tuple[Pin, ...]]:
        return [(pin,) for pin in (one, two, three) if pin not in found]

    assert settling(frozenset(), still, solve) == {one, three}

    def either(found: frozenset[Pin]) -> list[tuple[Pin, ...]]:
        """The second may be played as the third is."""
        return [ways for ways in ((one,), (two, three)) if not found & set(ways)]

    assert settling(frozenset(), either, solve) == {one, three}
