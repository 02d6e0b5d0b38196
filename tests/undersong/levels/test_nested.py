"""Levels nested bar by bar, each the best within its caps, by the checker's and the scoring room's
figures, never by the search's."""

import itertools
from dataclasses import replace
from pathlib import Path

import pytest

import corpus
from fretboard.presets import hand, instrument
from scoring.difficulty import bar_difficulties
from solver.bass_part import usual_bass_ceiling
from solver.conditions import NONE
from solver.conditions.alike import Alike
from solver.conditions.bars import WHOLE
from solver.conditions.pinned import Barred
from solver.conditions.pins import Pin
from solver.errors import NotPlayable
from solver.style import Style, manners_in
from tests.scoring.plain_difficulty import plain_bars
from tests.undersong.levels.judging import judged
from undersong.check.conditions import lies_across_anew
from undersong.levels import Level, LevelSet
from undersong.rated import Rater, rated_bars
from undersong.session import Session


def test_five_levels_nested(five: LevelSet) -> None:
    versions = judged(five)
    assert len(versions) == 5
    assert five.proven
    assert [made.style.manner for made in versions] == [
        "held", "roots", "alternating", "walking", "runs",
    ]  # fmt: skip
    assert sum(made.asked_cost for made in versions) == five.cost


def test_each_is_the_best_under_the_next(five: LevelSet, lamps: Path) -> None:
    """Asked for by itself with what it was to hold, each costs the same."""
    for one in five.met:
        made = one.arrangement
        assert made is not None
        session = Session(lamps, style=made.style)
        assert session.arrange(made.weights, made.conditions).cost == made.cost
        assert one.alone is not None
        assert one.alone <= made.cost


def test_ratings_are_counted_as_the_scoring_room_counts_them(five: LevelSet) -> None:
    first = five.met[0].arrangement
    assert first is not None
    alike = Rater(first.instrument, first.hand)  # which recalls what others had
    for one in five.met:
        made = one.arrangement
        assert made is not None
        asked = made.choices, made.moments, made.instrument, made.hand
        assert rated_bars(*asked)[0] == bar_difficulties(*asked) == plain_bars(*asked)
        for rater in (Rater(*asked[2:]), alike, alike):
            assert rater.bars(*asked[:2]) == rated_bars(*asked)


def test_closer_to_the_next_costs_more_and_differs_less(five: LevelSet, lamps: Path) -> None:
    close = Session(lamps).levels(close=400)
    judged(close)
    assert other_frets(close) <= other_frets(five)
    work = sum(one.arrangement.cost for one in close.met if one.arrangement is not None)
    assert work >= five.bound


def other_frets(found: LevelSet) -> int:
    """Strings with other frets than in the next version, where both strike something at once."""
    count = 0
    versions = [one.arrangement for one in found.met]
    for lower, higher in itertools.pairwise(versions):
        assert lower is not None
        assert higher is not None
        there = {
            (m.bar, m.offset): c.grip.frets
            for m, c in zip(higher.moments, higher.choices, strict=True)
            if any(c.struck)
        }
        for moment, choice in zip(lower.moments, lower.choices, strict=True):
            frets = there.get((moment.bar, moment.offset), choice.grip.frets)
            count += sum(a != b for a, b in zip(frets, choice.grip.frets, strict=True))
    return count


def test_levels_that_can_be_met_by_themselves_are_met_together() -> None:
    """A part on the whole bass string: shifts are few on the easy levels, so that a bar may have to
    be harder than the next level would choose, for the sake of the shifts in it."""
    tune = Session("harrow-lane").tune
    ceiling = usual_bass_ceiling(tune, instrument("standard"))
    style = Style(texture="bass", manner="held", bass_ceiling=ceiling)
    found = Session(tune, style=style).levels()
    assert len(judged(found)) == 5
    assert found.proven


def test_fingers_that_stay_up_do_so_where_the_melody_sounds_alone(tmp_path: Path) -> None:
    file = tmp_path / "gate.abc"
    file.write_text(
        'X:1\nT:Gate Left Open\nM:4/4\nL:1/4\nQ:1/4=60\nK:D\n"D"d2 A2|"N.C."e2 f2|"D"d4|\n',
        encoding="utf-8",
    )
    level = Level(1, "One finger.", "held", unused=("T", "M", "R", "P"))
    session = Session(file, style=Style(texture="solo"))
    (made,) = judged(session.levels((level,)))
    alone = [
        choice
        for moment, choice in zip(made.moments, made.choices, strict=True)
        if moment.chord is None and not moment.quiet
    ]
    assert any(finger >= 0 for choice in alone for finger in choice.grip.fingers)


