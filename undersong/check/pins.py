"""What the player fixed is so, and what was forbidden is not, worked out for the checker alone.

What each pin means stands with its value (``solver.conditions.pinned``). A bass manner asks for
other moments (``undersong.check.manners``) and is judged with them.

Public: pins_true, pinned_at, holds.
"""

from collections.abc import Iterator

from fretboard.grip import printed
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import Moment
from solver.conditions.pinned import (
    Barred,
    BassManner,
    BassNote,
    BassRole,
    FingerDown,
    Fingering,
    Hands,
    Kept,
    OneString,
    Shape,
)
from solver.conditions.pins import Pin
from tune.tune import Tune
from undersong.check.clock import bar_times
from undersong.check.fault import Fault
from undersong.check.manners import bars_meant
from undersong.check.passage import SILENT, Passage

OfOneMoment = Shape | OneString | Fingering | FingerDown | Barred | BassNote | BassRole | Hands


def pins_true(passage: Passage) -> Iterator[Fault]:
    """A fault for every moment at which a pin does not hold."""
    made, instrument = passage.arrangement, passage.arrangement.instrument
    for pin in made.conditions.pins:
        said = pin.shown(instrument.told)
        if not bars_meant(made.tune, pin.bars):
            yield Fault(0, 0, "pin", f"'{said}' speaks of bars that the tune does not have")
            continue
        courses = len(instrument.courses)
        if any(strings != courses for strings in _strings(pin)):
            yield Fault(
                0, 0, "pin", f"'{said}' does not speak of the instrument's {courses} strings"
            )
            continue
        for index, asked in pinned_at(made.tune, passage.moments, pin):
            choice = passage.choices[index]
            if asked is None:
                yield passage.fault(index, "pin", f"'{said}' keeps another number of strokes")
            elif not holds(asked, pin.forbid, passage.moments[index], choice, instrument):
                role = "" if choice.role is None else f", the bass note is the {choice.role}"
                hands = printed(choice.grip, instrument, instrument.from_capo, made.hand)
                yield passage.fault(index, "pin", f"'{said}': the hand has {hands}{role}")


def _strings(pin: Pin) -> list[int]:
    """How many strings each shape of the pin speaks of."""
    pinned = pin.pinned
    if isinstance(pinned, Kept):
        return [len(hands.shape.frets) for time in pinned.times for hands in time]
    if isinstance(pinned, OneString):
        return [pinned.courses]
    if isinstance(pinned, Fingering):
        return [len(pinned.shape.frets)]
    return [len(pinned.frets)] if isinstance(pinned, Shape) else []


def pinned_at(
    tune: Tune, moments: tuple[Moment, ...], pin: Pin
) -> Iterator[tuple[int, OfOneMoment | None]]:
    """The moments that a pin speaks of, each with what it asks there; None where a bar that is
    kept has another number of moments. Rests have nothing to pin."""
    if isinstance(pin.pinned, BassManner):
        return
    meant, bars = bars_meant(tune, pin.bars), bar_times(tune)
    passes: dict[int, list[int]] = {}
    for index, moment in enumerate(moments):
        if moment.written not in meant:
            continue
        times = passes.setdefault(moment.written, [])
        if moment.bar not in times:
            times.append(moment.bar)
        if isinstance(pin.pinned, Kept):
            kept = pin.pinned.times[min(len(times), len(pin.pinned.times)) - 1]
            here = [n for n, other in enumerate(moments) if other.bar == moment.bar]
            fits = len(here) == len(kept)
            if _sounding(moment) and (fits or index == here[0]):
                yield index, kept[here.index(index)] if fits else None
            continue
        time = bars[moment.bar - 1]
        beat = 1 + (time.phase + moment.offset) // time.metre.beat
        if _sounding(moment) and (pin.beat is None or pin.beat == beat):
            yield index, pin.pinned


def _sounding(moment: Moment) -> bool:
    """Whether anything sounds that a pin could speak of: under a chord, or a melody without one."""
    return moment.chord is not None or moment.melody is not None


def holds(
    asked: OfOneMoment, forbid: bool, moment: Moment, choice: Choice, instrument: Instrument
) -> bool:
    """Whether one moment is as it was fixed, or is not as it was forbidden."""
    grip = choice.grip
    if isinstance(asked, BassNote | BassRole):
        return not choice.struck[0] or _bass_is(asked, choice, instrument) != forbid
    if isinstance(asked, FingerDown):
        return asked.finger not in grip.fingers
    if isinstance(asked, Barred):
        down = [finger for finger in grip.fingers if finger >= 0]
        return len(down) == len(set(down))
    if isinstance(asked, Fingering):
        return _so_fingered(asked, choice)
    if isinstance(asked, Hands):
        return _exactly(asked, choice)
    strings = _named(asked)
    if forbid:
        return not _whole_shape(strings, choice, instrument)
    return all(
        _as_fixed(fret, finger, grip.frets[course], grip.fingers[course], moment.strikes[0][course])
        for course, (fret, finger) in strings.items()
    )


def _bass_is(asked: BassNote | BassRole, choice: Choice, instrument: Instrument) -> bool:
    if isinstance(asked, BassRole):
        return choice.role == asked.role
    pitch = instrument.courses[0].open + choice.grip.frets[0]
    wanted = asked.pitch
    return pitch % 12 == asked.pitch_class if wanted is None else pitch == wanted


def _named(asked: Shape | OneString) -> dict[int, tuple[int | None, int | None]]:
    """Course → (fret, finger) of every string of which something is said."""
    if isinstance(asked, OneString):
        return {asked.course: (asked.fret, asked.finger)}
    fingers = asked.fingers or (None,) * len(asked.frets)
    both = enumerate(zip(asked.frets, fingers, strict=True))
    return {
        course: (fret, None if finger == -1 else finger)
        for course, (fret, finger) in both
        if fret is not None or finger not in (None, -1)
    }


def _as_fixed(
    fret: int | None, finger: int | None, has: int, stopped_by: int, struck_as_asked: bool
) -> bool:
    if finger is not None and stopped_by >= 0 and stopped_by != finger:
        return False
    if fret is None:
        return True
    if fret == SILENT:
        return has == SILENT
    return not struck_as_asked if has == SILENT else has == fret


def _whole_shape(
    strings: dict[int, tuple[int | None, int | None]], choice: Choice, instrument: Instrument
) -> bool:
    """Every string named has its fret and finger; beside stopped ones an open one may be
    silent."""
    grip, capo = choice.grip, instrument.capo
    stops = any(fret is not None and fret > capo for fret, _ in strings.values())
    for course, (fret, finger) in strings.items():
        has = grip.frets[course]
        let_go = stops and fret == capo and has == SILENT
        if fret is not None and has != fret and not let_go:
            return False
        if finger is not None and grip.fingers[course] != finger:
            return False
    return True


def _so_fingered(asked: Fingering, choice: Choice) -> bool:
    """Where just those strings are stopped, at those frets, those fingers are down."""
    grip = choice.grip
    stops = [
        fret if finger >= 0 else None for fret, finger in zip(grip.frets, grip.fingers, strict=True)
    ]
    wanted = [-1 if finger is None else finger for finger in asked.shape.fingers or ()]
    return stops != list(asked.shape.frets) or wanted == list(grip.fingers)


def _exactly(asked: Hands, choice: Choice) -> bool:
    if asked.struck is not None and asked.struck != choice.struck:
        return False
    grip = choice.grip
    return all(
        fret in (None, grip.frets[course]) and finger in (None, grip.fingers[course])
        for course, (fret, finger) in _named(asked.shape).items()
    )
