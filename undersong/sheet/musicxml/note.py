"""One ``<note>`` in the standard's order: pitch, length, ties, voice, value, signs, beams.

Public: Pitched, pitched, put_pitch, Accidentals, note, notations, BeamLevels, beam_levels, TYPES.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from xml.etree.ElementTree import Element

from tune.chord import LETTERS, pitch_class
from tune.key import Key, note_name
from undersong.sheet.musicxml.elements import add
from undersong.sheet.musicxml.frame import Frame
from undersong.sheet.rhythm import Stem

TYPES: MappingProxyType[int, str] = MappingProxyType(
    {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th", 32: "32nd", 64: "64th",
     128: "128th"}
)  # fmt: skip
"""Base of a value → its word in the standard."""

_SIGNS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}

BeamLevels = tuple[tuple[int, str], ...]
"""(level, what it does there), such as (1, "begin")."""


@dataclass(frozen=True)
class Pitched:
    """A pitch as it is spelled: letter, sign (1 is a sharp), octave (4 begins at middle C)."""

    step: str
    alter: int
    octave: int


def pitched(midi: int, name: str, key: Key) -> Pitched:
    """The spelling of a sounding pitch; name: as the tune spells it; the key's own where that is
    empty or another note."""
    if not name or pitch_class(name) != midi % 12:
        name = note_name(midi % 12, key)
    alter = name.count("#") - name.count("b")
    return Pitched(name[0], alter, (midi - LETTERS[name[0]] - alter) // 12 - 1)


@dataclass
class Accidentals:
    """Which signs one bar needs: what the signature and the notes before have said."""

    key: Key
    said: dict[tuple[str, int], int] = field(default_factory=dict)

    def sign(self, pitch: Pitched) -> str | None:
        """The sign to print, None where none is needed; remembers it."""
        place = (pitch.step, pitch.octave)
        known = self.said.get(place, _signed(self.key, pitch.step))
        self.said[place] = pitch.alter
        return None if known == pitch.alter else _SIGNS[pitch.alter]


def _signed(key: Key, step: str) -> int:
    """What the signature says of a letter."""
    sharps = "FCGDAEB"
    if key.fifths > 0:
        return 1 if step in sharps[: key.fifths] else 0
    return -1 if step in sharps[::-1][: -key.fifths] else 0


def note(
    measure: Element,
    frame: Frame,
    stem: Stem,
    pitch: Pitched | None,
    *,
    with_last: bool = False,
    tied_from: bool = False,
    tied_on: bool = False,
    sign: str | None = None,
    beams: BeamLevels = (),
    hidden: bool = False,
) -> Element:
    """Adds a note or a rest; what follows in it (notations, words) is added by the caller."""
    element = add(measure, "note")
    if hidden:
        element.set("print-object", "no")
    if with_last:
        add(element, "chord")
    whole_bar = pitch is None and stem.base == 1 and stem.length == frame.bar.length
    if pitch is None:
        add(element, "rest", **({"measure": "yes"} if whole_bar else {}))
    else:
        put_pitch(element, pitch)
    add(element, "duration", frame.length(stem.length))
    for kind, there in (("stop", tied_from), ("start", tied_on)):
        if there:
            add(element, "tie", type=kind)
    add(element, "voice", 1)
    if not whole_bar:
        add(element, "type", TYPES[stem.base])
        for _ in range(stem.dots):
            add(element, "dot")
    if sign is not None:
        add(element, "accidental", sign)
    if stem.tuplet is not None:
        change = add(element, "time-modification")
        add(change, "actual-notes", stem.tuplet[0])
        add(change, "normal-notes", stem.tuplet[1])
    for level, does in () if with_last else beams:
        add(element, "beam", does, number=str(level))
    return element


def put_pitch(element: Element, pitch: Pitched) -> None:
    """Adds the pitch, which sounds as written."""
    inner = add(element, "pitch")
    add(inner, "step", pitch.step)
    if pitch.alter:
        add(inner, "alter", pitch.alter)
    add(inner, "octave", pitch.octave)


def notations(element: Element, stem: Stem, tied_from: bool, tied_on: bool) -> Element:
    """The note's notations, with its ties and the ends of its tuplet; the caller takes them away
    where they stay empty."""
    inner = add(element, "notations")
    for kind, there in (("stop", tied_from), ("start", tied_on)):
        if there:
            add(inner, "tied", type=kind)
    for kind, there in (("start", stem.tuplet_starts), ("stop", stem.tuplet_ends)):
        if there:
            add(inner, "tuplet", type=kind, number="1")
    return inner


def beam_levels(stems: Sequence[Stem]) -> tuple[BeamLevels, ...]:
    """What every beam does at every stem."""
    levels = [_flags(stem) for stem in stems]
    return tuple(
        tuple((level, _does(level, index, stems, levels)) for level in range(1, levels[index] + 1))
        for index in range(len(stems))
    )


def _flags(stem: Stem) -> int:
    """How many beams a stem has."""
    return stem.base.bit_length() - 3 if stem.beam is not None else 0


def _does(level: int, index: int, stems: Sequence[Stem], levels: Sequence[int]) -> str:
    def reaches(other: int) -> bool:
        inside = 0 <= other < len(stems) and stems[other].beam == stems[index].beam
        return inside and levels[other] >= level

    before, after = reaches(index - 1), reaches(index + 1)
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    first = index == 0 or stems[index - 1].beam != stems[index].beam
    return "forward hook" if first else "backward hook"
