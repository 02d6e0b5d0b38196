"""The checker lets sound passages pass and catches, by its own rule, each way to spoil one.

Every row of the table spoils a passage at one moment and names the rule that must speak up there.
The rules are common practice, no source, but for those that TRADE.md ("Bass") gives with one.
"""

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import pytest

from fretboard.hand import Hand
from scoring.weights import Weights
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from tests.undersong.passages import (
    SOUND,
    alternating,
    arranged,
    bar,
    free,
    held,
    resting,
    strummed,
    style_of,
    tune_of,
    walking,
    with_choice,
    with_line,
    with_moment,
)
from tune.chord import parse_chord
from tune.time import Metre
from undersong.check import RULES, Fault, check


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_passage_has_no_fault(name: str) -> None:
    assert check(SOUND[name]()) == ()


class Row(NamedTuple):
    """What is done to which passage, and the rule that catches it at that moment."""

    what: str
    base: Callable[[], Arrangement]
    spoil: Callable[[Arrangement], Arrangement]
    moment: int
    rule: str


def line(index: int, text: str) -> Callable[[Arrangement], Arrangement]:
    return lambda base: with_line(base, index, text)


def said(index: int, **fields: object) -> Callable[[Arrangement], Arrangement]:
    return lambda base: with_moment(base, index, **fields)


def handed(**fields: object) -> Callable[[Arrangement], Arrangement]:
    return lambda base: replace(base, hand=Hand(**fields))  # type: ignore[arg-type]


def styled(**fields: object) -> Callable[[Arrangement], Arrangement]:
    return lambda base: replace(base, style=replace(base.style, **fields))  # type: ignore[arg-type]


