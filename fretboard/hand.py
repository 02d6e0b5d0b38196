"""The left hand: how far its fingers reach and how fast it moves.

The hand comes over the top of the fretboard: from the bridge side to the nut side lie thumb T,
index I, middle M, ring R, little finger P, numbered 0 to 4 here. Reach is a preference, not
medical advice: warm up, rest, stop if anything hurts, and ask a teacher or clinician.

Reach bands follow the table of Parncutt et al. 1997 (piano; comfortable and practical spans of
finger pairs; figures from memory), scaled so that its widest span is the player's own span from
thumb to little finger. How far a relaxed finger lies from the index finger comes from the relaxed
spans of the same table.

A hand may hold a noter instead: a stick that stops one fret of the melody course and nothing else.
It is number 0 then, its letter N; the fingers hold it and stop nothing.

Public: Hand, Movement, Reach, FINGERS, NOTER, SLIDE_A, SLIDE_B, CAUTION, MEASURE.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from types import MappingProxyType

from fretboard.errors import FretboardError

FINGERS = "TIMRP"
NOTER = "N"
SLIDE_A, SLIDE_B = 20, 74
"""ms, and ms a bit, of a noter's slide: see ``Movement``."""
CAUTION = (
    "A reach setting is a preference, not medical advice: warm up, rest, "
    "stop if anything hurts, and ask a teacher or clinician."
)
MEASURE = (
    "To measure your span: lay the hand flat beside a ruler, fingers spread as far as they go "
    "without strain, and read from the tip of the thumb to the tip of the little finger."
)
"""How to measure a hand; wherever this stands, ``CAUTION`` stands with it."""

_WIDEST = 15
_COMFORTABLE = {
    (0, 1): 8, (0, 2): 10, (0, 3): 12, (0, 4): 13,
    (1, 2): 3, (1, 3): 5, (1, 4): 8,
    (2, 3): 2, (2, 4): 5,
    (3, 4): 3,
}  # fmt: skip
_GREATEST = {
    (0, 1): 10, (0, 2): 12, (0, 3): 14, (0, 4): 15,
    (1, 2): 5, (1, 3): 7, (1, 4): 10,
    (2, 3): 4, (2, 4): 7,
    (3, 4): 5,
}  # fmt: skip
_RELAXED_FROM_INDEX = (3.0, 0.0, -1.5, -3.5, -5.5)

Reach = Mapping[tuple[int, int], int]


@dataclass(frozen=True)
class Movement:
    """How long movements take: Fitts's law in Shannon form, MT = a + b·log2(D/W + 1).

    hand_a, hand_b, finger_a, finger_b: ms and ms per bit; flex_mm: how far the fingers give
    before the hand itself must move; release_percent: the share of a note's length that a finger
    may leave it early.

    Published slopes differ widely (Fitts 1954 about 100 ms a bit for the arm; Langolf, Chaffin &
    Foulke 1976 arm 105, wrist 43, finger 26; Balakrishnan & MacKenzie 1997 finger alone about
    330), so these are settings; the defaults take the arm's 100 for the hand and 45, between
    wrist and finger, for one finger. All figures from memory.

    slide_a, slide_b: of a noter that slides along its string, hand and stick in one movement; None
    in other hands, and in a noter whose slide is counted as a shift of the hand and a slide of a
    finger beside it (documents written before 27 November 2026 have such ones). The hand's 100 is
    that of tapping to and fro, where the time of a movement has the lift, the touch and the rest on
    the target in it. A slide has none of them: it is one aimed movement. For such Fitts & Peterson
    1964 have −70.6 + 74.2·log2(2D/W), from memory too. The slope is theirs; their line comes to
    nothing where D is W, which no movement does, so the noter's begins with a finger's 20 ms
    (common practice, no source) and lies above theirs wherever they measured. That a slide takes no
    longer than a movement through the air, and that shorter ones follow the same line, is assumed.
    """

    hand_a: int = 60
    hand_b: int = 100
    finger_a: int = 20
    finger_b: int = 45
    flex_mm: int = 25
    release_percent: int = 25
    slide_a: int | None = None
    slide_b: int | None = None

    def __post_init__(self) -> None:
        for name in ("hand_a", "hand_b", "finger_a", "finger_b", "flex_mm", "slide_a", "slide_b"):
            if not 0 <= (getattr(self, name) or 0) <= 2000:
                raise FretboardError(f"the hand's {name} must lie between 0 and 2000")
        if (self.slide_a is None) != (self.slide_b is None):
            raise FretboardError("the hand's slide_a and slide_b go together: write both or none")
        if not 0 <= self.release_percent <= 100:
            raise FretboardError("the hand's release_percent must lie between 0 and 100")


