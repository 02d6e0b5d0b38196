"""What hands can hold: shared among moments, keys and tunings, the same as made by itself."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from fretboard.fingering import fingerings
from fretboard.hand import Hand
from fretboard.presets import hand, instrument
from scoring.moment import Moment
from scoring.terms import SHAPE_TERMS
from scoring.weights import Weights
from solver.charges import counted
from solver.grips import Grips
from solver.held import Held, HeldShapes
from solver.moments import moments_of
from solver.ratings import rated
from solver.style import TEXTURES, Style, manners_in
from solver.tables import MoveTables
from undersong.api import read_tune

STANDARD, MORE = instrument(), instrument("1+6+8+13+")


def style_of(texture: str) -> Style:
    return Style(manner=manners_in(texture)[0], texture=texture)


def moments(texture: str) -> list[Moment]:
    return list(dict.fromkeys(moments_of(read_tune("lantern-path"), style_of(texture), 3)))


def alike(one: HeldShapes, other: HeldShapes) -> bool:
    fields = ("frets", "fingers", "struck", "place")
    return all(
        np.array_equal(getattr(one.shapes, name), getattr(other.shapes, name)) for name in fields
    )


@pytest.mark.parametrize("texture", TEXTURES)
def test_moments_share_their_shapes_only_where_they_have_the_same(texture: str) -> None:
    style = style_of(texture)
    shared = Held(STANDARD, Hand(), style)
    found = [shared.at(moment) for moment in moments(texture)]
    assert len({id(held) for held in found}) < len(found), "or nothing is shared"
    for moment, held in zip(moments(texture), found, strict=True):
        assert alike(held, Held(STANDARD, Hand(), style).at(moment))
        assert (shared.at(replace(moment, bar=99, ms=moment.ms + 1))) is held


def test_what_is_counted_of_a_shape_is_the_scoring_rooms_word() -> None:
    held = Held(STANDARD, Hand(), Style()).at(moments("song")[3])
    for term in SHAPE_TERMS:
        amount = term.amount(held.shapes)
        assert np.array_equal(held.amounts.get(term.about.name, np.zeros_like(amount)), amount)
    assert held.amounts


def test_moves_cost_the_same_whatever_was_asked_before_on_that_fretboard() -> None:
    """Tables that grew, by other tunings too, against those of the tuning alone."""
    asked = moments("song")[:6]
    grips = Grips(STANDARD, Hand())
    tables = None
    for name in ("D-A-d", "D-G-d", "D-A-c"):
        own = instrument(tuning=name)
        grown, alone = (Held(own, Hand(), Style(), grips=each) for each in (grips, None))
        playable = [moment for moment in asked if len(alone.at(moment))]
        for one in playable:
            pitches = [held.at(one).shapes.pitch for held in (grown, alone)]
            assert np.array_equal(*pitches), "shapes sound as this tuning has it"
        tables = MoveTables.of(grown.states, Weights(), tables)
        plain = MoveTables.of(alone.states, Weights())
        for one in playable:
            for other in playable:
                pair = [(held.at(one), held.at(other)) for held in (grown, alone)]
                costs = [
                    each.all_pairs(*two, 400, one.damped)
                    for each, two in zip((tables, plain), pair, strict=True)
                ]
                assert np.array_equal(*costs)
                assert costs[0].max() <= tables.most(400, one.damped)
                assert np.array_equal(*(rated(*two, 400, one.damped) for two in pair))
                assert np.array_equal(*(counted("shifts", *two) for two in pair))
        assert playable


@pytest.mark.parametrize("at", [1, 5, 20])
def test_who_is_interrupted_among_new_grips_asks_again_for_all(
    at: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C may come anywhere, and the same search be asked again."""
    asked = [(0, 2, fret) for fret in (2, 4, 5, 7, 9, 10)] + [(4, fret, 7) for fret in range(2, 6)]
    asked += [(fret, 4, 5) for fret in range(2, 12)]
    plain, broken = (Grips(STANDARD, Hand()) for _ in range(2))
    left = [at]

    def made(*whatever: Any) -> Any:
        left[0] -= 1
        if not left[0]:
            raise KeyboardInterrupt
        return fingerings(*whatever)

    with monkeypatch.context() as patched:
        patched.setattr("solver.grips.fingerings", made)
        with pytest.raises(KeyboardInterrupt):
            broken.rows(asked, (100,))
    rows = broken.rows(asked, (100,))
    assert rows == plain.rows(asked, (100,))
    assert np.array_equal(broken.made.frets, plain.made.frets)
    assert sum(map(len, rows)) == len(plain.made.frets) > len(asked)


def test_grips_of_another_hand_or_fretboard_do_not_serve() -> None:
    grips = Grips(STANDARD, Hand())
    assert grips.serve(instrument(tuning="C-G-c"), Hand())
    for on, by in ((STANDARD, hand("small")), (instrument(capo=2), Hand()), (MORE, Hand())):
        with pytest.raises(ValueError, match="another hand or fretboard"):
            Held(on, by, Style(), grips=grips)


def test_tables_under_other_weights_do_not_serve() -> None:
    held = Held(STANDARD, Hand(), Style())
    held.at(moments("song")[3])
    tables = MoveTables.of(held.states, Weights())
    with pytest.raises(ValueError, match="other weights"):
        MoveTables.of(held.states, Weights.of({"barred": 7}), tables)