ROWS = [
    # frets
    Row("no fret 1+ on this instrument", alternating,
        line(1, "0 0 3 | - - I | 100 | -ms"), 1, "fret"),
    Row("fret 2 lies behind a capo at 3", alternating,
        lambda a: replace(a, instrument=a.instrument.with_capo(5)), 1, "fret"),
    Row("the open string is gone under a capo", alternating,
        lambda a: replace(a, instrument=a.instrument.with_capo(5)), 0, "fret"),
    Row("a fret below nothing", alternating,
        line(1, "-2 0 4 | - - I | 140 | -ms"), 1, "fret"),
    Row("the bass above its ceiling", alternating, styled(bass_ceiling=6), 2, "fret"),
    Row("a melody string above the highest", alternating, styled(highest=3), 1, "fret"),
    Row("two strings too few", alternating, line(1, "0 0 | - - | 140 | -m"), 1, "fret"),
    # fingers
    Row("a fret that no finger stops", alternating,
        line(1, "0 0 4 | - - - | 140 | -ms"), 1, "finger"),
    Row("a finger on an open string", alternating,
        line(1, "0 0 4 | - M I | 140 | -ms"), 1, "finger"),
    # tones of the chord
    Row("E in a chord of D", alternating, line(1, "0 0 2 | - - I | 70 | -ms"), 1, "chord tone"),
    Row("open D in a chord of A", alternating, line(9, "7 4 0 | T I - | 160 | -ms"), 9,
        "chord tone"),
    Row("the slash bass of G/B is no reason for an A above it", strummed,
        line(6, "9 7 5 | T I M | 240 | bms | slash bass"), 6, "chord tone"),
    # roles
    Row("the fifth called third", alternating,
        line(2, "7 0 4 | T - I | 160 | b-- | third"), 2, "role"),
    Row("a bass note without a name", alternating, line(2, "7 0 4 | T - I | 160 | b--"), 2, "role"),
    Row("a name without a bass note", alternating,
        line(3, "7 0 4 | T - I | 160 | -ms | fifth"), 3, "role"),
    Row("a seventh that a plain chord has not", alternating,
        line(2, "10 0 4 | T - I | 220 | b-- | seventh"), 2, "role"),
    Row("a slash bass where no slash is", alternating,
        line(4, "5 x x | T - - | 130 | b-- | slash bass"), 4, "role"),
    Row("a chord tone called passing", walking,
        line(1, "4 x x | I - - | 140 | b-- | passing"), 1, "role"),
    Row("a slash bass called passing", strummed,
        line(6, "9 5 5 | T M M | 210 | bms | passing"), 6, "role"),
    # foreign notes (Open Music Theory; Lehmann: only on weak beats)
    Row("a passing note on the third beat", walking,
        line(2, "5 x x | I - - | 170 | b-- | passing"), 2, "foreign note"),
    Row("a foreign note where a chord begins", walking,
        line(4, "5 x x | I - - | 170 | b-- | neighbour"), 4, "foreign note"),
    Row("a foreign note under alternation", alternating,
        line(2, "5 0 4 | T - I | 140 | b-- | neighbour"), 2, "foreign note"),
    Row("a passing note outside the key", walking,
        line(1, "10 x x | I - - | 300 | b-- | passing"), 1, "foreign note"),
    Row("a passing note left by leap", walking,
        line(2, "7 x x | I - - | 230 | b-- | fifth"), 1, "foreign note"),
    Row("a passing note that turns back", walking,
        line(2, "0 x x | - - - | 100 | b-- | root"), 1, "foreign note"),
    Row("a neighbour note that goes on", walking,
        line(6, "11 x x | I - - | 320 | b-- | third"), 5, "foreign note"),
    Row("a neighbour note from elsewhere", walking,
        line(4, "11 x x | I - - | 320 | b-- | third"), 5, "foreign note"),
    Row("an approach that leads to no root", walking,
        line(4, "4 x x | I - - | 140 | b-- | fifth"), 3, "foreign note"),
    Row("an approach a leap away", walking,
        line(3, "2 x x | I - - | 70 | b-- | approach"), 3, "foreign note"),
    Row("an approach inside a chord", walking,
        line(1, "2 x x | I - - | 70 | b-- | approach"), 1, "foreign note"),
    Row("two foreign notes in a row", walking,
        line(2, "4 x x | I - - | 140 | b-- | passing"), 1, "foreign note"),
    Row("a foreign note at the very end", walking,
        line(11, "2 x x | I - - | 70 | b-- | passing"), 11, "foreign note"),
    # root, manner, ending
    Row("a chord that begins on its third", alternating,
        line(4, "9 x x | T - - | 250 | b-- | third"), 4, "root"),
    Row("a chord that begins without a bass note", alternating,
        line(4, "x x x | - - - | 130 | ---"), 4, "root"),
    Row("the slash bass left for the root", strummed,
        line(6, "5 5 5 | M M M | 210 | bms | root"), 6, "root"),
    Row("the fourth without its licence", alternating,
        line(2, "5 0 4 | T - I | 140 | b-- | alternate fourth"), 2, "manner"),
    Row("a beat that is not walked", walking, line(9, "0 x x | - - - | 100 | ---"), 9, "manner"),
    Row("a held bass let go", held, line(1, "x 0 4 | - - I | 140 | -ms"), 1, "manner"),
    Row("another bass note where it repeats", strummed,
        line(1, "12 0 4 | T - I | 200 | bms | root"), 1, "manner"),
    Row("the last bar ends on the fifth", alternating,
        line(14, "7 0 4 | T - I | 160 | b-- | fifth"), 14, "ending"),
    Row("a walk that ends on the third", walking,
        line(11, "4 x x | I - - | 140 | b-- | third"), 11, "ending"),
    Row("a free bass that ends on a note of its own", free,
        line(7, "9 x x | I - - | 280 | b-- | fifth"), 7, "ending"),
    # the bass below the others
    Row("a bass above the open middle string", alternating,
        line(3, "12 0 4 | T - I | 230 | -ms"), 3, "lowest"),
    # the hand
    Row("fingers that would cross", alternating,
        line(2, "7 0 4 | M - I | 190 | b-- | fifth"), 2, "order"),
    Row("one finger at two frets", alternating,
        line(9, "7 4 2 | T I I | 120 | -ms"), 9, "barring"),
    Row("a finger that may not lie across", strummed, handed(may_bar="IR"), 6, "barring"),
    Row("a finger across a string at a lower fret", alternating,
        line(3, "4 0 4 | I - I | 140 | -ms"), 3, "barring"),
    Row("a finger where another lies already", alternating,
        line(3, "4 4 4 | I M I | 140 | -ms"), 3, "barring"),
    Row("index to middle further than they stretch", alternating,
        line(9, "7 4 2 | T I M | 130 | -ms"), 9, "reach"),
    Row("a shorter reach than the player's", alternating,
        handed(comfortable={(0, 1): 500}, greatest={(0, 1): 800}), 2, "reach"),
    Row("a finger that is to rest", alternating, handed(not_used="R"), 9, "not used"),
    Row("a thumb on the bass that keeps off it", alternating,
        handed(thumb_on_bass=False), 2, "thumb"),
    Row("a hand behind the nut", alternating,
        line(0, "0 x x | - - - | -1 | b-- | root"), 0, "place"),
    Row("a hand beyond the bridge", alternating,
        line(0, "0 x x | - - - | 900 | b-- | root"), 0, "place"),
    Row("a hand far from its finger", alternating,
        line(1, "0 0 4 | - - I | 180 | -ms"), 1, "place"),
    # what rings
    Row("a ringing string that changes its fret", alternating,
        line(7, "2 2 0 | M I - | 90 | -ms"), 7, "ringing"),
    Row("a ringing string that changes its finger", alternating,
        line(3, "7 0 4 | I - R | 200 | -ms"), 3, "ringing"),
    Row("a string that sounds before it is struck", alternating,
        line(0, "0 0 x | - - - | 100 | b-- | root"), 0, "ringing"),
    Row("a silent string that sounds again", alternating,
        lambda a: with_line(a, 2, "7 x 4 | T - I | 160 | b-- | fifth"), 2, "sound"),
    Row("a silent string struck", alternating, line(1, "0 0 x | - - - | 140 | -ms"), 1, "ringing"),
    Row("a damped bass that rings on", resting, line(1, "0 0 4 | - - I | 140 | -ms"), 1, "damping"),
    Row("a string rings into a rest", resting, line(4, "x 0 x | - - - | 100 | ---"), 4, "rest"),
    Row("a string struck in a rest", resting, line(4, "x 0 x | - - - | 100 | -m-"), 4, "rest"),
    Row("a string rings out of a rest", resting,
        line(5, "0 0 x | - - - | 100 | b-- | root"), 5, "ringing"),
    # the right hand
    Row("a middle string left out", alternating,
        line(1, "0 x 4 | - - I | 140 | --s"), 1, "right hand"),
    Row("a bass note that nothing asks for", alternating,
        line(1, "0 0 4 | - - I | 140 | bms | root"), 1, "right hand"),
    Row("a strum where the bass is alone", alternating,
        line(2, "7 0 4 | T - I | 160 | bms | fifth"), 2, "right hand"),
    Row("a full strum without its bass", strummed,
        line(1, "0 0 4 | - - I | 140 | -ms"), 1, "right hand"),
    # what the moments say
    Row("another chord than the tune's", alternating, said(4, chord=parse_chord("Em")), 4, "asked"),
    Row("a change that is none", alternating, said(1, change=True), 1, "asked"),
    Row("a strong beat that is weak", walking, said(2, strong=False), 2, "asked"),
    Row("a first beat that is none", alternating, said(4, downbeat=False), 4, "asked"),
    Row("a half bar that is none", alternating, said(2, half_bar=False), 2, "asked"),
    Row("more time than the tempo leaves", alternating, said(3, ms=1000), 3, "asked"),
    Row("a strum that nobody judges", alternating, said(1, judged=False), 1, "asked"),
    Row("a bass that need not move", walking, said(1, moves=False), 1, "asked"),
    Row("a run that is none", walking, said(1, run=True), 1, "asked"),
    Row("a repeated note set free", strummed, said(1, keeps=False), 1, "asked"),
    Row("a held note set free", held, said(1, rings=False), 1, "asked"),
    Row("a damped note said to ring", resting, said(0, damped=False), 0, "asked"),
    Row("a change that comes unforeseen", alternating, said(3, leads=False), 3, "asked"),
    Row("a melody string not asked for", alternating,
        said(1, strikes=((False, True, False),)), 1, "asked"),
    Row("a string said never to be played", alternating,
        said(1, plays=(True, True, False)), 1, "asked"),
    Row("another key", walking, said(1, scale=frozenset(range(12))), 1, "asked"),
    # time
    Row("the wrong bar", alternating, said(4, bar=3), 4, "time"),
    Row("a bar that the tune has not", alternating, said(4, bar=9), 4, "time"),
    Row("the wrong written bar", alternating, said(4, written=0), 4, "time"),
    Row("a later offset", alternating, said(5, offset=15120), 5, "time"),
    Row("an offset outside the bar", alternating, said(5, offset=40320), 5, "time"),
    Row("a shorter length", alternating, said(5, length=5040), 6, "time"),
    Row("a longer length", alternating, said(5, length=20160), 6, "time"),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.what)