@dataclass(frozen=True)
class Hand:
    """One player's left hand.

    span_mm: from thumb tip to little finger tip, stretched; may_bar: fingers that may be laid
    across several strings; not_used: fingers left out; comfortable and greatest: tenths of a mm
    between two fingertips, by pair of finger numbers, derived from the span where not given;
    noter: the hand holds a stick, number 0, that stops one fret of the last course and nothing
    else (common practice, no source); may_bar is then empty and not_used the four other fingers;
    thumb_on_bass: whether the thumb may stop the bass string (players differ; common practice, no
    source).
    """

    name: str = "medium"
    span_mm: int = 205
    may_bar: str = "IMR"
    not_used: str = ""
    movement: Movement = Movement()
    comfortable: Reach = field(default_factory=dict, hash=False)
    greatest: Reach = field(default_factory=dict, hash=False)
    noter: bool = False
    thumb_on_bass: bool = True

    def __post_init__(self) -> None:
        if not 120 <= self.span_mm <= 320:
            raise FretboardError(
                f"a hand spans 120 to 320 mm from thumb to little finger, not {self.span_mm}"
            )
        for name in ("may_bar", "not_used"):
            letters = getattr(self, name)
            if set(letters) - set(FINGERS) or len(set(letters)) != len(letters):
                raise FretboardError(f"the hand's {name} takes letters out of T I M R P, once each")
        if self.noter:
            object.__setattr__(self, "may_bar", "")
            object.__setattr__(self, "not_used", FINGERS[1:])
            object.__setattr__(self, "thumb_on_bass", True)
        elif self.movement.slide_a is not None:
            raise FretboardError("the hand's slide_a and slide_b are a noter's: write noter = true")
        if set(self.not_used) == set(FINGERS):
            raise FretboardError("the hand's not_used leaves no finger to play with")
        for name, table in (("comfortable", _COMFORTABLE), ("greatest", _GREATEST)):
            given: Reach = getattr(self, name)
            if set(given) - set(table):
                raise FretboardError(f"the hand's {name} names a pair of fingers that is none")
            derived = {pair: self.span_mm * 10 * part // _WIDEST for pair, part in table.items()}
            object.__setattr__(self, name, MappingProxyType({**derived, **given}))
        for pair, comfort in self.comfortable.items():
            if not 0 <= comfort <= self.greatest[pair]:
                fingers = "-".join(FINGERS[finger] for finger in pair)
                raise FretboardError(f"the hand's comfortable {fingers} exceeds its greatest")

    def __reduce__(self) -> tuple[type["Hand"], tuple[object, ...]]:
        """For pickle, which knows no read-only mappings."""
        values = (getattr(self, each.name) for each in fields(self))
        return Hand, tuple(dict(v) if isinstance(v, MappingProxyType) else v for v in values)

    def without(self, letters: str) -> "Hand":
        """The hand with those fingers left out as well, such as ``"P"`` or ``"RP"``.

        Raises FretboardError, one sentence, for what are no fingers, for a noter and where none
        would be left.
        """
        wanted = letters.strip().upper()
        if not wanted or set(wanted) - set(FINGERS) or len(set(wanted)) != len(wanted):
            raise FretboardError(f"write fingers out of T I M R P, once each, not {letters!r}")
        if self.noter:
            raise FretboardError("a noter is held by the fingers and uses none of them on a string")
        rest = "".join(each for each in FINGERS if each in self.not_used or each in wanted)
        if rest == FINGERS:
            raise FretboardError(f"without {wanted} this hand has no finger left to play with")
        return replace(self, not_used=rest)

    @property
    def fingers(self) -> tuple[int, ...]:
        """The numbers of the fingers in use, thumb first."""
        return tuple(n for n, letter in enumerate(FINGERS) if letter not in self.not_used)

    @property
    def slides_whole(self) -> bool:
        """Whether a noter's slide is one movement of hand and stick together."""
        return self.noter and self.movement.slide_a is not None

    def letter(self, finger: int) -> str:
        """What a finger is called on the page: T I M R P, and N for a noter."""
        return NOTER if self.noter else FINGERS[finger]

    def stops(self, course: int, courses: int) -> bool:
        """Whether the hand may stop that course out of so many; a noter the last one only."""
        return not self.noter or course == courses - 1

    def takes(self, finger: int, course: int) -> bool:
        """Whether the finger may stop that course."""
        return finger > 0 or course > 0 or self.thumb_on_bass

    def bars(self, finger: int) -> bool:
        """Whether the finger may lie across several strings."""
        return FINGERS[finger] in self.may_bar

    def offset(self, finger: int) -> int:
        """Tenths of a mm that the relaxed finger lies bridgeward of the index finger; a noter lies
        where the hand is."""
        if self.noter:
            return 0
        return round(self.span_mm * 10 * _RELAXED_FROM_INDEX[finger] / _WIDEST)
