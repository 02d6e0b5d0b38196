"""Written values, worked by hand (common practice, no source), and what must hold of any bar."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.undersong.sheet.written import metre_of, written
from tune.time import QUARTER, Metre
from undersong.sheet.errors import SheetError
from undersong.sheet.rhythm import Stem, stems

BARS = [
    # metre, what is asked, what is written
    ("2/4", "2", "2"),
    ("2/4", "1/2 1 1/2", "8b1 8b1~ 8b2 8b2"),
    ("2/4", "1/4 1/2 1/4 1", "16b1 8b1 16b1 4"),
    ("2/4", "3/4 1/4 1/2 1/2", "8.b1 16b1 8b2 8b2"),
    ("2/4", "1/4 3/4 1", "16b1 8.b1 4"),
    ("2/4", "3/2 1/2", "4. 8"),
    ("3/4", "3", "2."),
    ("3/4", "1 2", "4 2"),
    ("3/4", "1 3/2 1/2", "4 4. 8"),
    ("3/4", "1/2 3/2 1", "8b1 8b1~ 4 4"),
    ("3/4", "5/2 1/2", "2~ 8b1 8b1"),
    ("3/4", "1/2 5/2", "8b1 8b1~ 2"),
    ("4/4", "4", "1"),
    ("4/4", "1 2 1", "4 2 4"),
    ("4/4", "1 3", "4 2."),
    ("4/4", "3 1", "2. 4"),
    ("4/4", "3/2 1/2 3/2 1/2", "4. 8 4. 8"),
    ("4/4", "1 3/2 3/2", "4 4~ 8b1 8b1~ 4"),
    ("4/4", "1/2 7/2", "8b1 8b1~ 4~ 2"),
    ("4/4", "7/4 1/4 2", "4.. 16 2"),
    ("4/4", "7/2 1/2", "2~ 4. 8"),
    ("2/2", "1 2 1", "4 4~ 4 4"),
    ("2/2", "1/2 1/2 1/2 1/2 2", "8b1 8b1 8b1 8b1 2"),
    ("2/2", "1/2 1 1/2 2", "8 4 8 2"),
    ("3/2", "6", "1."),
    ("4/2", "8", "1~ 1"),
    ("6/8", "3", "2."),
    ("6/8", "1 1/2 1/2 1/2 1/2", "4 8 8b1 8b1 8b1"),
    ("6/8", "1/2 1 1 1/2", "8 4 4 8"),
    ("6/8", "2 1", "4.~ 8 4"),
    ("6/8", "3/4 1/4 1/2 3/2", "8.b1 16b1 8b1 4."),
    ("6/8", "1/4 1/2 1/4 1/2 3/2", "16b1 8b1 16b1 8b1 4."),
    ("6/8", "3/4 1/2 1/4 3/2", "8.b1 8b1 16b1 4."),
    ("6/8", "3/4 3/4 3/2", "8.b1 8.b1 4."),
    ("9/8", "9/2", "2.~ 4."),
    ("9/8", "3 1 1/2", "2. 4 8"),
    ("12/8", "6", "1."),
    ("12/8", "3/2 3 3/2", "4. 2. 4."),
    ("12/8", "9/2 3/2", "2.~ 4. 4."),
    ("3/8", "1/2 1/2 1/2", "8b1 8b1 8b1"),
    ("3/8", "3/2", "4."),
    ("5/4", "5", "2.~ 2"),
    ("5/4", "2 1 2", "2 4 2"),
    ("5/8", "1/2 1/2 1/2 1/2 1/2", "8b1 8b1 8b1 8b2 8b2"),
    ("7/8", "7/2", "2~ 4."),
]

RESTS = [
    ("4/4", "r4", "r1"),
    ("3/4", "r3", "r1"),
    ("6/8", "r3", "r1"),
    ("4/4", "2 r2", "2 r2"),
    ("4/4", "1 r3", "4 r4 r2"),
    ("4/4", "1 r2 1", "4 r4 r4 4"),
    ("4/4", "1/2 r3/2 2", "8 r8 r4 2"),
    ("3/4", "1 r2", "4 r4 r4"),
    ("3/4", "1/4 r3/4 2", "16 r16 r8 2"),
    ("6/8", "1 r1/2 r3/2", "4 r8 r4."),
    ("6/8", "1/2 r1 3/2", "8 r8 r8 4."),
    ("6/8", "r1 1/2 3/2", "r4 8 4."),
    ("12/8", "3 r3", "2. r2."),
    ("2/4", "1/2 r1/2 1/2 1/2", "8 r8 8b1 8b1"),
]

TUPLETS = [
    ("4/4", "1/3 1/3 1/3 3", "8:3/2[b1 8:3/2b1 8:3/2]b1 2."),
    ("4/4", "2/3 1/3 3", "4:3/2[ 8:3/2] 2."),
    ("4/4", "2/3 2/3 2/3 2", "4:3/2[ 4:3/2 4:3/2] 2"),
    ("4/4", "4/3 4/3 4/3", "2:3/2[ 2:3/2 2:3/2]"),
    ("3/4", "2/3 2/3 2/3 1", "4:3/2[ 4:3/2 4:3/2] 4"),
    ("4/4", "1/6 1/6 1/6 1/2 3", "16:3/2[b1 16:3/2b1 16:3/2]b1 8b1 2."),
    ("4/4", "1/6 1/6 1/6 1/6 1/6 1/6 3",
     "16:3/2[b1 16:3/2b1 16:3/2]b1 16:3/2[b1 16:3/2b1 16:3/2]b1 2."),
    ("4/4", "1/5 1/5 1/5 1/5 1/5 3", "16:5/4[b1 16:5/4b1 16:5/4b1 16:5/4b1 16:5/4]b1 2."),
    ("4/4", "1/7 1/7 1/7 1/7 1/7 1/7 1/7 3",
     "16:7/4[b1 16:7/4b1 16:7/4b1 16:7/4b1 16:7/4b1 16:7/4b1 16:7/4]b1 2."),
    ("6/8", "1/2 1/3 1/3 1/3 3/2", "8b1 8:3/2[b1 8:3/2b1 8:3/2]b1 4."),
    ("6/8", "3/10 3/10 3/10 3/10 3/10 3/2",
     "8:5/3[b1 8:5/3b1 8:5/3b1 8:5/3b1 8:5/3]b1 4."),
    ("4/4", "r1/3 2/3 3", "r8:3/2[ 4:3/2] 2."),
    ("4/4", "4/3 1/3 1/3 2", "4~ 8:3/2[b1 8:3/2b1 8:3/2]b1 2"),
    ("4/4", "1/2 1 1/3 1/3 1/3 3/2", "8b1 8b1~ 8 8:3/2[b2 8:3/2b2 8:3/2]b2 8~ 4"),
    ("4/4", "1/3 1/6 1/6 1/3 3", "8:3/2[b1 16:3/2b1 16:3/2b1 8:3/2]b1 2."),
]  # fmt: skip


@pytest.mark.parametrize(("metre", "items", "expected"), [*BARS, *RESTS, *TUPLETS])
def test_a_bar_is_written_as_the_trade_writes_it(metre: str, items: str, expected: str) -> None:
    assert written(metre, items) == expected


@pytest.mark.parametrize(
    ("metre", "items", "lead", "expected"),
    [
        ("4/4", "1", "3", "4"),
        ("4/4", "1/2 1/2", "3", "8b1 8b1"),
        ("4/4", "3/2", "5/2", "8~ 4"),  # begins off the beat: tied at the fourth
        ("4/4", "1/2 1", "5/2", "8 4"),
        ("6/8", "1/2", "5/2", "8"),
        ("6/8", "1/2 1/2 1/2 1/2", "1", "8 8b1 8b1 8b1"),
        ("3/4", "r1/2 1/2", "2", "r8 8"),
        ("4/4", "1/3 1/3", "10/3", "8:3/2[b1 8:3/2]b1"),
    ],
)
def test_a_pickup_is_counted_from_its_place_in_the_full_bar(
    metre: str, items: str, lead: str, expected: str
) -> None:
    assert written(metre, items, lead) == expected


def test_a_short_bar_without_notes_has_rests_of_its_length() -> None:
    assert stems((), Metre(4, 4), QUARTER, 3 * QUARTER) == (Stem(None, 0, QUARTER, 4, 0),)


@pytest.mark.parametrize(
    "spans",
    [[(0, 2 * QUARTER), (QUARTER, QUARTER)], [(0, 5 * QUARTER)], [(-1, 3)], [(0, 0)]],
)
def test_notes_that_do_not_fit_are_refused(spans: Sequence[tuple[int, int]]) -> None:
    with pytest.raises(SheetError, match="overlap or do not fit"):
        stems(spans, Metre(4, 4), 4 * QUARTER)


@pytest.mark.parametrize("length", [1, 11, QUARTER - 1])
def test_what_no_value_lasts_is_refused(length: int) -> None:
    with pytest.raises(SheetError, match=r"no written value|shorter than any"):
        stems([(0, length)], Metre(4, 4), 4 * QUARTER)


METRES = ("2/4", "3/4", "4/4", "2/2", "3/2", "6/8", "9/8", "12/8", "5/4", "7/8", "3/8", "5/8")


@st.composite
def bars(draw: st.DrawFn) -> tuple[Metre, int, int, list[tuple[int, int]]]:
    """Any bar cut into binary and ternary places, some left silent; a pickup sometimes."""
    metre = metre_of(draw(st.sampled_from(METRES)))
    unit = 4 * QUARTER // metre.unit
    places = [0]
    clock = 0
    while clock < metre.bar:
        parts = draw(st.sampled_from((1, 1, 1, 2, 2, 4, 3)))
        places += [clock + unit * part // parts for part in range(1, parts + 1)]
        clock += unit
    kept = [p for p in places if p in (0, metre.bar) or draw(st.integers(0, 3))]
    lead = draw(st.sampled_from([0, 0, *kept[:-1]]))
    kept = [place - lead for place in kept if place >= lead]
    spans = [(one, other - one) for one, other in pairwise(kept) if draw(st.integers(0, 4))]
    return metre, metre.bar - lead, lead, spans


def _worth(stem: Stem) -> Fraction:
    """What the written value lasts, in ticks, by arithmetic of its own."""
    worth = Fraction(4 * QUARTER, stem.base) * (2 - Fraction(1, 2**stem.dots))
    return worth * Fraction(stem.tuplet[1], stem.tuplet[0]) if stem.tuplet else worth


@given(bars())
def test_any_bar_adds_up_and_loses_nothing(
    bar: tuple[Metre, int, int, list[tuple[int, int]]],
) -> None:
    metre, length, lead, spans = bar
    made = stems(spans, metre, length, lead)
    clock = 0
    for stem in made:
        assert stem.tick == clock
        assert stem.base in (1, 2, 4, 8, 16, 32, 64, 128)
        assert 0 <= stem.dots <= 2
        whole_bar = len(made) == 1 and stem.event is None and stem.base == 1
        assert whole_bar or _worth(stem) == stem.length
        clock += stem.length
    assert clock == length
    for event, (tick, lasts) in enumerate(spans):
        own = [stem for stem in made if stem.event == event]
        assert own[0].tick == tick
        assert sum(stem.length for stem in own) == lasts
        assert [stem.ties_on for stem in own] == [True] * (len(own) - 1) + [False]
    assert all(not stem.ties_on for stem in made if stem.event is None)


def bracket_leaves_its_beat(made: tuple[Stem, ...], at: int, beat: int, lead: int) -> bool:
    """Whether the stem stands under a bracket that runs over more than one beat: such a bracket is
    beamed as one."""
    if made[at].tuplet is None:
        return False
    first = next(i for i in range(at, -1, -1) if made[i].tuplet_starts)
    last = next(i for i in range(at, len(made)) if made[i].tuplet_ends)
    end = made[last].tick + made[last].length + lead
    return (made[first].tick + lead) // beat != (end - 1) // beat


@given(bars())
def test_beams_join_neighbours_of_one_beat(
    bar: tuple[Metre, int, int, list[tuple[int, int]]],
) -> None:
    metre, length, lead, spans = bar
    made = stems(spans, metre, length, lead)
    beams: dict[int, list[int]] = {}
    for index, stem in enumerate(made):
        if stem.beam is not None:
            beams.setdefault(stem.beam, []).append(index)
    assert list(beams) == list(range(1, len(beams) + 1))
    for indexes in beams.values():
        assert len(indexes) > 1
        assert indexes == list(range(indexes[0], indexes[-1] + 1))
        assert all(made[i].base >= 8 and made[i].event is not None for i in indexes)
        if metre.compound or metre.unit <= 4:
            ticks = [made[i].tick + lead for i in indexes]
            assert (
                bracket_leaves_its_beat(made, indexes[0], metre.beat, lead)
                or len({tick // metre.beat for tick in ticks}) == 1
            )


@given(bars())
def test_tuplets_are_closed_and_last_what_plain_notes_would(
    bar: tuple[Metre, int, int, list[tuple[int, int]]],
) -> None:
    metre, length, lead, spans = bar
    made = stems(spans, metre, length, lead)
    inside: tuple[int, int] | None = None
    begin = 0
    for stem in made:
        if stem.tuplet_starts:
            assert inside is None
            inside, begin = stem.tuplet, stem.tick
        assert stem.tuplet == inside
        if stem.tuplet_ends:
            assert inside is not None
            bracket = Fraction(stem.tick + stem.length - begin, inside[1])
            whole = begin + lead > lead or lead == 0  # a pickup may show the tuplet's end only
            assert not whole or (4 * QUARTER % bracket == 0)
            inside = None
    assert inside is None