def test_the_rule_catches_it_there(row: Row) -> None:
    spoiled = row.spoil(row.base())
    moment = spoiled.moments[row.moment]
    here = {f.rule for f in check(spoiled) if (f.bar, f.offset) == (moment.bar, moment.offset)}
    if row.rule == "sound":
        assert not here
    else:
        assert row.rule in here


def test_every_rule_catches_something() -> None:
    """But for the cost (below) and what is asked of the whole tune (``test_check_conditions``)."""
    elsewhere = {"cost", "alike", "shapes", "quota", "limits", "pin"}
    elsewhere |= {"melody", "on top", "drone", "alone", "noter"}  # of the other textures
    assert {row.rule for row in ROWS} - {"sound"} == set(RULES) - elsewhere


def test_a_string_let_go_stays_silent_until_struck() -> None:
    """The silent middle string of the row above must not ring in the strum after if unstruck."""
    quiet = with_line(alternating(), 6, "0 x 0 | - - - | 100 | b-- | fifth")
    assert not [fault for fault in check(quiet) if fault.rule == "ringing"]
    loud = with_line(quiet, 7, "0 2 0 | - I - | 70 | --s")
    assert "ringing" in {fault.rule for fault in check(loud)}


@pytest.mark.parametrize(
    "proof",
    [Proof(PROVEN, 1, 0), Proof(UNPROVEN, 2000, 1), Proof(UNPROVEN, 0, 0)],
)
def test_a_proof_of_another_cost_is_caught(proof: Proof) -> None:
    faults = check(replace(alternating(), proof=proof))
    assert [(fault.bar, fault.rule) for fault in faults] == [(0, "cost")]


