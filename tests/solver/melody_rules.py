"""The rules of shapes that keep a melody, written down once more for the brute force.

Whole shapes are judged at once, each sounding string by what it could be there for: the melody,
the chord, an open string, the bass line. Nothing of the solver is used.

* solo: where a note begins, the struck string nearest to the player that has its pitch carries it;
  where it goes on, strings that are not struck and have its pitch do, and none is struck at that
  pitch, which would begin the note again. Nothing is higher. What is
  struck besides was asked for; what sounds above the bass besides is a tone of the chord or open,
  the bass one of its roles or open; without a chord nothing sounds besides. In a rest of the melody
  the last string is silent. A bass that is asked for is struck, unless it alone holds the note.
* drone: the last string has the melody and nothing else, the others are open from its first note
  on and silent before.

Public: near, shape_allowed, bass_names, carries_bass.
"""

from fretboard.instrument import Instrument
from scoring.moment import ROLES, Moment
from solver.style import Style

Frets = tuple[int, ...]
Hits = tuple[bool, ...]


def near(moment: Moment, course: int, fret: int, instrument: Instrument, style: Style) -> bool:
    """Whether a fret is worth looking at: not above the melody, nor above every limit."""
    sounds, up = instrument.pitch(course, fret), fret - instrument.capo
    if sounds == moment.melody:
        return up <= max(style.melody_highest, style.bass_ceiling, style.highest)
    if moment.texture != "drone" and moment.melody is not None and sounds > moment.melody:
        return False
    return up <= (style.highest if course else style.bass_ceiling)


def shape_allowed(
    moment: Moment, frets: Frets, struck: Hits, instrument: Instrument, style: Style
) -> bool:
    """Whether the shape may be, whatever came before and whatever the hand can do."""
    if any(hit and fret < 0 for hit, fret in zip(struck, frets, strict=True)):
        return False
    if moment.texture == "drone":
        return _over_a_drone(moment, frets, instrument, style)
    pitch = [instrument.pitch(c, f) if f >= 0 else None for c, f in enumerate(frets)]
    heard = [p for p in pitch if p is not None]
    if style.bass_lowest and pitch[0] is not None and min(heard) < pitch[0]:
        return False
    if moment.melody is None:
        if frets[-1] >= 0:
            return False
        besides = set(range(len(frets)))
    else:
        if heard and max(heard) > moment.melody:
            return False
        bearers = {
            c for c, p in enumerate(pitch) if p == moment.melody and struck[c] == moment.sings
        }
        if moment.sings:
            bearers = {max(bearers)} if bearers else set()
        able = {c for c in bearers if _may_bear(moment, c, frets[c], instrument, style)}
        if not able or (moment.sings and able != bearers):
            return False
        besides = set(range(len(frets))) - able
        holds_alone = not moment.sings and able == {0}
        if moment.strikes[0][0] and not struck[0] and not holds_alone:
            return False
        again = any(hit and p == moment.melody for hit, p in zip(struck, pitch, strict=True))
        if again and not moment.sings:
            return False
        for course in besides:
            if struck[course] and not _asked(moment, course):
                return False
    return all(
        frets[c] < 0 or _beside(moment, c, frets[c], struck[c], instrument, style) for c in besides
    )


def _over_a_drone(moment: Moment, frets: Frets, instrument: Instrument, style: Style) -> bool:
    started = moment.rings
    below = instrument.capo if started else -1
    if set(frets[:-1]) != {below}:
        return False
    if moment.melody is None:
        return frets[-1] == -1
    reached = frets[-1] - instrument.capo <= style.melody_highest
    return frets[-1] >= 0 and reached and instrument.pitch(-1, frets[-1]) == moment.melody


def _may_bear(moment: Moment, course: int, fret: int, on: Instrument, style: Style) -> bool:
    palm = course == 0 and moment.damped
    return fret - on.capo <= style.melody_highest and not palm


def _asked(moment: Moment, course: int) -> bool:
    """Whether a string may be struck for another reason than the melody."""
    if course:
        return moment.strikes[0][course]
    first = moment.strikes[0]
    optional = len(moment.strikes) > 1 and moment.strikes[1] == (not first[0], *first[1:])
    return first[0] or optional


def _beside(
    moment: Moment, course: int, fret: int, hit: bool, instrument: Instrument, style: Style
) -> bool:
    if moment.chord is None:
        return False
    if fret - instrument.capo > (style.highest if course else style.bass_ceiling):
        return False
    sounds = instrument.pitch(course, fret)
    if course:
        return fret == instrument.capo or sounds % 12 in set(moment.chord.degrees.values())
    if moment.damped and not hit:
        return False
    return bool(bass_names(moment, sounds, fret == instrument.capo))


def carries_bass(moment: Moment, frets: Frets, struck: Hits, instrument: Instrument) -> bool:
    """Whether the bass string, struck, is what carries the melody's note."""
    if not (moment.sings and struck[0]):
        return False
    above = zip(frets[1:], struck[1:], strict=True)
    mine = instrument.pitch(0, frets[0]) == moment.melody
    return mine and not any(
        hit and instrument.pitch(c, fret) == moment.melody
        for c, (fret, hit) in enumerate(above, start=1)
    )


def bass_names(moment: Moment, pitch: int, is_open: bool) -> list[str]:
    """What a bass note that is not the melody's may be called, in a solo and over a drone."""
    if moment.texture == "drone":
        return ["drone"] if is_open else []
    chord = moment.chord
    assert chord is not None
    classes = dict(chord.degrees)
    classes["slash bass"] = chord.bass_pitch_class
    classes["alternate fourth"] = (chord.degrees["root"] + 5) % 12
    may_be = moment.roles | moment.fallback
    own = next((r for r in ROLES if r in may_be and classes.get(r) == pitch % 12), None)
    names = [own] if own else []
    if is_open and own not in moment.roles:
        names.append("drone")
    if own is None and pitch % 12 in moment.scale and pitch % 12 not in chord.degrees.values():
        names += [r for r in ("passing", "neighbour", "approach") if r in moment.roles]
    return names
