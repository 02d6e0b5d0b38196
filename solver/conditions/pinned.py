"""What a pin fixes or forbids: small values, each with what a player expects of it.

A pin speaks of moments (``scoring.moment``) in which a chord sounds; a rest has nothing to pin.
*Sounds* is struck or ringing on. *As asked* is what the right hand's pattern strikes there: the
first entry of ``Moment.strikes``. A string is *open* at the capo's fret (the nut without one).

Public: Shape, OneString, Fingering, FingerDown, Barred, BassNote, BassRole, BassManner, Hands,
Kept, Pinned, WITH_FRETS, ONLY_FIXED, ONLY_FORBIDDEN.
"""

import re
from dataclasses import dataclass

from fretboard.frets import HIGHEST_SEMITONE, fret_label
from fretboard.hand import FINGERS
from fretboard.instrument import COURSE_NAMES
from fretboard.tuning import parse_pitch
from scoring.moment import ROLES, Strokes
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.wording import SILENT, Fingers, Frets, Written, shown_fret, shown_shape
from solver.errors import ConditionError
from solver.manners import MANNERS

_NOTE = re.compile(r"[A-G][#b]?(-?\d)?")


@dataclass(frozen=True)
class Shape:
    """A hand shape: a fret for each string, or ``x``, or any; and fingers where they matter.

    Fixed: a string that sounds has its fret; one that is struck as asked is not left out; ``x``
    stays silent; where the string is stopped, the finger named stops it. A string that the right
    hand has not struck yet, or that was let go, may be silent. Forbidden: that shape as a whole,
    which is there when every string named has its fret and its finger; an open string of a shape
    that has stopped ones may be silent then, since the hand is the same.
    """

    frets: Frets
    fingers: Fingers | None = None

    def __post_init__(self) -> None:
        _check_courses(len(self.frets))
        for fret in self.frets:
            _check_fret(fret)
        for fret, finger in zip(self.frets, self.fingers or (), strict=self.fingers is not None):
            _check_finger(finger)
            if finger is not None and finger >= 0 and (fret is None or fret <= 0):
                raise ConditionError("a shape names fingers only for strings that it stops")
        if self.fingers is not None:
            object.__setattr__(self, "fingers", self._fingers_in_one_form(self.fingers))

    def _fingers_in_one_form(self, fingers: Fingers) -> Fingers | None:
        """The same claims, so that equal shapes are equal: None without any finger named."""
        if all(finger in (None, -1) for finger in fingers):
            return None
        return tuple(
            None if fret is None else -1 if fret <= 0 else finger
            for fret, finger in zip(self.frets, fingers, strict=True)
        )

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """As it is typed, its frets as ``written`` has them."""
        return shown_shape(self.frets, self.fingers, written)


@dataclass(frozen=True)
class OneString:
    """One string's fret, or the finger that stops it, or both. course, courses: which of how many.

    As a ``Shape`` that says nothing of the other strings: fixed, the string has that fret where it
    sounds, and that finger where it is stopped; forbidden, it does not sound at that fret (with
    that finger), or is not stopped by that finger. ``x`` forbidden: the string must sound.
    """

    course: int
    courses: int
    fret: int | None = None
    finger: int | None = None

    def __post_init__(self) -> None:
        _check_courses(self.courses)
        if not 0 <= self.course < self.courses:
            raise ConditionError(f"there is no string {self.course} of {self.courses}")
        _check_fret(self.fret)
        _check_finger(self.finger)
        if self.fret is None and self.finger is None:
            raise ConditionError("say which fret a string has, or which finger stops it")
        if self.finger == -1 or (self.finger is not None and self.fret in (SILENT, 0)):
            raise ConditionError("no finger stops a string that is open or silent")

    @property
    def frets(self) -> Frets:
        """The fret as a shape's, nothing said of the other strings."""
        return tuple(self.fret if c == self.course else None for c in range(self.courses))

    @property
    def fingers(self) -> Fingers:
        """The finger as a shape's."""
        return tuple(self.finger if c == self.course else None for c in range(self.courses))

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """As it is typed, its frets as ``written`` has them."""
        fret = "" if self.fret is None else f" {shown_fret(self.fret, written)}"
        finger = "" if self.finger is None else f" {FINGERS[self.finger]}"
        return f"{COURSE_NAMES[self.courses][self.course]}{fret}{finger}"


@dataclass(frozen=True)
class Fingering:
    """The fingers for a shape as a pupil learns it: wherever exactly those strings are stopped, at
    those frets, those fingers stop them. Nothing is said of other shapes. Can only be fixed."""

    shape: LearnedShape

    def __post_init__(self) -> None:
        _check_courses(len(self.shape.frets))
        if self.shape.fingers is None:
            raise ConditionError(f"name the fingers as well, such as '{self} TI'")

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """As it is typed, its frets as ``written`` has them."""
        return f"fingering {self.shape.shown(written)}"


