"""What there is to choose from: tunings, capos, keys and extra frets, and which of them are one and
the same for the hand.

Two combinations are the same fret problem where fretboard, capo and the steps between the strings
are alike and the tune lies as far above the strings: tuning and key moved together change no fret.
Where the instrument plays no melody, keys an octave apart are the same too.

Public: Combination, Choices, combinations, Problem.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from solver.singing import TUNEFUL
from tune.tune import Tune
from undersong.advice.retuning import Retuning, retuned
from undersong.advice.tuning_names import strung
from undersong.advice.voices import Voice

Problem = tuple[object, ...]
"""What is alike for combinations that are one fret problem."""


@dataclass(frozen=True)
class Choices:
    """own: the instrument as it is tuned now, her capo where it sits; made_for: the same as it is
    strung; tunings: (name, MIDI pitches); capos: frets in semitones; extras: extra frets that she
    might have besides, one group a choice, () for none; semitones: how far the tune may be moved;
    voice: that must be able to sing it, None for any."""

    own: Instrument
    made_for: Instrument
    tunings: tuple[tuple[str, tuple[int, ...]], ...]
    capos: tuple[int, ...]
    semitones: tuple[int, ...]
    extras: tuple[tuple[int, ...], ...] = ((),)
    voice: Voice | None = None


@dataclass(frozen=True)
class Combination:
    """tuning: as players write it; instrument: tuned and capoed so, its extra frets under it;
    semitones: how far the tune is moved; octave: how many octaves higher than that it is sung,
    None where nobody's range was asked for; extra: frets that her own has not; retuning: from her
    own."""

    tuning: str
    instrument: Instrument
    semitones: int
    octave: int | None
    extra: tuple[int, ...]
    retuning: Retuning

    @property
    def effort(self) -> tuple[int, ...]:
        """What to prefer among equals: fewer frets to have put in, fewer strings tuned anew, fewer
        semitones, the capo left where it is, a key nearer to the tune's own."""
        return (
            len(self.extra),
            self.retuning.strings,
            self.retuning.semitones,
            self.retuning.capo_moves,
            self.instrument.capo,
            abs(self.semitones),
            -self.semitones,
        )

    @property
    def order(self) -> tuple[object, ...]:
        """The least effort first, and no two alike."""
        return *self.effort, self.instrument.tuning, self.extra

    def problem(self, texture: str) -> Problem:
        opens, capo = self.instrument.tuning, self.instrument.capo
        up = self.semitones - opens[0]
        steps = tuple(pitch - opens[0] for pitch in opens)
        frets = tuple(course.frets for course in self.instrument.courses)
        return frets, capo, steps, up if texture in TUNEFUL else up % 12

    def words(self) -> str:
        """``D-A-d, capo 3``, the frets besides behind it."""
        extra = f", with {' and '.join(map(fret_label, self.extra))}" if self.extra else ""
        return f"{strung(self.instrument, self.tuning)}{extra}"


def combinations(
    choices: Choices, tune: Tune, texture: str
) -> Mapping[Problem, tuple[Combination, ...]]:
    """Every combination that the voice can sing, by fret problem, the least effort first in each;
    in an order that hangs on nothing else."""
    found: dict[Problem, list[Combination]] = {}
    octaves = {
        by: (None,) if choices.voice is None else choices.voice.octaves(tune, by)[:1]
        for by in choices.semitones
    }
    for extra in choices.extras:
        fretted = choices.own
        for fret in extra:
            fretted = fretted.with_fret(fret)
        lacking = tuple(fret for fret in extra if fret not in choices.own.extra_frets)
        for name, pitches in choices.tunings:
            for capo in choices.capos:
                instrument = fretted.with_capo(0).with_tuning(pitches).with_capo(capo)
                retuning = retuned(choices.own, instrument, choices.made_for)
                for by in choices.semitones:
                    for octave in octaves[by]:
                        one = Combination(name, instrument, by, octave, lacking, retuning)
                        found.setdefault(one.problem(texture), []).append(one)
    return {
        problem: tuple(sorted(alike, key=lambda one: one.order)) for problem, alike in found.items()
    }
