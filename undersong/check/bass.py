"""The bass line: roots, what the manner promises, foreign notes, and the last bar.

Public: bass_true.
"""

from collections.abc import Iterator

from scoring.moment import FOREIGN
from tune.chord import Chord
from undersong.check.clock import closing_bars
from undersong.check.degrees import degree_pitch_class
from undersong.check.fault import Fault
from undersong.check.passage import SILENT, Passage
from undersong.check.rhythm import asked_last, bass_asked

OCTAVE = 12
DRONE, MELODY = "drone", "melody"
_STEPS = (1, 2)
"""Semitones of a step."""


def bass_true(passage: Passage) -> Iterator[Fault]:
    """Every fault of the bass line."""
    solo = passage.texture == "solo"
    closing = asked_last(passage) if solo else _last(passage, anew=True)
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        chord, pitch = ask.time.chord, passage.pitch(index, 0)
        carries = solo and ask.sings and passage.carriers(index) == (0,)
        if carries and choice.role != MELODY:
            yield passage.fault(
                index, "role", "the bass string plays the melody and is called another"
            )
        if carries:
            continue
        if chord is None or not choice.struck[0]:
            if choice.role is not None:
                yield passage.fault(index, "role", "a bass note is named where none is struck")
            if chord is not None and pitch < 0 and not solo and not ask.breath:
                yield from _let_go(passage, index)
            continue
        if pitch < 0:
            continue
        if choice.role is None:
            yield passage.fault(index, "role", "a bass note is struck and has no name")
            continue
        if solo and choice.role == MELODY:
            yield passage.fault(index, "role", "the bass note is called melody and is none")
        elif solo and choice.role == DRONE:
            yield from _open(passage, index, index in closing)
        elif choice.role in FOREIGN:
            yield from _foreign(passage, index)
        else:
            yield from _named(passage, index, chord, choice.role)
        yield from _promised(passage, index, index in closing)
    yield from _endings(passage)


def _named(passage: Passage, index: int, chord: Chord, role: str) -> Iterator[Fault]:
    """A bass note is the tone of the chord that it is called."""
    if role == "octave" and passage.pitch(index, 0) != _lowest(passage, chord, "root") + OCTAVE:
        yield passage.fault(index, "role", "the bass note is not an octave above the lowest root")
    if degree_pitch_class(chord, role) != passage.pitch(index, 0) % 12:
        yield passage.fault(index, "role", f"the bass note is not the {role} of {chord}")
    ask = passage.asks[index]
    if ask.bass is not None and ask.bass.climbs and not _in_figure(passage, index, chord, role):
        yield passage.fault(index, "manner", f"in a figure this {role} lies too low or too high")


def _in_figure(passage: Passage, index: int, chord: Chord, role: str) -> bool:
    """Whether a figure's note lies where it climbs by: the root as low as can be, the fifth within
    the octave above it."""
    pitch = passage.pitch(index, 0)
    if role == "fifth":
        return 0 < pitch - _lowest(passage, chord, "root") < OCTAVE
    return role == "octave" or pitch == _lowest(passage, chord, role)


def _lowest(passage: Passage, chord: Chord, role: str) -> int:
    """The lowest pitch of the bass string that has that role in the chord."""
    on = passage.arrangement.instrument
    frets = (on.capo, *(fret for fret in on.courses[0].frets if fret > on.capo))
    pitches = (on.courses[0].open + fret for fret in frets)
    wanted = degree_pitch_class(chord, role)
    return next((pitch for pitch in pitches if pitch % 12 == wanted), SILENT - OCTAVE)


def _open(passage: Passage, index: int, closing: bool) -> Iterator[Fault]:
    """A drone is the open bass string, where that is not simply the note asked for."""
    chord = passage.asks[index].time.chord
    if not passage.open(index, 0):
        yield passage.fault(index, "role", "a drone is the open bass string, and it is stopped")
        return
    asked, _ = bass_asked(passage.asks[index], closing)
    pitch = passage.pitch(index, 0) % 12
    named = [role for role in asked if chord and degree_pitch_class(chord, role) == pitch]
    if named:
        yield passage.fault(index, "role", f"the open bass string is the {named[0]}, not a drone")


def _let_go(passage: Passage, index: int) -> Iterator[Fault]:
    """Held means held, unless the palm damps it."""
    damped = passage.arrangement.style.right_hand.damped
    if passage.asks[index].manner == "held" and not damped:
        yield passage.fault(index, "manner", "the bass is let go, and this manner holds it")


