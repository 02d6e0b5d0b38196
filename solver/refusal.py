"""Why a moment cannot be played, in one sentence with bar, chord and the missing notes.

Bars are named as printed, with the time through where the first was well; ``NotPlayable.bar``
counts them as played.

Public: refuse, refuse_link, bar_named, unplayable_chord, note.
"""

from typing import NoReturn

from fretboard.instrument import Instrument
from fretboard.tuning import PITCH_CLASSES
from scoring.moment import Moment
from solver.errors import NotPlayable
from solver.out_of_reach import named, why_not
from solver.style import Style
from tune.bar_names import bar_name
from tune.chord import Chord, pitch_class
from tune.key import Key
from tune.spelling import tones
from tune.tune import Tune


def note(pc: int, chord: Chord) -> str:
    """The name as the chord's own root and bass spell it, then as its degree does (the third of F#
    is A#); the common name for what is no tone of the chord."""
    for name in (chord.root, chord.bass):
        if name and pitch_class(name) == pc:
            return name
    return tones(chord).get(pc, PITCH_CLASSES[pc])


def unplayable_chord(chord: Chord, instrument: Instrument, style: Style) -> str | None:
    """What rules a chord out wherever it stands: no root for the bass or, where there is more than
    a bass, neither third nor fifth anywhere; None for a chord that may be tried."""
    bass_limit = instrument.capo + style.bass_ceiling
    bass = chord.bass_pitch_class
    if not any(
        instrument.pitch(0, fret) % 12 == bass for fret in instrument.frets(0) if fret <= bass_limit
    ):
        name = chord.bass or chord.root
        return (
            f"the bass string has no {name} up to fret {instrument.told(bass_limit)}; "
            "another tuning, a capo, an extra fret or another key may have it"
        )
    if style.texture == "bass":
        return None
    names = ("third", "second", "fourth", "fifth")
    wanted = {n: pc for n, pc in chord.degrees.items() if n in names}
    limit = instrument.capo + style.highest
    there = {
        instrument.pitch(course, fret) % 12
        for course in range(len(instrument.courses))
        for fret in instrument.frets(course)
        if fret <= (limit if course else bass_limit)
    }
    if there.isdisjoint(wanted.values()):
        missing = " nor ".join(f"{note(pc, chord)} ({name})" for name, pc in wanted.items())
        return f"no string has {missing} up to fret {instrument.told(limit)}"
    return None


def bar_named(moment: Moment, tune: Tune | None) -> str:
    """The moment's bar as printed, such as ``bar 6``, and ``bar 6 (2nd time)`` where it was played
    before; without the tune the number as played."""
    if tune is None:
        return f"bar {moment.bar}"
    number = tune.bars[moment.written].number
    played = tune.played[moment.bar - 1]
    if all(bar.written != played.written for bar in tune.played[: moment.bar - 1]):
        return bar_name(number)
    turn = played.turn
    ending = "th" if 10 <= turn % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(turn % 10, "th")
    return f"{bar_name(number)} ({turn}{ending} time)"


def refuse(
    moment: Moment, instrument: Instrument, style: Style, tune: Tune | None = None
) -> NoReturn:
    """Raises NotPlayable for a moment that has no state; tune: whose printed number is told."""
    chord = moment.chord
    if moment.melody is not None:
        _refuse_melody(moment, moment.melody, instrument, style, tune)
    assert chord is not None, "a rest can always be played"
    reason = unplayable_chord(chord, instrument, style)
    if reason is None:
        missing = [
            f"{note(pc, chord)} ({name})"
            for name, pc in chord.degrees.items()
            if not any(
                instrument.pitch(course, fret) % 12 == pc
                for course in range(len(instrument.courses))
                for fret in instrument.frets(course)
            )
        ]
        lacks = f"; not on this fretboard: {', '.join(missing)}" if missing else ""
        reason = f"no hand shape has a tone of the chord on every string struck{lacks}"
    raise NotPlayable(
        f"{bar_named(moment, tune)}: {chord} cannot be played: {reason}", moment.bar, str(chord)
    )


def _refuse_melody(
    moment: Moment, melody: int, instrument: Instrument, style: Style, tune: Tune | None
) -> NoReturn:
    key = tune.bars[moment.written].key if tune else Key()
    why = why_not(melody, instrument, style) or _why_not_there(moment, melody, instrument)
    raise NotPlayable(
        f"{bar_named(moment, tune)}: the melody note {named(melody, key)} cannot be played: {why}",
        moment.bar,
        str(moment.chord or ""),
        "melody",
    )


def _why_not_there(moment: Moment, melody: int, instrument: Instrument) -> str:
    """Why a note that the instrument has cannot be played with what is asked beside it."""
    if moment.strikes[0][0] and instrument.pitch(0, instrument.capo) > melody:
        return "the bass would sound above it"
    return "no hand shape has it together with what is asked of the bass there"


def refuse_link(moments: tuple[Moment, ...], reached: int, tune: Tune | None = None) -> NoReturn:
    """Raises NotPlayable where no way leads on from moment ``reached``; tune: as in ``refuse``."""
    moment = moments[min(reached + 1, len(moments) - 1)]
    chord = moment.chord or "the rest"
    raise NotPlayable(
        f"{bar_named(moment, tune)}: {chord} cannot be reached from what comes before it as asked; "
        "another bass manner or right hand may reach it",
        moment.bar,
        str(moment.chord or ""),
        "step",
    )
