"""The instrument: courses with their open pitches and frets, scale length, capo.

Courses are listed far to near: bass first, melody last. Frets are semitones above the nut (see
``fretboard.frets``). A capo stops every course at one fret, which then takes the open string's
place. Lengths are millimetres; ``along`` and ``gap`` are tenths of a millimetre, whole numbers, so
that nothing downstream compares floating-point lengths.

Public: Course, Instrument, COURSE_NAMES.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from fretboard.errors import FretboardError
from fretboard.frets import HIGHEST_SEMITONE, fret_label, fret_semitones, is_extra, position
from fretboard.past_capo import label_past, semitones_past

COURSE_NAMES = {3: ("bass", "middle", "melody"), 4: ("bass", "middle", "inner melody", "melody")}


@dataclass(frozen=True)
class Course:
    """One course (a string, or a close pair played as one).

    open: MIDI pitch from the nut; frets: the frets under it, ascending; doubled: a pair.
    """

    open: int
    frets: tuple[int, ...]
    doubled: bool = False

    def __post_init__(self) -> None:
        if not 24 <= self.open <= 84:
            raise FretboardError(f"an open string lies between C1 and C6, not at {self.open}")
        if not self.frets or list(self.frets) != sorted(set(self.frets)) or self.frets[0] < 1:
            raise FretboardError("the frets under a course must ascend from the first fret on")


@dataclass(frozen=True)
class Instrument:
    """A fretted dulcimer as it lies on the lap.

    name: free text; courses: bass to melody, three or four; scale_mm: nut to bridge; spacing_mm:
    course to course; capo: the fret (in semitones) that it sits at, 0 for none; from_capo: its
    player counts frets from the capo, which decides what is said of them (``told``) and nothing
    else, so that instruments which differ in it alone are equal.
    """

    name: str
    courses: tuple[Course, ...]
    scale_mm: float = 686.0
    spacing_mm: float = 16.0
    capo: int = 0
    from_capo: bool = field(default=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        if len(self.courses) not in COURSE_NAMES:
            raise FretboardError(
                f"an instrument has three or four courses, not {len(self.courses)}"
            )
        if not 400 <= self.scale_mm <= 1200:
            raise FretboardError(
                f"a scale length of {self.scale_mm:g} mm cannot be; write 400 to 1200 mm "
                "(or inches, such as 27in)"
            )
        if not 5 <= self.spacing_mm <= 40:
            raise FretboardError("the courses lie 5 to 40 mm apart")
        if self.capo:
            self._check_capo()

    def _check_capo(self) -> None:
        """FretboardError, with the frets that would do, where the capo cannot sit."""
        end = min(course.frets[-1] for course in self.courses)
        under_all = frozenset.intersection(*(frozenset(course.frets) for course in self.courses))
        room = sorted(fret for fret in under_all if fret < end)
        below = [fret_label(fret) for fret in room if fret < self.capo][-1:]
        above = [fret_label(fret) for fret in room if fret > self.capo][:1]
        mend = f"; put it at fret {' or '.join(below + above)}" if below or above else ""
        label = fret_label(self.capo)
        if self.capo > end:
            raise FretboardError(
                f"a capo cannot sit at fret {label}: the frets end at {fret_label(end)}{mend}"
            )
        if self.capo not in under_all:
            raise FretboardError(
                f"a capo cannot sit at fret {label}: that fret does not run under every "
                f"course{mend}"
            )
        if self.capo == end:
            raise FretboardError(f"a capo at fret {label} leaves no fret to play{mend}")

    @property
    def tuning(self) -> tuple[int, ...]:
        """MIDI pitches from the nut, bass first."""
        return tuple(course.open for course in self.courses)

    def course_name(self, course: int) -> str:
        return COURSE_NAMES[len(self.courses)][course]

    def has(self, course: int, fret: int) -> bool:
        """Whether the course can sound at that fret (the capo's own fret is its open string)."""
        return fret == self.capo or (fret > self.capo and fret in self.courses[course].frets)

    def frets(self, course: int) -> tuple[int, ...]:
        """Every fret the course can sound at, the open string (or capo) first."""
        return (self.capo, *(fret for fret in self.courses[course].frets if fret > self.capo))

    def pitch(self, course: int, fret: int) -> int:
        """The sounding MIDI pitch."""
        return self.courses[course].open + fret

    def along(self, fret: int) -> int:
        """Tenths of a mm from the nut to the fret."""
        return round(10 * position(self.scale_mm, fret))

    def gap(self, course: int, fret: int) -> int:
        """Tenths of a mm between a fret and the next lower one: where the finger may land."""
        lower = max((f for f in self.courses[course].frets if f < fret), default=0)
        return self.along(fret) - self.along(max(lower, self.capo))

    def label(self, fret: int, from_capo: bool = False) -> str:
        """The printed fret number, counted from the nut or from the capo (``past_capo``)."""
        return label_past(fret, self.capo, self.chromatic) if from_capo else fret_label(fret)

    def told(self, fret: int) -> str:
        """The fret as its player counts, for what is said of it; an open string is 0 to one who
        counts from the capo, and what lies behind the capo is named from the nut."""
        if not self.from_capo or not self.capo:
            return fret_label(fret)
        if 0 < fret < self.capo:
            return f"{fret_label(fret)} from the nut"
        return self.label(max(fret, self.capo), from_capo=True)

    def counted(self, from_capo: bool) -> "Instrument":
        """The same, its frets told as counted from the capo, or from the nut."""
        return replace(self, from_capo=from_capo)

    def fret_of(self, label: str, from_capo: bool = False) -> int:
        """Semitones above the nut of a printed fret number, as ``label`` gives it; FretboardError
        for what is none."""
        if from_capo:
            return semitones_past(label, self.capo, self.chromatic)
        return fret_semitones(label)

    def up_to(self, label: str) -> int:
        """Semitones above the nut of the highest fret that a limit leaves, counted from whatever
        capo there is: where no such half fret can be, the whole one below it, and no more than the
        third octave. FretboardError for what is no fret without a capo."""
        highest = fret_semitones(label)
        if highest + self.capo > HIGHEST_SEMITONE:
            return HIGHEST_SEMITONE
        try:
            return self.fret_of(label, from_capo=True)
        except FretboardError:
            return self.fret_of(fret_label(highest - 1), from_capo=True)

    @property
    def chromatic(self) -> bool:
        """Whether every course has a fret at every semitone as far as its frets go."""
        return all(course.frets[-1] == len(course.frets) for course in self.courses)

    def with_capo(self, fret: int) -> "Instrument":
        return replace(self, capo=fret)

    @property
    def extra_frets(self) -> tuple[int, ...]:
        """The extra frets (``1+``, ``6+`` …) under any course, in semitones, ascending."""
        there = {fret for course in self.courses for fret in course.frets}
        return tuple(sorted(fret for fret in there if is_extra(fret)))

    def with_fret(self, fret: int) -> "Instrument":
        """The same instrument with that extra fret under every course, which it may have under
        some already; FretboardError for a whole-number fret and for one past the last."""
        label = self._extra(fret)
        last = max(course.frets[-1] for course in self.courses)
        if fret > last:
            raise FretboardError(
                f"there is no room for an extra fret {label}: the frets of {self.name} end at "
                f"{fret_label(last)}"
            )
        return self._fretted(lambda frets: tuple(sorted({*frets, fret})))

    def without_fret(self, fret: int) -> "Instrument":
        """The same instrument without that extra fret under any course; FretboardError for a
        whole-number fret, for one that it has not, and where the capo sits at it."""
        label = self._extra(fret)
        if fret not in self.extra_frets:
            has = ", ".join(map(fret_label, self.extra_frets)) or "none"
            raise FretboardError(f"{self.name} has no fret {label}; its extra frets: {has}")
        return self._fretted(lambda frets: tuple(each for each in frets if each != fret))

    def _extra(self, fret: int) -> str:
        """The label of an extra fret."""
        label = fret_label(fret)
        if not is_extra(fret):
            raise FretboardError(
                f"{label} is a whole-number fret; extra frets are written such as 1+, 6+, 8+, 13+"
            )
        return label

    def _fretted(self, change: Callable[[tuple[int, ...]], tuple[int, ...]]) -> "Instrument":
        courses = tuple(replace(course, frets=change(course.frets)) for course in self.courses)
        return replace(self, courses=courses)

    def with_tuning(self, pitches: tuple[int, ...]) -> "Instrument":
        """The same fretboard strung to other open pitches."""
        if len(pitches) != len(self.courses):
            raise FretboardError(
                f"the tuning has {len(pitches)} pitches, but {self.name} has "
                f"{len(self.courses)} courses"
            )
        courses = tuple(
            replace(course, open=pitch) for course, pitch in zip(self.courses, pitches, strict=True)
        )
        return replace(self, courses=courses)
