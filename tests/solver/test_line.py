"""The bass line's rules: one note at a time and whole arrays of notes say the same.

That the rules are the right ones is for ``test_bass_alone`` and ``test_clash``, whose oracles have
rules of their own.
"""

from dataclasses import replace

import numpy as np
import pytest

from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.moment import FOREIGN, ROLES
from solver.conditions import Conditions
from solver.demands import Wanted
from solver.labels import LabelWays
from solver.line import (
    APPROACH,
    COMES,
    COMES_BY,
    GOES,
    GOES_BY,
    RETURN_BY,
    STRAIGHT,
    TARGETS,
    column,
    comes,
    goes,
    ways_on,
)
from solver.loose import _follow
from solver.loose_rows import Row, Rows
from solver.refusal import unplayable_chord
from solver.righthand import right_hand
from solver.roles import bass_roles
from solver.style import Style
from tests.solver.made import case_of, graph_of
from tune.chord import QUALITIES, Chord

PITCHES = range(38, 70)
CODES = range(APPROACH + 1)


def test_the_tables_are_the_rules_of_single_notes() -> None:
    line = 50
    steps = np.array([pitch - line for pitch in PITCHES])
    for code in CODES:
        arrives = [comes(code, line, pitch) for pitch in PITCHES]
        assert COMES[code, column(steps)].tolist() == arrives
        leaves = [goes(code, line, pitch, "root", True) for pitch in PITCHES]
        assert GOES[code, column(steps)].tolist() == leaves
        assert comes(code, -1, line) == (code not in COMES_BY)
    for role in ROLES:
        for change in (False, True):
            lands = goes(APPROACH, 50, 51, role, change)
            assert lands == (change and role in TARGETS)
            assert goes(STRAIGHT, 50, 69, role, change)


def test_a_foreign_note_leaves_as_its_name_says() -> None:
    """Common practice: a passing note goes on the way that it came, a neighbour note goes back."""
    for code in ways_on("passing", leads=False):
        assert COMES_BY[code] == GOES_BY[code]
        assert len({by > 0 for by in COMES_BY[code]}) == 1
    for code in ways_on("neighbour", leads=False):
        assert {-by for by in COMES_BY[code]} == GOES_BY[code] == {RETURN_BY[code]}
    assert ways_on("approach", leads=True) == (APPROACH,)
    assert ways_on("approach", leads=False) == ()
    every = {code for role in ROLES for code in ways_on(role, leads=True)}
    assert every == set(CODES)
    assert all(ways_on(role, leads=True) == (STRAIGHT,) for role in ROLES if role not in FOREIGN)


def by_labels(ways: LabelWays, label: int, kind: int) -> set[tuple[str, int, int]]:
    """(role, going, line) of every label that one may go on to with shapes of that kind."""
    new = ways.after.labels
    return {
        ("" if new.role[a] < 0 else ROLES[new.role[a]], int(new.going[a]), int(new.line[a]))
        for a in np.flatnonzero(ways.fits[label, kind]).tolist()
    }


def one_by_one(ways: LabelWays, label: int, kind: int) -> set[tuple[str, int, int]]:
    """The same by what is played when demands are left out, all of them kept."""
    old, moment = ways.before.labels, ways.after.moment
    struck, ringing, *_ = ways.after.kinds[kind].tolist()
    pitch = struck if struck >= 0 else ringing
    before = int(old.going[label]), int(old.line[label])
    found = set()
    for role in bass_roles(moment, struck, instrument()) if struck >= 0 else [""]:
        row = Row((), (), (struck >= 0,), role, pitch)
        found |= {(role, *new) for new in _follow(before, row, moment, moment.keeps)}
    return found


@pytest.mark.parametrize("manner", ["walking", "runs", "free", "alternating-fourth"])
def test_labels_and_single_notes_agree_on_every_pair(manner: str) -> None:
    foreign = barred = 0
    for bars, metre in ((("D", "D/F#", "G", "A7"), "3/4"), (("D N.C.", "Em A"), "4/4")):
        for right in ("bass-only", "bass-then-strum"):
            style = Style(manner, right_hand(right), bass_ceiling=12, highest=4)
            hand = Hand(not_used="TMRP", may_bar="")
            graph = graph_of(case_of(*bars, metre=metre, hand=hand, style=style))
            for ways in {id(link): link.ways for link in graph.links}.values():
                for label in range(len(ways.before.labels)):
                    for kind in range(len(ways.after.kinds)):
                        found = one_by_one(ways, label, kind)
                        assert by_labels(ways, label, kind) == found
                        foreign += sum(going != STRAIGHT for _, going, _ in found)
                        barred += not found
    assert barred
    assert foreign > 50 or manner == "alternating-fourth"


def test_a_chord_is_refused_outright_alike_in_words_and_under_its_demands() -> None:
    """A sentence is given just where root or body is asked and not there."""
    case = case_of("D")
    refused = 0
    for ceiling in range(0, 13, 2):
        style = Style(bass_ceiling=ceiling, highest=2)
        for tuning in ("D3 A3 D4", "D3 A3 A3"):
            on = instrument(tuning=tuning)
            rows = Rows(Wanted(case.tune, on, case.hand, style, Conditions()))
            (moment, *_) = graph_of(case).moments
            for root in ("C", "Eb", "F", "G#", "B"):
                for quality in QUALITIES:
                    chord = Chord(root, quality)
                    kinds = frozenset({"bass", "body", "ceiling", "highest"})
                    told = unplayable_chord(chord, on, style)
                    asked = replace(moment, chord=chord, change=True)
                    assert rows._refused(asked, kinds) == (told is not None)
                    assert not rows._refused(replace(asked, change=False), kinds)
                    refused += told is not None
    assert refused > 100