def test_a_proof_with_its_gap_is_consistent() -> None:
    cost = alternating().cost
    assert check(replace(alternating(), proof=Proof(UNPROVEN, cost - 7, 7))) == ()


def test_a_cost_by_other_weights_is_caught() -> None:
    faults = check(replace(alternating(), weights=Weights.of({"finger-down": 41})))
    assert {fault.rule for fault in faults} == {"cost"}


def test_a_metre_without_pattern_is_a_fault() -> None:
    odd = replace(alternating(), tune=tune_of(bar("D", Metre(5, 4))))
    faults = check(odd)
    assert [fault.rule for fault in faults] == ["right hand"]
    assert "no pattern for 5/4" in faults[0].message


def test_moments_left_out_and_put_in() -> None:
    base = alternating()
    short = replace(base, moments=base.moments[:-1], choices=base.choices[:-1])
    assert {fault.rule for fault in check(short)} == {"time"}
    first = replace(base.moments[0], length=5040)
    second = replace(base.moments[0], offset=5040, length=5040)
    more = replace(
        base,
        moments=(first, second, *base.moments[1:]),
        choices=(base.choices[0], *base.choices),
    )
    faults = check(more)
    assert [(fault.offset, fault.rule) for fault in faults] == [(5040, "time")]


def test_the_bass_may_be_passed_under_at_a_price() -> None:
    """With the rule off, a string below the bass is no fault; only its price remains."""
    under = with_choice(alternating(), 14, frets=(12, 0, 4), fingers=(0, -1, 1), place=200)
    assert "lowest" in {fault.rule for fault in check(under)}
    allowed = replace(under, style=replace(under.style, bass_lowest=False))
    assert "lowest" not in {fault.rule for fault in check(allowed)}


