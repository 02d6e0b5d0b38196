"""What a proposed chord is judged by: half bar by half bar, change by change, close by close.

A ``Slot`` is a half bar (or a bar) that takes one chord. Amounts are whole, never negative, and no
weight touches them. They are priced in points, a scale of their own that has nothing to do with
the hand's milliseconds: 100 points are a third of a half bar of melody, off the beat, that the
chord does not carry. The defaults were set by ear and by how often chords that tunes are known
with are found again; tests/solver/test_proposal_collections.py prints that.

    ChordTerm   a slot and its chord: does it carry the melody, is it usual in the key
    CloseTerm   a slot at which a phrase ends, its chord and what the chord before it did
    StepTerm    a slot, its chord and the chord before it

Public: Slot, Sung, TERMS, ChordTerm, CloseTerm, StepTerm, and the closes PHRASE, SECTION, END.
"""

from collections.abc import Callable
from dataclasses import dataclass

from scoring.harmony_modes import DOMINANT, OTHER, PLAGAL, TONIC, Offer
from scoring.term import About
from tune.chord import pitch_class
from tune.key import Key

PHRASE, SECTION, END = 1, 2, 3
"""How much closes with a slot: a phrase, a section, the tune; 0 is nothing."""

_COMMON = "common practice, no source"
_BOOK = "Open Music Theory (the phrase model, cadences), from memory"


@dataclass(frozen=True)
class Sung:
    """A melody note, or the part of it within a slot.

    pc: its pitch class; length: hundredths of a half bar; strength: 4 where it begins (or is held
    over) at the bar's beginning, 3 at the half bar, 2 on another beat, 1 between beats; leapt: the
    melody leaves it by more than a whole tone, or falls silent.
    """

    pc: int
    length: int
    strength: int
    leapt: bool = False

    def __post_init__(self) -> None:
        if not (0 <= self.pc < 12 and self.length >= 0 and 1 <= self.strength <= 4):
            raise ValueError(f"{self} is no melody note of a half bar")


@dataclass(frozen=True)
class Slot:
    """A place for one chord. key: in force there; sung: the melody above it; bar_starts: it stands
    at a bar's beginning; uneven: it stands within a bar that has no half, such as one of 3/4;
    opens: it is the first of all; close: what closes with it; at_home: what closes with it has a
    melody of the tonic chord's tones alone, so that nothing in it asks for another chord."""

    key: Key
    sung: tuple[Sung, ...] = ()
    bar_starts: bool = True
    uneven: bool = False
    opens: bool = False
    close: int = 0
    at_home: bool = False


@dataclass(frozen=True)
class ChordTerm:
    """amount(slot, chord)."""

    about: About
    amount: Callable[[Slot, Offer], int]


@dataclass(frozen=True)
class CloseTerm:
    """amount(slot, chord, part): part is what the chord before this one does (OTHER for none)."""

    about: About
    amount: Callable[[Slot, Offer, str], int]


@dataclass(frozen=True)
class StepTerm:
    """amount(slot, chord before, chord, fresh): fresh says that the chord before began in the slot
    just before this one, and not at the tune's beginning."""

    about: About
    amount: Callable[[Slot, Offer, Offer, bool], int]


def _foreign(slot: Slot, offer: Offer) -> list[Sung]:
    tones = offer.chord.pitch_classes
    return [note for note in slot.sung if note.pc not in tones]


def beat_foreign(slot: Slot, offer: Offer) -> int:
    """Length × strength of the notes on beats that are no chord tones; of a seventh that the chord
    is heard to have, half."""
    return sum(
        note.length * note.strength // (2 if note.pc == offer.understood else 1)
        for note in _foreign(slot, offer)
        if note.strength > 1
    )


def between_foreign(slot: Slot, offer: Offer) -> int:
    """Length of the notes between beats that are no chord tones."""
    return sum(n.length for n in _foreign(slot, offer) if n.strength == 1)


def leapt_foreign(slot: Slot, offer: Offer) -> int:
    """Length × strength of foreign notes that the melody does not leave by step, but for a seventh
    that the chord is heard to have."""
    return sum(
        note.length * note.strength
        for note in _foreign(slot, offer)
        if note.leapt and note.pc != offer.understood
    )


def cross_third(slot: Slot, offer: Offer) -> int:
    """Length × strength of notes that are the other third: C against A major's C sharp."""
    third = offer.chord.degrees.get("third")
    if third is None:
        return 0
    up = (third - pitch_class(offer.chord.root)) % 12
    other = (third + (1 if up == 3 else -1)) % 12
    return sum(n.length * n.strength for n in _foreign(slot, offer) if n.pc == other)


def unusual(slot: Slot, offer: Offer) -> int:
    """The chord's rank in its key: 0 for a primary chord."""
    del slot
    return offer.rank


def opening(slot: Slot, offer: Offer) -> int:
    """1 where the tune begins on another chord than the tonic's."""
    return int(slot.opens and offer.part != TONIC)


def tune_end(slot: Slot, offer: Offer, part: str) -> int:
    """1 where the tune ends on another chord than the tonic's."""
    del part
    return int(slot.close == END and offer.part != TONIC)


def section_end(slot: Slot, offer: Offer, part: str) -> int:
    """A section that ends on the tonic 0, on a dominant 1, on any other 2."""
    del part
    return {TONIC: 0, DOMINANT: 1}.get(offer.part, 2) if slot.close == SECTION else 0


