"""The melody as sung: ties, repeats, rests and grace notes by hand, ties against music21.

music21 10.5.1 joins ties by ``stripTies``; the public-domain tunes are read out of the installed
package, written as MusicXML by music21's own writer, and read by both. Nothing is copied from it.
"""

import random
import warnings
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import music21
import pytest
from music21.musicxml.m21ToXml import GeneralObjectExporter

from tune.errors import TuneError
from tune.key import Key
from tune.melody import GRACE, Sung, sung, sung_at
from tune.readers import read
from tune.readers.musicxml import read_musicxml
from tune.time import QUARTER, Metre, Tempo, quarters
from tune.tune import Bar, Note, Tune

OWN = sorted(
    path
    for path in (Path(__file__).parents[2] / "corpus").iterdir()
    if path.suffix in (".abc", ".musicxml")
)
RYAN = sorted((Path(music21.__file__).parent / "corpus" / "ryansMammoth").glob("*.abc"))
BAR = 4 * QUARTER


def note(quarter: float, length: float, midi: int | None, **more: object) -> Note:
    tick, ticks = round(quarter * QUARTER), round(length * QUARTER)
    return Note(tick, ticks, midi, **more)  # type: ignore[arg-type]


def grace(quarter: float, midi: int) -> Note:
    return Note(round(quarter * QUARTER), 0, midi, grace=True)


def tune_of(*bars: tuple[Note, ...], **changes: dict[int, object]) -> Tune:
    """Bars of 4/4; changes: a bar's field → index → value."""
    made = [
        Bar(number, Metre(4, 4), BAR, Key("D"), notes=notes)
        for number, notes in enumerate(bars, start=1)
    ]
    for name, values in changes.items():
        for index, value in values.items():
            made[index] = replace(made[index], **{name: value})  # type: ignore[arg-type]
    return Tune("Made up", Key("D"), Metre(4, 4), Tempo(QUARTER, 100), tuple(made))


def told(notes: tuple[Sung, ...]) -> list[tuple[float, float, int]]:
    """(quarter, quarters, pitch) of each."""
    return [(one.tick / QUARTER, one.length / QUARTER, one.midi) for one in notes]


def test_ties_are_joined_also_over_bar_lines() -> None:
    tune = tune_of(
        (note(0, 2, 62), note(2, 2, 64, tied=True)),
        (note(0, 4, 64, tied=True),),
        (note(0, 1, 64), note(1, 3, 66)),
    )
    assert told(sung(tune)) == [(0, 2, 62), (2, 7, 64), (9, 3, 66)]
    assert [(one.bar, one.written) for one in sung(tune)] == [(1, 0), (1, 0), (3, 2)]


def test_a_tie_ends_at_another_pitch_a_rest_or_a_gap() -> None:
    other = tune_of((note(0, 2, 62, tied=True), note(2, 2, 64)))
    assert told(sung(other)) == [(0, 2, 62), (2, 2, 64)]
    rest = tune_of((note(0, 1, 62, tied=True), note(1, 1, None), note(2, 2, 62)))
    assert told(sung(rest)) == [(0, 1, 62), (2, 2, 62)]
    gap = tune_of((note(0, 1, 62, tied=True), note(2, 2, 62)))
    assert told(sung(gap)) == [(0, 1, 62), (2, 2, 62)]
    last = tune_of((note(0, 4, 62, tied=True),))
    assert told(sung(last)) == [(0, 4, 62)]


def test_notes_without_a_tie_are_struck_again() -> None:
    assert told(sung(tune_of((note(0, 2, 62), note(2, 2, 62))))) == [(0, 2, 62), (2, 2, 62)]


def test_repeats_are_sung_and_a_tie_goes_where_the_music_goes() -> None:
    """The second bar ends tied to D: back to the first bar's D, and at the end to nothing."""
    tune = tune_of(
        (note(0, 4, 62),), (note(0, 2, 66), note(2, 2, 62, tied=True)), repeat_times={1: 2}
    )
    assert told(sung(tune)) == [(0, 4, 62), (4, 2, 66), (6, 6, 62), (12, 2, 66), (14, 2, 62)]
    assert [one.bar for one in sung(tune)] == [1, 2, 2, 4, 4]


def test_a_tie_into_the_first_ending_does_not_reach_the_second() -> None:
    tune = tune_of(
        (note(0, 4, 62, tied=True),),
        (note(0, 4, 62),),
        (note(0, 4, 64),),
        endings={1: (1,), 2: (2,)},
        repeat_times={1: 2},
    )
    assert told(sung(tune)) == [(0, 8, 62), (8, 4, 62), (12, 4, 64)]


def test_rests_are_gaps() -> None:
    notes = sung(tune_of((note(0, 1, 62), note(1, 1, None), note(2, 2, 64))))
    assert sung_at(notes, 0) == notes[0]
    assert sung_at(notes, QUARTER - 1) == notes[0]
    assert sung_at(notes, QUARTER) is None
    assert sung_at(notes, 2 * QUARTER) == notes[1]
    assert sung_at(notes, 4 * QUARTER) is None
    assert sung_at((), 0) is None


