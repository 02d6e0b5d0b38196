"""A bass manner of its own for some bars: as if the tune were split there at a section."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from scoring.moment import Moment
from solver.moments import moments_of
from solver.righthand import right_hand
from solver.style import Style, manners_in
from tests.solver.laid_out import bass, lay, tune
from tests.solver.test_moments_chance import HANDS, bars
from tune.tune import Bar, Tune


def laid(song: Tune, manners: dict[int, str], otherwise: str = "roots") -> tuple[Moment, ...]:
    style = Style(manner=otherwise, right_hand=right_hand("bass-then-strum"))
    return moments_of(song, style, 3, manners)


def test_bars_walk_between_bars_that_do_not() -> None:
    moments = laid(tune("4/4", "D", "G", "A", "D"), {1: "walking", 2: "walking"})
    assert bass(moments) == [
        "0:R 2:R", "0:R 1:any 2:tone 3:any", "0:R 1:any 2:tone 3:any", "0:R 2:R",
    ]  # fmt: skip


def test_a_chord_that_goes_on_begins_afresh_in_the_new_manner() -> None:
    moments = laid(tune("4/4", "D", "", "", "D"), {1: "walking"})
    assert bass(moments)[:3] == ["0:R 2:R", "0:R 1:any 2:tone 3:any", "0:R 2:R"]
    assert [m.bar for m in moments if m.change] == [1, 2, 3]


def test_within_the_bars_a_chord_goes_on() -> None:
    moments = laid(tune("4/4", "D", "", "", "D"), {1: "walking", 2: "walking"})
    assert bass(moments)[2] == "0:tone 1:any 2:tone 3:any"
    assert [m.bar for m in moments if m.change] == [1, 2, 4]  # the last bar walks no more


def test_the_manner_that_everything_has_anyway_changes_nothing() -> None:
    song = tune("4/4", "D", "", "", "D")
    assert laid(song, {1: "roots", 2: "roots"}) == lay(song, "roots")


def test_a_held_bass_rings_in_its_own_bars_only() -> None:
    moments = laid(tune("4/4", "D", "G", "D"), {1: "held"})
    assert {m.bar for m in moments if m.rings} == {2}


def test_a_run_leads_into_bars_that_do_not_run() -> None:
    moments = laid(tune("4/4", "D", "G", "D"), {0: "runs"})
    assert [(m.bar, m.offset) for m in moments if m.run][-1] == (2, 0)
    assert {m.bar for m in moments if m.run} == {1, 2}


@settings(max_examples=80, deadline=None)
@given(
    bars(),
    st.lists(st.sampled_from(manners_in("song")), min_size=12, max_size=12),
    st.sampled_from(manners_in("song")),
    st.sampled_from(HANDS),
    st.data(),
)
def test_each_bar_is_laid_out_as_if_the_tune_were_split_at_sections(
    made: list[Bar], names: list[str], otherwise: str, hand: str, data: st.DataObject
) -> None:
    song = tune("4/4", *made, replace(made[-1], number=9, repeat_times=1, section="", endings=()))
    if not song.has_chords:
        return
    count = len(song.bars)
    chosen = data.draw(st.sets(st.integers(0, count - 1)))
    manners = {index: names[index % 12] for index in chosen}
    of = [manners.get(index, otherwise) for index in range(count)]
    split = [
        replace(bar, section=bar.section or "split")
        if index and of[index] != of[index - 1]
        else bar
        for index, bar in enumerate(song.bars)
    ]
    sections = replace(song, bars=tuple(split))
    pattern = right_hand(hand)
    found = moments_of(song, Style(manner=otherwise, right_hand=pattern), 3, manners)
    for manner in {*of}:
        whole = moments_of(sections, Style(manner=manner, right_hand=pattern), 3)
        mine = [m for m in found if of[m.written] == manner]
        theirs = [m for m in whole if of[m.written] == manner]
        # a run goes on into the next chord, whatever that chord's own manner is
        assert [replace(m, run=False) for m in mine] == [replace(m, run=False) for m in theirs]
