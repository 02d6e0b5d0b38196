"""Pins as they are typed: ``5-8 beat 3: bass 3, middle M``.

Before the last colon stand the bars (a number, a range, a section's name or ``all``) and, where
only one felt beat is meant, ``beat`` and its number; after it what is fixed or forbidden there,
several separated by commas.

A whole bar is kept as the shapes of its moments in order, with the strings struck where that
matters: ``keep 0-x-x (bass) then 0-0-2 M (middle+melody)``; after ``; next time`` stand those of
another time through.

Public: read_pinned, read_where, check_frets, EXAMPLES.
"""

import re

from fretboard.instrument import COURSE_NAMES, Instrument
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import LearnedShape
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
    Pinned,
    Shape,
)
from solver.conditions.wording import (
    Frets,
    counted,
    looks_like_shape,
    read_finger,
    read_fret,
    read_shape,
)
from solver.errors import ConditionError

EXAMPLES = (
    "3-1-0, 3-1-0 TI, bass 3, middle M, bass note D, bass role fifth, manner walking; "
    "to forbid also finger P or barred"
)

_BEAT = re.compile(r"(.*?)[\s,]+beat\s+(\S+)", re.IGNORECASE)
_KEEP = re.compile(r"keep\s+(.+)", re.IGNORECASE)
_NEXT_TIME = re.compile(r"\s*;\s*next\s+time\s+", re.IGNORECASE)
_THEN = re.compile(r"\s+then\s+", re.IGNORECASE)
_STRUCK = re.compile(r"(.+?)\s*\(([^()]*)\)")
_BASS_WORD = re.compile(r"(?:bass\s+)?(note|role|manner)\s+(.+)", re.IGNORECASE)
_FINGERING = re.compile(r"fingering\s+(.+)", re.IGNORECASE)
_MOST_BEATS = 32


def read_where(text: str) -> tuple[Bars, int | None]:
    """The bars and the felt beat, None for every beat."""
    beat = _BEAT.fullmatch(text.strip())
    if beat is None:
        return Bars.parse(text), None
    bars, number = beat.groups()
    if not (number.isascii() and number.isdigit() and 1 <= int(number[:4]) <= _MOST_BEATS):
        raise ConditionError(f"beats are counted from 1, such as 'beat 3', not {number!r}")
    return Bars.parse(bars), int(number)


def read_pinned(text: str, instrument: Instrument, from_capo: bool = False) -> Pinned:
    """One thing to fix or forbid; ConditionError for what is none, or frets that are not there."""
    text = " ".join(text.split())
    pinned = _read(text, instrument, from_capo)
    other = " from the nut" if instrument.capo and instrument.from_capo and not from_capo else ""
    check_frets(pinned, instrument.counted(from_capo), other)
    return pinned


def _read(text: str, instrument: Instrument, from_capo: bool) -> Pinned:
    keep = _KEEP.fullmatch(text)
    if keep is not None or _THEN.search(text):
        times = _NEXT_TIME.split(keep.group(1) if keep else text)
        return Kept(
            tuple(
                tuple(_hands(part, instrument, from_capo) for part in _THEN.split(time))
                for time in times
            )
        )
    if looks_like_shape(text):
        return _shape(text, instrument, from_capo)
    shaped = _FINGERING.fullmatch(text)
    if shaped is not None:
        return Fingering(LearnedShape.parse(shaped.group(1), instrument, from_capo))
    if text.casefold() == "barred":
        return Barred()
    word = _BASS_WORD.fullmatch(text)
    if word is not None:
        kind, value = word.group(1).casefold(), word.group(2)
        if kind == "note":
            return BassNote(_note_name(value))
        return BassRole(value.casefold()) if kind == "role" else BassManner(value.casefold())
    first, _, rest = text.partition(" ")
    if first.casefold() == "finger":
        return FingerDown(read_finger(rest))
    names = COURSE_NAMES[len(instrument.courses)]
    for course in sorted(range(len(names)), key=lambda course: -len(names[course])):
        name = names[course]
        if text.casefold() == name or text.casefold().startswith(f"{name} "):
            return _string(text, course, len(names), text[len(name) :], instrument, from_capo)
    raise ConditionError(f"{text!r} cannot be pinned; write such as {EXAMPLES}")


def _shape(text: str, instrument: Instrument, from_capo: bool) -> Shape:
    return Shape(*read_shape(text, instrument, from_capo))


def _hands(text: str, instrument: Instrument, from_capo: bool) -> Hands:
    with_strokes = _STRUCK.fullmatch(text)
    if with_strokes is None:
        return Hands(_shape(text, instrument, from_capo))
    shape, words = with_strokes.groups()
    names = COURSE_NAMES[len(instrument.courses)]
    struck = [word.strip().casefold() for word in words.split("+")]
    if struck != ["nothing"] and not set(struck) <= set(names):
        raise ConditionError(
            f"({words}): in brackets stand the strings struck, such as (bass) or "
            f"({'+'.join(names[1:])}), or (nothing)"
        )
    return Hands(_shape(shape, instrument, from_capo), tuple(name in struck for name in names))


def _note_name(text: str) -> str:
    """A note's name with its letter large and its sign plain."""
    return (text[:1].upper() + text[1:]).replace("♯", "#").replace("♭", "b")


def _string(
    text: str, course: int, courses: int, rest: str, instrument: Instrument, from_capo: bool
) -> OneString:
    words = rest.split()
    fret = finger = None
    if words and (words[0][0].isdigit() or words[0].casefold() == "x"):
        fret = read_fret(words.pop(0), instrument, from_capo)
    if len(words) == 1 and words[0].upper() in ("T", "I", "M", "R", "P"):
        finger = read_finger(words.pop())
    if words or (fret is None and finger is None):
        raise ConditionError(
            f"{text!r}: after the string stands its fret, its finger or both, such as "
            "'bass 3', 'bass M' or 'bass 3 M'; a note is written 'bass note D'"
        )
    if finger is not None and fret == instrument.capo:
        raise ConditionError(f"{text!r}: no finger stops an open string")
    return OneString(course, courses, fret, finger)


def check_frets(pinned: Pinned, instrument: Instrument, other: str = "") -> None:
    """ConditionError where a pin names a string or a fret that the instrument does not have; other:
    where its frets are counted from, if not from where the rest of the command counts them."""
    shapes: list[Frets] = []
    if isinstance(pinned, Shape | OneString):
        shapes = [pinned.frets]
    elif isinstance(pinned, Fingering):
        shapes = [pinned.shape.frets]
    elif isinstance(pinned, Kept):
        shapes = [hands.shape.frets for time in pinned.times for hands in time]
    for frets in shapes:
        if len(frets) != len(instrument.courses):
            raise ConditionError(
                f"{pinned} speaks of {counted(len(frets), 'string')}, and the instrument has "
                f"{len(instrument.courses)}"
            )
        for course, fret in enumerate(frets):
            if fret is not None and fret >= 0:
                _check_there(course, fret, instrument, other)


def _check_there(course: int, fret: int, instrument: Instrument, other: str) -> None:
    if instrument.has(course, fret):
        return
    label, name = instrument.told(fret), instrument.course_name(course)
    if fret < instrument.capo:
        raise ConditionError(
            f"fret {instrument.label(fret)} lies behind the capo at fret "
            f"{instrument.label(instrument.capo)}; frets are counted from the nut, or from the "
            "capo with --from-capo"
        )
    raise ConditionError(
        f"there is no fret {label}{other} under the {name} string; take another fret, or an "
        "instrument that has it"
    )
