"""Tunes invented in the Harrow Lane class, and what to choose from, for tests of keys and tunings.

Public: CHART, SCALE, chart, melody, choices.
"""

from pathlib import Path

from fretboard import presets
from tune.tune import Tune
from undersong.advice.combinations import Choices
from undersong.api import read_tune

CHART = "title: Hall Keys\nkey: D\nmetre: 4/4\n| D | G | A | D |\n"


def chart(folder: Path, text: str = CHART) -> Tune:
    file = folder / "tune.chart"
    file.write_text(text, encoding="utf-8")
    return read_tune(file)


def melody(folder: Path, key: str, notes: str) -> Tune:
    """An ABC melody in quarters, four to the bar."""
    bars = notes.split()
    rows = [" ".join(bars[at : at + 4]) for at in range(0, len(bars), 4)]
    file = folder / "tune.abc"
    text = f"X:1\nT:Last Chair\nM:4/4\nL:1/4\nQ:1/4=90\nK:{key}\n{' | '.join(rows)} |]\n"
    file.write_text(text, encoding="utf-8")
    return read_tune(file)


def choices(
    tunings: tuple[str, ...] = ("D-A-d", "D-A-A"),
    capos: tuple[int, ...] = (0, 5),
    semitones: tuple[int, ...] = (0,),
    instrument: str = "standard",
    **more: object,
) -> Choices:
    own = presets.instrument(instrument)
    known = {info.name: info.pitches for info in presets.tunings()}
    named = tuple((name, known[name]) for name in tunings)
    return Choices(own, own, named, capos, semitones, **more)  # type: ignore[arg-type]