def phrase_end(slot: Slot, offer: Offer, part: str) -> int:
    """A phrase that ends on the tonic or a dominant 0, on the plagal chord 1, on any other 2."""
    del part
    return {PLAGAL: 1, OTHER: 2}.get(offer.part, 0) if slot.close == PHRASE else 0


def approach(slot: Slot, offer: Offer, part: str) -> int:
    """A section or tune that ends on the tonic: reached from a dominant 0, from the plagal chord
    1, from any other or none 2; 0 where its melody never leaves the tonic's chord."""
    if slot.close < SECTION or slot.at_home or offer.part != TONIC:
        return 0
    return {DOMINANT: 0, PLAGAL: 1}.get(part, 2)


def change(slot: Slot, before: Offer, after: Offer, fresh: bool) -> int:
    """1 for a change of chord."""
    del slot, fresh
    return int(before.chord != after.chord)


def mid_bar(slot: Slot, before: Offer, after: Offer, fresh: bool) -> int:
    """A change within a bar: at its half 1, in a bar that has no half 2."""
    del fresh
    if before.chord == after.chord or slot.bar_starts:
        return 0
    return 2 if slot.uneven else 1


def held_over(slot: Slot, before: Offer, after: Offer, fresh: bool) -> int:
    """1 for a chord that begins within a bar and is held over the bar line."""
    return int(before.chord == after.chord and fresh and slot.bar_starts)


def backwards(slot: Slot, before: Offer, after: Offer, fresh: bool) -> int:
    """1 for the step back from the fifth to the fourth or second, in major and raised minor."""
    del slot, fresh
    return int(after.directed and before.part == DOMINANT and after.part == PLAGAL)


def unresolved(slot: Slot, before: Offer, after: Offer, fresh: bool) -> int:
    """1 for an applied chord that goes on elsewhere than a fourth up."""
    del slot, fresh
    up = (pitch_class(after.chord.root) - pitch_class(before.chord.root)) % 12
    return int(before.applied and before.chord != after.chord and up not in (0, 5))


def bare_dominant(slot: Slot, before: Offer, after: Offer, fresh: bool) -> int:
    """1 for a fifth that goes to the tonic without the seventh that was offered, or for a seventh
    that goes elsewhere."""
    del slot, fresh
    if before.chord == after.chord or before.part != DOMINANT:
        return 0
    home = after.part == TONIC
    return int(before.bare) if home else int(before.chord.quality == "7")


TERMS: tuple[ChordTerm | CloseTerm | StepTerm, ...] = (
    ChordTerm(
        About(
            "foreign-on-beat", "hundredth of a half bar × strength",
            "a melody note on a beat that is no tone of the chord; the first beat counts 4, the "
            "half bar 3, other beats 2", _COMMON, 3,
        ),
        beat_foreign,
    ),
    ChordTerm(
        About(
            "foreign-between", "hundredth of a half bar",
            "a melody note between beats that is no tone of the chord", _COMMON, 3,
        ),
        between_foreign,
    ),
    ChordTerm(
        About(
            "foreign-leapt", "hundredth of a half bar × strength",
            "more for a foreign note that the melody does not leave by step",
            "Open Music Theory (embellishing tones), from memory", 1,
        ),
        leapt_foreign,
    ),
    ChordTerm(
        About(
            "cross-third", "hundredth of a half bar × strength",
            "more for a note that is the other third of the chord", _COMMON, 2,
        ),
        cross_third,
    ),
    ChordTerm(
        About(
            "unusual", "slot × rank", "a chord that is not a primary one of the mode", _COMMON, 30
        ),
        unusual,
    ),
    ChordTerm(
        About("opening", "tune", "the first chord is not the tonic's", _COMMON, 200), opening
    ),
    CloseTerm(
        About("tune-end", "tune", "the last chord is not the tonic's", _BOOK, 2000), tune_end
    ),
    CloseTerm(
        About(
            "section-end", "step", "a section ends on a dominant (1) or on another chord (2)",
            _BOOK, 150,
        ),
        section_end,
    ),
    CloseTerm(
        About(
            "phrase-end", "step", "a phrase ends on the plagal chord (1) or another (2)", _BOOK, 60
        ),
        phrase_end,
    ),
    CloseTerm(
        About(
            "approach", "step", "a section's tonic is reached from the plagal chord (1) or "
            "another (2), not from a dominant, though its melody has other tones than the "
            "tonic chord's", _BOOK, 400,
        ),
        approach,
    ),
    StepTerm(About("change", "change", "a change of chord", _COMMON, 100), change),
    StepTerm(
        About(
            "mid-bar", "change", "more for a change at the half bar (1), or within a bar that has "
            "no half (2)", _COMMON, 120), mid_bar
    ),
    StepTerm(
        About(
            "held-over", "bar line", "a chord begun within a bar and held over the bar line",
            _COMMON, 250,
        ),
        held_over,
    ),
    StepTerm(
        About(
            "backwards", "change", "from the fifth back to the fourth or second, in major and in "
            "minor with a leading note", _BOOK, 120,
        ),
        backwards,
    ),
    StepTerm(
        About(
            "unresolved", "change", "an applied chord that goes elsewhere than a fourth up",
            _BOOK, 300,
        ),
        unresolved,
    ),
    StepTerm(
        About(
            "bare-dominant", "change", "the fifth goes home without its seventh, or a seventh "
            "goes elsewhere; where sevenths are offered", _BOOK, 40,
        ),
        bare_dominant,
    ),
)  # fmt: skip
"""Every term, in the order in which weights and bills list them."""
