"""Whole collections played: every answer passes the checker, and how many tunes which frets have.

The tunes are O'Neill's 1850, Ryan's Mammoth Collection and Aird's Airs, public domain, read where
music21 is installed. Slow: three hundred tunes that fit a D-A-d fretboard with 1+ and 6+, as solos
(over a drone and over proposed chords), drones, songs and bass parts, manners and right hands in
turn; sixty more whose solos need the lower strings. A sample runs in the quick suite.
"""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.manners import MANNERS
from solver.righthand import right_hand
from solver.style import Style
from tests.undersong.collections import COLLECTIONS, collected, fitting, pitches, sounds
from tests.undersong.test_check_search import found
from tune.tune import Tune
from undersong.check import check
from undersong.chords import propose_chords, with_drone

STRUNG = instrument("1+6+")
PATTERNS = ("bass-then-strum", "damped-bass-then-strum", "full-strum", "bass-only", "broken")
SONG_MANNERS = tuple(manner for manner in MANNERS if manner != "figure")
A_COLLECTION = 100


def asked(texture: str, number: int) -> Style:
    """A style, the manners and right hands taken in turn."""
    if texture == "drone":
        return Style(manner="held", texture="drone")
    manners = tuple(MANNERS) if texture == "bass" else SONG_MANNERS
    pattern = PATTERNS[number % len(PATTERNS)]
    return Style(manners[number % len(manners)], right_hand(pattern), texture=texture)


def faults(tune: Tune, style: Style, on: Instrument = STRUNG) -> list[str]:
    """What the checker finds in the best answer, told with the tune's name."""
    arrangement = found(tune, style, on, Hand(), Weights())
    name = f"{tune.title}, {style.texture}, {style.manner}, {style.right_hand.name}"
    return [f"{name}: {fault}" for fault in check(arrangement)]


def every_fault(tune: Tune, number: int) -> Iterator[str]:
    """In all textures."""
    over, proposed = with_drone(tune), propose_chords(tune)
    yield from faults(over, asked("drone", number))
    yield from faults(over, asked("solo", number))
    yield from faults(proposed, asked("solo", number + 1))
    yield from faults(proposed, asked("song", number + 2))
    yield from faults(proposed, asked("bass", number + 3))


@pytest.mark.slow
@pytest.mark.parametrize("name", COLLECTIONS)
def test_a_hundred_tunes_are_sound_in_every_texture(name: str) -> None:
    tunes = fitting(collected(name), STRUNG, A_COLLECTION)
    assert len(tunes) == A_COLLECTION
    wrong = [f for number, tune in enumerate(tunes) for f in every_fault(tune, number)]
    assert wrong == []
    print(f"\n{name}: {len(tunes)} tunes as drone, solo, solo, song and bass part, all sound")


@pytest.mark.slow
@pytest.mark.parametrize("name", COLLECTIONS)
def test_solos_that_need_the_lower_strings_are_sound(name: str) -> None:
    last = sounds(STRUNG, 2)
    every = last | sounds(STRUNG, 1) | sounds(STRUNG, 0)
    low = [tune for tune in collected(name) if pitches(tune) <= every and pitches(tune) - last]
    known = {metre for metre, _ in right_hand("bass-then-strum").bars}
    fit = [tune for tune in low if {bar.metre for bar in tune.bars} <= known][:20]
    assert len(fit) == 20
    for number, tune in enumerate(fit):
        style = asked("solo", number)
        if style.right_hand.damped:  # the palm would cut a melody on the bass string
            style = replace(style, right_hand=right_hand("bass-then-strum"))
        assert faults(with_drone(tune), style) == []


@pytest.mark.parametrize("number", range(3))
def test_a_sample_is_sound_in_every_texture(number: int) -> None:
    (tune,) = fitting(collected("airdsAirs", 40)[10 * number :], STRUNG, 1)
    assert list(every_fault(tune, number)) == []


# How many of O'Neill's tunes have every melody note on which frets.

SEVENTEEN = "whole_frets = 17\nextra_frets = {extra}\n"
FRETBOARDS = {
    "traditional": ((), 1178),
    "with 6+ and 13+": (("6+", "13+"), 1449),
    "with 1+ and 8+ too": (("1+", "6+", "8+", "13+"), 1666),
}
"""Name → extra frets, and TRADE.md's count ("Open data for tests": V, computed with another reader,
no published count)."""
MOVED = 1989
"""TRADE.md's count of the last fretboard with transposition within an octave."""


def fretboards(folder: Path) -> dict[str, frozenset[int]]:
    """Everything that each fretboard sounds, strung D-A-d, 17 whole frets."""
    out = {}
    for name, (extra, _) in FRETBOARDS.items():
        file = folder / "seventeen.toml"
        file.write_text(SEVENTEEN.format(extra=list(extra)))
        made = instrument(str(file))
        out[name] = frozenset().union(*(sounds(made, course) for course in range(3)))
    return out


def within_an_octave(tune: Tune, sounding: frozenset[int]) -> bool:
    """Whether the tune, moved by the program's own transposition, has every note."""
    own = pitches(tune)
    fits = (by for by in range(-12, 13) if {pitch + by for pitch in own} <= sounding)
    by = next(fits, None)
    return by is not None and pitches(tune.transposed(by)) <= sounding


@pytest.mark.slow
def test_how_many_tunes_of_o_neill_which_frets_have(tmp_path: Path) -> None:
    """Held to one in a hundred of TRADE.md's counts: our reader refuses a few of the 2,009 tunes
    and leaves grace notes out of the melody."""
    tunes = collected("oneills1850")
    boards = fretboards(tmp_path)
    sung = [tune for tune in tunes if pitches(tune)]
    counts = {name: sum(pitches(tune) <= board for tune in sung) for name, board in boards.items()}
    widest = boards["with 1+ and 8+ too"]
    moved = sum(within_an_octave(tune, widest) for tune in sung)
    print(f"\nO'Neill's 1850: {len(tunes)} of {COLLECTIONS['oneills1850']} tunes read")
    print(f"{'every melody note on frets':<36}{'counted':>8}{'TRADE.md':>10}")
    for name, (_, trade) in FRETBOARDS.items():
        print(f"{name:<36}{counts[name]:>8}{trade:>10}")
    print(f"{'the last, within an octave':<36}{moved:>8}{MOVED:>10}")
    for name, (_, trade) in FRETBOARDS.items():
        assert counts[name] == pytest.approx(trade, rel=0.02)
    assert moved == pytest.approx(MOVED, rel=0.02)


def test_each_extra_fret_opens_tunes_of_a_sample(tmp_path: Path) -> None:
    boards = fretboards(tmp_path).values()
    tunes = [tune for tune in collected("oneills1850", 60) if pitches(tune)]
    few, more, most = (sum(pitches(tune) <= board for tune in tunes) for board in boards)
    assert len(tunes) > 30
    assert few < more <= most <= len(tunes)