@dataclass(frozen=True)
class FingerDown:
    """A finger that stops any string. Can only be forbidden."""

    finger: int

    def __post_init__(self) -> None:
        _check_finger(self.finger)
        if self.finger < 0:
            raise ConditionError("say which finger: T I M R P")

    def __str__(self) -> str:
        return f"finger {FINGERS[self.finger]}"


@dataclass(frozen=True)
class Barred:
    """A finger laid across two strings or more. Can only be forbidden."""

    def __str__(self) -> str:
        return "barred"


@dataclass(frozen=True)
class BassNote:
    """A note of the bass string: ``D`` in any octave, or ``D3``. Fixed or forbidden wherever the
    bass string is struck; a note that rings on from before is not meant."""

    name: str

    def __post_init__(self) -> None:
        if not _NOTE.fullmatch(self.name):
            raise ConditionError(f"{self.name!r} is no note; write it such as D, F#, Bb or D3")

    @property
    def pitch(self) -> int | None:
        """The MIDI number; None where no octave is given."""
        return parse_pitch(self.name) if self.name[-1].isdigit() else None

    @property
    def pitch_class(self) -> int:
        return parse_pitch(self.name, 60) % 12

    def __str__(self) -> str:
        return f"bass note {self.name}"


@dataclass(frozen=True)
class BassRole:
    """What the bass note is to the chord (``scoring.moment.ROLES``). Fixed or forbidden wherever
    the bass string is struck."""

    role: str

    def __post_init__(self) -> None:
        if self.role not in ROLES:
            raise ConditionError(
                f"a bass note is not called {self.role!r}; the names are {', '.join(ROLES)}"
            )

    def __str__(self) -> str:
        return f"bass role {self.role}"


@dataclass(frozen=True)
class BassManner:
    """The bass manner of whole bars. Can only be fixed. Where it begins and ends, a chord that
    goes on begins afresh, as at a section."""

    manner: str

    def __post_init__(self) -> None:
        if self.manner not in MANNERS:
            raise ConditionError(
                f"there is no bass manner {self.manner!r}; the names are {', '.join(MANNERS)}"
            )

    def __str__(self) -> str:
        return f"manner {self.manner}"


@dataclass(frozen=True)
class Hands:
    """One moment exactly: every string named sounds at its fret or (``x``) is silent, is stopped
    by the finger named, and is struck as said (None: as it comes)."""

    shape: Shape
    struck: Strokes | None = None

    def __post_init__(self) -> None:
        if self.struck is not None and len(self.struck) != len(self.shape.frets):
            raise ConditionError("strokes are named for every string")

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """As it is typed, its frets as ``written`` has them."""
        shape = self.shape.shown(written)
        if self.struck is None:
            return shape
        names = COURSE_NAMES[len(self.struck)]
        struck = [name for name, on in zip(names, self.struck, strict=True) if on]
        return f"{shape} ({'+'.join(struck) or 'nothing'})"


@dataclass(frozen=True)
class Kept:
    """A whole bar as it was: the hands of its moments in order, for the first time through, the
    second, …; the last holds for any more. Can only be fixed."""

    times: tuple[tuple[Hands, ...], ...]

    def __post_init__(self) -> None:
        if not self.times or not all(self.times):
            raise ConditionError("a bar that is kept has hands for every moment")

    def time(self, number: int) -> tuple[Hands, ...]:
        """The hands for the time through of that number, from 0."""
        return self.times[min(number, len(self.times) - 1)]

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """As it is typed, its frets as ``written`` has them."""
        texts = [" then ".join(each.shown(written) for each in hands) for hands in self.times]
        return f"keep {'; next time '.join(texts)}"


Pinned = (
    Shape | OneString | Fingering | FingerDown | Barred | BassNote | BassRole | BassManner | Kept
)
WITH_FRETS = (Shape, OneString, Fingering, Kept)
ONLY_FIXED = (BassManner, Kept, Fingering)
ONLY_FORBIDDEN = (FingerDown, Barred)


def _check_courses(count: int) -> None:
    if count not in COURSE_NAMES:
        raise ConditionError(f"a shape has three or four strings, not {count}")


def _check_fret(fret: int | None) -> None:
    if fret is not None and not SILENT <= fret <= HIGHEST_SEMITONE:
        raise ConditionError(
            f"a fret lies 0 to {HIGHEST_SEMITONE} semitones above the nut, not {fret}"
        )


def _check_finger(finger: int | None) -> None:
    if finger is not None and not -1 <= finger < len(FINGERS):
        raise ConditionError("fingers are numbered 0 (thumb) to 4 (little finger)")