def test_what_is_asked_of_the_tune_is_asked_of_every_version(lamps: Path) -> None:
    conditions = replace(NONE, pins=(Pin(WHOLE, Barred(), forbid=True),))
    for made in judged(Session(lamps).levels(conditions=conditions)):
        grips = [None, *(choice.grip for choice in made.choices)]
        pairs = itertools.pairwise(grips)
        assert not any(lies_across_anew(one, two) for one, two in pairs if two is not None)


@pytest.mark.slow
@pytest.mark.parametrize("name", corpus.names())
def test_levels_of_the_corpus_are_nested(name: str) -> None:
    tune = Session(name).tune
    if not any(bar.chords for bar in tune.bars):
        pytest.skip("no chords")
    found = Session(name).levels()
    judged(found)
    assert found.proven


@pytest.mark.slow
@pytest.mark.parametrize("manner", manners_in("song"))
@pytest.mark.parametrize("name", ["harrow-lane", "wet-boots-in-the-porch"])
def test_every_manner_has_its_easier_versions(name: str, manner: str) -> None:
    """The same manner at three levels, by the hand alone."""
    style = Style(texture="bass", manner=manner) if manner == "figure" else Style(manner=manner)
    levels = (
        Level(1, "Low and still.", manner, fingers=2, reach=75, barred=False),
        Level(2, "A little more.", manner, fingers=3, reach=85),
        Level(3, "Everything.", manner),
    )
    judged(Session(name, style=style).levels(levels))


@pytest.mark.slow
@pytest.mark.parametrize("texture", ["solo", "bass", "drone"])
@pytest.mark.parametrize("name", ["harrow-lane", "wet-boots-in-the-porch"])
def test_every_texture_has_levels(name: str, texture: str) -> None:
    style = Style(texture=texture, manner="held")
    found = Session(name, style=style).levels()
    if judged(found):
        return
    with pytest.raises(NotPlayable) as refused:  # no level can be met where the tune cannot be
        Session(name, style=style).arrange()
    assert {one.why for one in found.made} == {str(refused.value)}


def test_a_beginners_solo_is_easier_for_one_and_the_same_hand() -> None:
    """Rated for a medium hand without little finger and bars, which is how hard it is to see."""
    style, ruler = Style(texture="solo"), replace(hand("medium"), not_used="P", may_bar="")
    hardest = []
    for player in (hand("beginner"), ruler):
        made = Session("mending-weather", hand=player, style=style).arrange()
        hardest.append(
            max(bar_difficulties(made.choices, made.moments, made.instrument, ruler).values())
        )
    assert hardest[0] < hardest[1]


@pytest.mark.slow
@pytest.mark.parametrize("name", corpus.names())
def test_solos_are_no_harder_than_the_hand_or_the_hardest_by_itself(name: str) -> None:
    session = Session(name, style=Style(texture="solo"))
    if not any(bar.notes for bar in session.tune.bars):
        pytest.skip("no melody")
    found = session.levels()
    if not found.met:
        pytest.skip("no level can be met")
    judged(found)
    hardest = session.levels([found.met[-1].level]).made[0].ratings
    for one in found.met:
        assert all(percent <= max(100, hardest[bar]) for bar, percent in one.ratings.items())


@pytest.mark.slow
def test_levels_with_repeats_alike_come_out_in_their_time() -> None:
    """Within the usual time limit; each bar that comes again has the same hands, by the checker."""
    tune = Session("harrow-lane").tune
    ceiling = usual_bass_ceiling(tune, instrument("standard"))
    style = Style(texture="bass", manner="held", bass_ceiling=ceiling)
    found = Session(tune, style=style).levels(conditions=replace(NONE, alike=Alike("repeats")))
    assert len(judged(found)) == 5
    assert found.proven


@pytest.mark.slow
def test_a_level_is_not_given_up_for_what_the_next_would_only_like() -> None:
    """The first of these solos needs much of many bars; the hardest, whose moves have a time, holds
    just that, and not all that the levels between would choose above it."""
    found = Session("long-way-round-the-green", style=Style(texture="solo")).levels()
    assert len(judged(found)) == 5
