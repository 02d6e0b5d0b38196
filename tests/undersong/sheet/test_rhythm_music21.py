"""Written values against music21 10.5.1, on tunes of O'Neill's collection (1903, public domain).

The tunes are read out of the installed package, never copied.

music21 keeps every note as its ABC source writes it, so these are the values that a person chose.
Notes that we tie are left out here: they run over a beat, or stand off the places of their own
size, or no one value lasts them. Some bars of the source are wrong (triplets of two notes, brackets
such as 9 in the time of 2); they have tuplets, and are counted.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import music21
import pytest

from tests.tune.test_musicxml_music21 import ONEILL, tunes_of
from tune.time import QUARTER, Metre, ticks
from undersong.sheet.musicxml.note import TYPES
from undersong.sheet.rhythm import Stem, stems


@dataclass
class Count:
    """Notes that are written alike, in one piece, and those that are not; tied ones."""

    alike: int = 0
    tied: int = 0
    other: list[str] = field(default_factory=list)
    plain: list[str] = field(default_factory=list)


def compare(score: Any, count: Count) -> None:
    for part in score.parts:
        metre: Metre | None = None
        for index, measure in enumerate(part.getElementsByClass("Measure")):
            sign = measure.timeSignature
            if sign is not None:
                lawful = sign.denominator in (1, 2, 4, 8, 16, 32)
                metre = Metre(sign.numerator, sign.denominator) if lawful else None
            if metre is not None:
                compare_bar(measure, metre, index, count, str(score.metadata.title))


def compare_bar(measure: Any, metre: Metre, index: int, count: Count, title: str) -> None:
    notes = [
        note
        for note in measure.flatten().notes
        if not isinstance(note, music21.harmony.Harmony) and not note.duration.isGrace
    ]
    spans = [(ticks(Fraction(n.offset)), ticks(Fraction(n.quarterLength))) for n in notes]
    length = ticks(Fraction(measure.duration.quarterLength))
    if not spans or length <= 0:
        return
    lead = metre.bar - length if index == 0 and length < metre.bar else 0
    made = stems(spans, metre, length, lead)
    has_tuplets = any(note.duration.tuplets for note in notes)
    for event, note in enumerate(notes):
        own = [stem for stem in made if stem.event == event]
        if len(own) > 1:
            assert runs_over(spans[event], lead, metre, own), f"{title}, bar {measure.number}"
            count.tied += 1
            continue
        ours = (TYPES[own[0].base], own[0].dots, own[0].tuplet)
        tuplets = note.duration.tuplets
        ratio = (tuplets[0].numberNotesActual, tuplets[0].numberNotesNormal) if tuplets else None
        if (note.duration.type, note.duration.dots, ratio) == ours:
            count.alike += 1
        else:
            (count.other if has_tuplets else count.plain).append(
                f"{title}, bar {measure.number}: {note.duration.fullName} as {ours}"
            )


def runs_over(span: tuple[int, int], lead: int, metre: Metre, own: list[Stem]) -> bool:
    """Whether the note runs over a beat, or stands off the places of its own size, or no one value
    without a dot lasts it."""
    start, end = lead + span[0], lead + span[0] + span[1]
    over_beat = (start // metre.beat + 1) * metre.beat < end
    size = next(4 * QUARTER >> n for n in range(7, -1, -1) if 4 * QUARTER >> n >= span[1])
    off = start % metre.beat % size > 0
    return over_beat or off or any(stem.tuplet or stem.dots for stem in own)


def counted(file: Path, every: int = 1) -> Count:
    count = Count()
    for score in tunes_of(file)[::every]:
        compare(score, count)
    return count


def test_a_sample_is_written_as_people_wrote_it() -> None:
    count = counted(ONEILL[0], 8)
    assert count.alike > 500
    assert count.plain == []
    assert {said.partition(",")[0] for said in count.other} <= {"The Black Slender Boy"}


@pytest.mark.slow
def test_all_of_oneill_is_written_as_people_wrote_it() -> None:
    alike = tied = other = 0
    for file in ONEILL:
        count = counted(file)
        assert count.plain == []
        alike, tied, other = alike + count.alike, tied + count.tied, other + len(count.other)
    print(f"\n{alike} notes alike, {other} others in bars with tuplets, {tied} tied by us")
    assert alike > 200_000
    assert other * 500 < alike
