"""Which rule of playing a single pin contradicts where there is a melody to keep.

As ``solver.pin_reasons``, with the rules of ``solver.singing``: each string by itself, then the
melody, the bass as the lowest, the hand.

Public: tuneful_reason.
"""

from itertools import product

from scoring.moment import Strokes
from solver.conditions.pinned import BassNote, BassRole, Hands
from solver.conditions.wording import SILENT
from solver.out_of_reach import named
from solver.pin_masks import Demand
from solver.pin_reasons import (
    NOTHING_ELSE,
    Fixed,
    Stage,
    bass_is_lowest,
    bass_words,
    hand_words,
    held,
    is_note,
    wanted_frets,
)
from solver.roles import bass_roles
from solver.singing import keeps_melody, string_frets
from tune.key import Key


def tuneful_reason(demand: Demand, stage: Stage, key: Key) -> str:
    """The rule that the demand contradicts by itself, as the end of a sentence; key: that spells
    the melody."""
    asked = demand.asked
    if demand.forbid or not isinstance(asked, Fixed):
        return NOTHING_ELSE
    told = [_against(asked, struck, stage, key) for struck in stage.moment.strikes]
    return max(told, key=lambda pair: pair[0])[1]


def _against(asked: Fixed, struck: Strokes, stage: Stage, key: Key) -> tuple[int, str]:
    """(how many rules it passed, the rule that it does not)."""
    if isinstance(asked, Hands) and asked.struck not in (None, struck):
        return 0, "the right hand strikes other strings here"
    moment, instrument, style = stage.moment, stage.instrument, stage.style
    options: list[list[int]] = []
    for course in range(len(struck)):
        left = wanted_frets(asked, course, stage)
        kept = [f for f in left if f in string_frets(moment, course, struck, instrument, style)]
        if not kept:
            return 1, _say_string(course, left, struck, asked, stage, key)
        if course == 0 and struck[0]:
            kept = [f for f in kept if _is_bass(asked, f, stage)]
            if not kept:
                return 2, bass_words(left, struck, asked, stage)
        options.append(kept)
    ways = list(product(*options))
    ways = [frets for frets in ways if keeps_melody(moment, frets, struck, instrument, style)]
    if not ways:
        return 3, f"the melody has {_melody(stage, key)} here"
    if style.bass_lowest and moment.texture != "drone":
        ways = [frets for frets in ways if bass_is_lowest(frets, instrument)]
        if not ways:
            return 4, "another string would sound below the bass"
    if not any(held(asked, frets, instrument, stage.hand) for frets in ways):
        return 5, hand_words(asked, ways, stage)
    return 6, NOTHING_ELSE


def _is_bass(asked: Fixed, fret: int, stage: Stage) -> bool:
    """Whether a bass note asked for by name or role can be the one at that fret."""
    pitch = stage.instrument.pitch(0, fret)
    if isinstance(asked, BassNote):
        return is_note(asked, pitch)
    if not isinstance(asked, BassRole):
        return True
    carries = stage.moment.sings and pitch == stage.moment.melody
    own = bass_roles(stage.moment, pitch, stage.instrument)
    return asked.role in [*own, *(["melody"] if carries else [])]


def _melody(stage: Stage, key: Key) -> str:
    melody = stage.moment.melody
    return "a rest" if melody is None else named(melody, key)


def _say_string(
    course: int, left: list[int], struck: Strokes, asked: Fixed, stage: Stage, key: Key
) -> str:
    moment, label, name = stage.moment, stage.instrument.label, stage.name(course)
    if left == [SILENT]:
        return f"{name} is struck or rings on here"
    fret = max(left)
    pitch = stage.instrument.pitch(course, fret)
    last = course == len(struck) - 1
    if moment.melody is None and last:
        return f"the melody rests here, and {name} with it"
    if moment.texture == "drone":
        what = f"has the melody's {_melody(stage, key)}" if last else "is open under the melody"
        return f"{name} {what} here"
    if moment.melody is not None and pitch > moment.melody:
        return f"{name} at fret {label(fret)} would sound above the melody's {_melody(stage, key)}"
    if fret > stage.limit(course):
        whose = "the bass ceiling" if course == 0 else "the highest allowed"
        return f"fret {label(fret)} lies above {whose}, fret {label(stage.limit(course))}"
    if moment.chord is None:
        return "only the melody sounds where there is no chord"
    if course == 0:
        return bass_words(left, struck, asked, stage)
    return (
        f"{name} at fret {label(fret)} sounds {stage.note(course, fret)}, which is no tone of the "
        f"chord {moment.chord}"
    )
