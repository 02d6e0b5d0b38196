"""Two or more answers side by side, played bar by played bar: alternatives, levels, other hands,
tunings, capos, textures, or versions of a tune whose bars correspond by number.

Answers may have other moments (another bass manner, right hand or texture), so a bar is looked at
wherever in it any answer does something, and what the others hold there stands beside it. Costs
are all counted by the first answer's weights, whatever each was made with, so that they can be
compared; amounts are what no weight touches. ``undersong.compared`` has what is said of two answers
of one session.

Public: side_by_side, Comparison, Row, CompareError, DIFFERENCES, AS_PLAYED, MOST.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from scoring.evaluate import Bill
from solver.errors import ArrangeError
from solver.result import Arrangement
from tune.bar_names import bar_name
from undersong.compare.same_tune import named, other_tune
from undersong.compare.settings import settings_of
from undersong.compare.side import Side, sides_of
from undersong.compared import Figures, figures, printed_bars
from undersong.wording import many

MOST = 20
"""How many answers can stand side by side."""

DIFFERENCES = ("chords", "frets", "strokes", "pitches", "bass", "missing tones", "fingers")
"""In what a bar may differ, in the order in which it is told."""

AS_PLAYED = frozenset(("frets", "strokes", "pitches"))
"""The differences that are fretted or heard; other fingers alone are none of these."""


class CompareError(ArrangeError):
    """Answers that cannot be compared; one sentence that names them."""


@dataclass(frozen=True)
class Row:
    """One played bar. bar: which of ``tune.played``, from 1; printed: its number on the page, with
    the time through where that matters; sides: one an answer; differs: in what, out of
    ``DIFFERENCES``, nothing where all play it alike."""

    bar: int
    printed: str
    sides: tuple[Side, ...]
    differs: tuple[str, ...]

    @property
    def played_otherwise(self) -> bool:
        """Whether the bar differs as fretted or heard, not only by fingers."""
        return bool(AS_PLAYED & set(self.differs))


@dataclass(frozen=True)
class Comparison:
    """names: what each answer is called; answers: the first is what the others are held against;
    rows: one a played bar."""

    names: tuple[str, ...]
    answers: tuple[Arrangement, ...]
    rows: tuple[Row, ...]

    @cached_property
    def bills(self) -> tuple[Bill, ...]:
        """Each answer's bill by the first's weights."""
        weights = self.answers[0].weights
        return tuple(replace(answer.bill, weights=weights) for answer in self.answers)

    @cached_property
    def figures(self) -> tuple[Figures, ...]:
        """What can be counted of each; its costliest bar is so by its own weights."""
        return tuple(figures(answer) for answer in self.answers)

    @property
    def differing(self) -> tuple[Row, ...]:
        """The bars in which not all are alike."""
        return tuple(row for row in self.rows if row.differs)

    @cached_property
    def settings(self) -> dict[str, tuple[str, ...]]:
        """Setting → its words, one an answer, for settings that are not the same in all."""
        asked = [settings_of(answer) for answer in self.answers]
        return {
            name: tuple(each[name] for each in asked)
            for name in asked[0]
            if len({each[name] for each in asked}) > 1
        }

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """A sentence for each answer that is to another tune than the first, as far as its title
        and its chords say."""
        first = self.answers[0].tune
        return tuple(
            f"{name} is an answer to another tune than {self.names[0]} ({told}); bars stand side "
            "by side by their numbers only"
            for name, answer in zip(self.names[1:], self.answers[1:], strict=True)
            if (told := other_tune(first, answer.tune))
        )

    def hardest(self, number: int) -> tuple[int, int]:
        """The played bar that is most difficult in answer ``number``, the first of equals, and its
        percent."""
        side = max((row.sides[number] for row in self.rows), key=lambda side: side.difficulty)
        return side.bar, side.difficulty

    def median(self, number: int) -> int:
        """Percent of the middle bar in answer ``number`` (``scoring.difficulty.Rating``)."""
        return self.answers[number].difficulty.median


def side_by_side(answers: Sequence[Arrangement], names: Sequence[str] = ()) -> Comparison:
    """The answers side by side. names: what to call each; counted from 1 where not given.

    Raises CompareError for fewer than two answers or more than ``MOST``, and for answers whose
    played bars do not correspond: another number of them, or a bar of another length or number.
    """
    if not 2 <= len(answers) <= MOST:
        raise CompareError(f"2 to {MOST} answers can be compared, not {len(answers)}")
    names = tuple(names) or tuple(str(number) for number in range(1, len(answers) + 1))
    if len(names) != len(answers):
        raise CompareError(f"there are {len(answers)} answers and {len(names)} names for them")
    for name, answer in zip(names[1:], answers[1:], strict=True):
        _check(names[0], answers[0], name, answer)
    tune = answers[0].tune
    sides = [sides_of(answer, answers[0].weights) for answer in answers]
    rows = tuple(
        _row(
            bar.number, printed_bars(tune, (bar.number,)), tuple(each[bar.number] for each in sides)
        )
        for bar in tune.played
    )
    return Comparison(names, tuple(answers), rows)


def _check(first: str, one: Arrangement, name: str, other: Arrangement) -> None:
    """CompareError where the other's bars are not the one's."""
    mine, theirs = len(one.tune.played), len(other.tune.played)
    if mine != theirs:
        raise CompareError(
            f"{first} plays {many(mine, 'bar')} and {name} {theirs}{named(one.tune, other.tune)}; "
            "compare answers of one tune, or versions with the same bars and repeats"
        )
    for here, there in zip(one.tune.played, other.tune.played, strict=True):
        mine_bar, their_bar = one.tune.bars[here.written], other.tune.bars[there.written]
        if (mine_bar.number, mine_bar.length) != (their_bar.number, their_bar.length):
            raise CompareError(
                f"played bar {here.number} is {bar_name(mine_bar.number)} ({mine_bar.metre}) in "
                f"{first} and {bar_name(their_bar.number)} ({their_bar.metre}) in {name}"
                f"{named(one.tune, other.tune)}; compare versions whose bars have the same numbers "
                "and lengths"
            )


def _row(number: int, printed: str, sides: tuple[Side, ...]) -> Row:
    first, found = sides[0], set()
    for other in sides[1:]:
        found |= _differences(first, other)
    return Row(number, printed, sides, tuple(name for name in DIFFERENCES if name in found))


def _differences(one: Side, other: Side) -> set[str]:
    found: set[str] = set()
    if one.chords != other.chords and one.strokes and other.strokes:
        found.add("chords")
    if one.bass != other.bass:
        found.add("bass")
    if one.missing != other.missing:
        found.add("missing tones")
    mine, theirs = ({s.offset: s for s in side.strokes} for side in (one, other))
    for offset in sorted({*mine, *theirs}):
        here, there = one.at(offset), other.at(offset)
        struck = [tuple(s[offset].struck) if offset in s else () for s in (mine, theirs)]
        if _sounded(struck[0]) != _sounded(struck[1]):
            found.add("strokes")
        if here is None or there is None:
            continue
        if here.frets != there.frets:
            found.add("frets")
        if here.pitches != there.pitches:
            found.add("pitches")
        if here.fingers != there.fingers and here.frets == there.frets:
            found.add("fingers")
    return found


def _sounded(struck: tuple[bool, ...]) -> tuple[bool, ...]:
    """The strings struck; nothing where none is, whether or not the hand moves there."""
    return struck if any(struck) else ()
