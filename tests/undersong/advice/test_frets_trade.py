"""Advice on extra frets against the trade's counts of the melodies that each opens."""

from dataclasses import replace

import pytest

from fretboard.frets import EXTRA_FRETS, fret_semitones
from fretboard.presets import instrument
from solver.out_of_reach import unreachable
from solver.style import Style
from solver.watch import Watch
from tests.undersong.advice.fretted import piece
from tests.undersong.collections import COLLECTIONS, collected, pitches
from tune.tune import Tune
from undersong.advice.all_frets import on_all
from undersong.advice.fretboards import with_frets
from undersong.chords import with_drone

FRETS = tuple(map(fret_semitones, EXTRA_FRETS))

# Against the trade: O'Neill's 1850, public domain, read from music21, never copied. TRADE.md, "Open
# data for tests" (V, no published count): every pitch on D-A-d on traditional frets in 1,178 of
# 2,009 tunes, with 6+ and 13+ in 1,449, with 1+ and 8+ too in 1,666.

SEVENTEEN = tuple(fret_semitones(str(number)) for number in range(1, 18))
BARE = replace(
    instrument("traditional"),
    courses=tuple(replace(c, frets=SEVENTEEN) for c in instrument("traditional").courses),
)
TRADE = {(): 1178, ("6+", "13+"): 1449, EXTRA_FRETS: 1666}


def reaching(tunes: list[Tune], labels: tuple[str, ...]) -> int:
    """How many melodies the program finds every note of."""
    made = BARE
    for label in labels:
        made = made.with_fret(fret_semitones(label))
    style = Style(texture="solo")
    return sum(not unreachable(tune, made, style) for tune in tunes)


def sounded(tunes: list[Tune], labels: tuple[str, ...]) -> int:
    """The same by sets of pitches, without the program's fretboards: frets from TRADE.md."""
    frets = {0, *SEVENTEEN, *({"1+": 3, "6+": 11, "8+": 15, "13+": 23}[label] for label in labels)}
    there = {open_ + fret for open_ in (50, 57, 62) for fret in frets}
    return sum(pitches(tune) <= there for tune in tunes)


def test_melodies_in_reach_of_a_sample_are_as_counted_by_pitch() -> None:
    tunes = [tune for tune in collected("oneills1850", 40) if pitches(tune)]
    counts = {labels: reaching(tunes, labels) for labels in (*TRADE, *((f,) for f in EXTRA_FRETS))}
    assert counts == {labels: sounded(tunes, labels) for labels in counts}
    few, more, most = (counts[labels] for labels in TRADE)
    assert few < more < most
    for labels, trade in TRADE.items():
        assert counts[labels] / len(tunes) == pytest.approx(trade / 2009, abs=0.1)


@pytest.mark.slow
def test_melodies_in_reach_of_o_neill_are_the_trades_counts() -> None:
    tunes = [tune for tune in collected("oneills1850") if pitches(tune)]
    counts = {labels: reaching(tunes, labels) for labels in TRADE}
    print(f"\n{len(tunes)} of {COLLECTIONS['oneills1850']} tunes read: {counts}")
    for labels, trade in TRADE.items():
        assert counts[labels] == pytest.approx(trade, rel=0.02)
    singles = {label: reaching(tunes, (label,)) for label in EXTRA_FRETS}
    print(f"one fret more than the traditional: {singles}")
    assert singles == {label: sounded(tunes, (label,)) for label in EXTRA_FRETS}


def test_the_frets_that_open_tunes_of_a_sample_are_those_that_have_their_notes() -> None:
    """The advice, every answer solved, against what pitches alone say: as solos over a drone, tunes
    of O'Neill's that the traditional frets lack a note of, and one that they do not."""
    tunes = [tune for tune in collected("oneills1850", 40) if pitches(tune)]
    lacking = [tune for tune in tunes if not sounded([tune], ())]
    chosen = [tune for tune in lacking if sounded([tune], EXTRA_FRETS)][:4]
    chosen += [*[tune for tune in lacking if tune not in chosen][:2], tunes[0]]
    solos = [piece(with_drone(tune), texture="solo") for tune in chosen]
    made = [(each.tune.title, lambda each=each: each) for each in solos]
    more = with_frets(BARE, tuple((fret,) for fret in FRETS))
    advice = on_all(made, BARE, more, Watch(300.0), 300.0)
    assert advice.playable == sounded(chosen, ())
    for label, total in zip(EXTRA_FRETS, advice.totals, strict=True):
        assert total.playable == sounded(chosen, (label,))
        assert len(total.opened) == total.playable - advice.playable
    counts = {f"with {label}": sounded(chosen, (label,)) for label in EXTRA_FRETS}
    assert advice.best
    assert {counts[t.fretboard.words] for t in advice.best} == {max(counts.values())}