def _promised(passage: Passage, index: int, closing: bool) -> Iterator[Fault]:
    """The root where a chord begins; after that the manner's notes."""
    ask, role = passage.asks[index], passage.choices[index].role or ""
    if ask.bass is None and passage.texture == "solo" and not ask.again:
        return
    if ask.bass is None:
        yield from _same_again(passage, index)
        return
    if role in ask.bass.roles or (closing and not ask.first):
        return
    if role in ask.bass.instead or (role == DRONE and passage.texture == "solo"):
        return
    wanted = ", ".join(sorted(ask.bass.roles))
    if ask.first and ask.manner != "free":
        yield passage.fault(index, "root", f"{ask.time.chord} begins on its {role}, not {wanted}")
    elif role not in FOREIGN:
        yield passage.fault(
            index, "manner", f"the bass plays the {role}, and in this manner plays {wanted} here"
        )


def _same_again(passage: Passage, index: int) -> Iterator[Fault]:
    """A bass string struck with the others repeats the note before."""
    before = _before(passage, index)
    if before is None or passage.pitch(before, 0) != passage.pitch(index, 0):
        yield passage.fault(index, "manner", "the bass string should repeat its note here")


def _before(passage: Passage, index: int) -> int | None:
    """The moment of the bass note before, None where a rest or nothing comes before."""
    for earlier in range(index - 1, -1, -1):
        if passage.choices[earlier].struck[0]:
            return earlier
        if passage.asks[earlier].time.chord is None and passage.pitch(earlier, 0) < 0:
            return None
    return None


def _after(passage: Passage, index: int) -> int | None:
    """The moment of the next bass note, None where a rest or nothing comes first."""
    for later in range(index + 1, len(passage.choices)):
        if passage.choices[later].struck[0]:
            return later
        if passage.asks[later].time.chord is None and passage.pitch(later, 0) < 0:
            return None
    return None


def _foreign(passage: Passage, index: int) -> Iterator[Fault]:
    """A note foreign to the chord: of the key, on a weak beat, licensed by what surrounds it."""
    ask, role = passage.asks[index], passage.choices[index].role
    chord, pitch = ask.time.chord, passage.pitch(index, 0)
    assert chord is not None

    def fault(message: str) -> Fault:
        article = "an" if role == "approach" else "a"
        return passage.fault(index, "foreign note", f"{article} {role} note {message}")

    if pitch % 12 in chord.pitch_classes | {chord.bass_pitch_class}:
        yield passage.fault(index, "role", f"{chord} has this note, so it is not {role}")
    if pitch % 12 not in ask.bar.scale:
        yield fault("must belong to the key")
    if ask.strong or ask.first:
        yield fault("must stand on a weak beat")
    elif ask.bass is None or role not in ask.bass.roles:
        yield fault("has no place in this manner here")
    before, after = _before(passage, index), _after(passage, index)
    if after is None:
        yield fault("must be followed by another bass note")
        return
    out = passage.pitch(after, 0) - pitch
    if passage.pitch(after, 0) == SILENT or passage.choices[after].role in FOREIGN:
        yield fault("must lead to a note of the chord")
    if role == "approach":
        if not _lands_on_root(passage, after) or abs(out) not in _STEPS:
            yield fault("must lie a step from the next chord's root")
        return
    if before is None or passage.choices[before].role in FOREIGN:
        yield fault("must come from a note of the chord")
        return
    into = pitch - passage.pitch(before, 0)
    turns = 1 if role == "passing" else -1
    if abs(into) not in _STEPS or abs(out) not in _STEPS or into * out * turns < 0:
        yield fault("must come and go by step" + (", in one direction" if turns > 0 else ""))
    elif role == "neighbour" and into + out != 0:
        yield fault("must go back to the note that it came from")


def _lands_on_root(passage: Passage, index: int) -> bool:
    """Whether a chord begins here with its root or the note after its slash."""
    ask = passage.asks[index]
    chord = ask.time.chord
    if chord is None or not ask.first:
        return False
    roots = (degree_pitch_class(chord, "root"), degree_pitch_class(chord, "slash bass"))
    return passage.pitch(index, 0) % 12 in roots


def _last(passage: Passage, anew: bool) -> frozenset[int]:
    """The last bass note struck in each closing bar; anew: repeated ones do not count."""
    bars = passage.bars
    closing = closing_bars(passage.arrangement.tune, bars)
    last: dict[int, int] = {}
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        counts = choice.struck[0] and ask.time.chord is not None and not (anew and ask.again)
        if ask.bar.number in closing and counts:
            last[ask.bar.number] = index
    return frozenset(last.values())


def _endings(passage: Passage) -> Iterator[Fault]:
    for index in sorted(_last(passage, anew=False)):
        chord = passage.asks[index].time.chord
        pitch = passage.pitch(index, 0)
        if passage.choices[index].role in (DRONE, MELODY) and passage.texture == "solo":
            continue
        if chord is not None and pitch >= 0 and pitch % 12 != chord.bass_pitch_class:
            yield passage.fault(index, "ending", "the last bar ends on another note than the root")