def test_grace_notes_are_left_out_unless_asked_for() -> None:
    tune = tune_of((note(0, 2, 62), grace(2, 66), note(2, 2, 64)))
    assert told(sung(tune)) == [(0, 2, 62), (2, 2, 64)]
    assert told(sung(tune, graces=True)) == [(0, 2, 62), (2, 0.125, 66), (2.125, 1.875, 64)]


def test_grace_notes_take_at_most_a_third_of_their_note() -> None:
    three = (grace(0, 66), grace(0, 67), grace(0, 69))
    (a, b, c, main) = sung(tune_of((*three, note(0, 0.5, 64), note(0.5, 3.5, 62))), True)[:4]
    each = QUARTER // 2 // 9  # a third of an eighth for all three
    assert each < GRACE
    assert [one.length for one in (a, b, c)] == [each] * 3
    assert (main.tick, main.end) == (3 * each, QUARTER // 2)


def test_a_grace_note_that_no_new_note_follows_is_dropped() -> None:
    rest = tune_of((note(0, 1, 62), grace(1, 66), note(1, 1, None), note(2, 2, 64)))
    end = tune_of((note(0, 4, 62), grace(4, 66)))
    tied = tune_of((note(0, 2, 62, tied=True), grace(2, 66), note(2, 2, 62)))
    for tune in (rest, end, tied):
        assert sung(tune, graces=True) == sung(tune)


def test_a_grace_note_at_the_end_of_a_bar_belongs_to_the_next() -> None:
    tune = tune_of((note(0, 4, 62), grace(4, 66)), (note(0, 4, 64),))
    assert told(sung(tune, graces=True)) == [(0, 4, 62), (4, 0.125, 66), (4.125, 3.875, 64)]


@pytest.mark.parametrize("seed", range(40))
def test_whatever_is_written_the_notes_follow_one_another(seed: int) -> None:
    """Sung time is written time, played bar by played bar; grace notes neither add nor take any."""
    dice = random.Random(f"melody {seed}")
    bars = []
    for _ in range(3):
        cuts = sorted({0, *(dice.randrange(1, 16) for _ in range(5))})
        edges = [*cuts, 16]
        notes: list[Note] = []
        for begin, end in zip(cuts, edges[1:], strict=True):
            if dice.random() < 0.3:
                notes.append(grace(begin / 4, dice.randint(60, 64)))
            midi = None if dice.random() < 0.2 else dice.randint(60, 62)
            notes.append(note(begin / 4, (end - begin) / 4, midi, tied=dice.random() < 0.5))
        bars.append(tuple(notes))
    tune = tune_of(*bars, repeat_times={1: 2})
    written = sum(
        one.length
        for played in tune.played
        for one in tune.bars[played.written].notes
        if one.midi is not None
    )
    for graces in (False, True):
        found = sung(tune, graces)
        assert sum(one.length for one in found) == written
        assert all(a.end <= b.tick for a, b in pairwise(found))
        for one in found:
            start = tune.played[one.bar - 1].start
            assert start <= one.tick < start + BAR
            assert tune.played[one.bar - 1].written == one.written


def once_through(tune: Tune) -> Tune:
    """Without repeats, as music21 keeps the bars."""
    bars = (replace(b, repeat_start=False, repeat_times=1, endings=()) for b in tune.bars)
    return replace(tune, bars=tuple(bars))


def by_music21(score: Any) -> list[tuple[Fraction, Fraction, int]]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        notes = score.parts[0].stripTies().flatten().notes
    return [
        (Fraction(one.offset), Fraction(one.quarterLength), max(p.midi for p in one.pitches))
        for one in notes
        if one.quarterLength and not isinstance(one, music21.harmony.ChordSymbol)
    ]


def by_us(tune: Tune) -> list[tuple[Fraction, Fraction, int]]:
    return [
        (quarters(one.tick), quarters(one.length), one.midi) for one in sung(once_through(tune))
    ]


@pytest.mark.parametrize("path", OWN, ids=lambda path: path.name)
def test_our_own_tunes_are_sung_as_music21_strips_their_ties(path: Path) -> None:
    assert by_us(read(str(path))) == by_music21(music21.converter.parse(path, forceSource=True))


def tied_tunes(count: int) -> list[Any]:
    """Tunes of Ryan's collection (1883, public domain) that have ties."""
    found: list[Any] = []
    for path in RYAN:
        if "-" not in path.read_text(encoding="utf-8", errors="replace").split("K:")[-1]:
            continue
        parsed = music21.converter.parse(path, forceSource=True)
        scores = list(parsed.scores) if isinstance(parsed, music21.stream.Opus) else [parsed]
        found += [score for score in scores if any(n.tie for n in score.recurse().notes)]
        if len(found) >= count:
            break
    return found[:count]


def test_ties_of_a_collection_are_joined_as_music21_does() -> None:
    compared = joined = 0
    for score in tied_tunes(12):
        data = bytes(GeneralObjectExporter(score).parse())
        try:
            tune = read_musicxml(data, "ryan.musicxml")
        except TuneError:
            continue
        again = music21.converter.parse(data, format="musicxml")
        assert by_us(tune) == by_music21(again)
        joined += sum(n.tied for bar in tune.bars for n in bar.notes)
        compared += 1
    assert compared >= 8
    assert joined >= 8