LOW = """
    0 0 0 | - - - | 100 | bms | root
    0 0 0 | - - - | 100 | bms | root
    7 0 0 | I - - | 230 | bms | fifth
    7 0 0 | I - - | 230 | bms | fifth
    2 2 2 | I I I | 70  | bms | root
    2 2 2 | I I I | 70  | bms | root
    2 2 2 | I I I | 70  | bms | root
    2 2 2 | I I I | 70  | bms | root
    0 0 0 | - - - | 100 | bms | root
    0 0 0 | - - - | 100 | bms | root
    0 0 0 | - - - | 100 | bms | root
    0 0 0 | - - - | 100 | bms | root
"""


def test_the_root_may_stand_in_for_the_fifth_but_no_other_note() -> None:
    """The root in place of the answering fifth has a price; it is no fault. The third is one."""
    style = style_of("alternating", "full-strum", highest=2)
    tune = tune_of("D", "Em", "D")
    sound = arranged(tune, style, LOW)
    assert check(sound) == ()
    third = with_choice(sound, 2, frets=(4, 0, 0), fingers=(1, -1, -1), role="third")
    assert "manner" in {fault.rule for fault in check(third)}


ROOM = """
import sys
import undersong.check
unwanted = {"ortools", "networkx", "fretboard.fingering"} | {
    f"solver.{name}" for name in ("moments", "layers", "steps", "graph", "shapes", "passes",
                                  "prune", "model", "search", "settle", "labels", "links")
}
print(sorted(unwanted & set(sys.modules)))
"""


def test_the_checker_brings_in_nothing_of_the_search() -> None:
    """In a Python of its own: what it imports is data and scoring, never grips, graph or model."""
    done = subprocess.run([sys.executable, "-c", ROOM], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_faults_come_in_the_order_of_playing() -> None:
    spoiled = with_line(alternating(), 9, "7 4 0 | T I - | 160 | -ms")
    spoiled = with_line(spoiled, 1, "0 0 2 | - - I | 70 | -ms")
    places = [(fault.bar, fault.offset) for fault in check(spoiled) if fault.bar]
    assert places == sorted(places)
    assert {1, 3} <= {bar for bar, _ in places}


def test_a_fault_is_told_in_one_sentence() -> None:
    (fault, *_) = check(with_line(alternating(), 1, "0 0 2 | - - I | 70 | -ms"))
    message = "the melody string sounds a note foreign to D"
    assert str(fault) == f"bar 1, 1 quarter in: {message}"
    assert str(replace(fault, offset=0)) == f"bar 1: {message}"
    assert str(replace(fault, offset=15120)) == f"bar 1, 3/2 quarters in: {message}"
    assert str(Fault(0, 0, "cost", "the sum is wrong")) == "the sum is wrong"
    with pytest.raises(ValueError, match="is no rule"):
        Fault(1, 0, "taste", "it is dull")
