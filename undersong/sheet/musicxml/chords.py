"""A chord symbol as a ``<harmony>``: a kind with degrees, the printed text beside it.

Public: harmony.
"""

from types import MappingProxyType
from xml.etree.ElementTree import Element

from tune.chord import Chord
from undersong.sheet.musicxml.elements import add

_KINDS: MappingProxyType[str, tuple[str, int]] = MappingProxyType(
    {
        "": ("major", 0),
        "m": ("minor", 0),
        "5": ("power", 0),
        "6": ("major-sixth", 0),
        "m6": ("minor-sixth", 0),
        "7": ("dominant", 0),
        "maj7": ("major-seventh", 0),
        "m7": ("minor-seventh", 0),
        "m7b5": ("half-diminished", 0),
        "dim": ("diminished", 0),
        "dim7": ("diminished-seventh", 0),
        "aug": ("augmented", 0),
        "sus2": ("suspended-second", 0),
        "sus4": ("suspended-fourth", 0),
        "7sus4": ("suspended-fourth", 7),
        "add9": ("major", 9),
        "9": ("dominant-ninth", 0),
    }
)
"""Quality → the standard's kind, and a degree added to it (0 for none)."""


def harmony(measure: Element, chord: Chord | None, offset: int) -> None:
    """Adds the chord; None for N.C.; offset: divisions after where the measure has come to."""
    element = add(measure, "harmony")
    if chord is None:
        add(add(element, "root"), "root-step", "C", text="")
        add(element, "kind", "none", text="N.C.")
    else:
        _named(add(element, "root"), "root", chord.root)
        kind, added = _KINDS[chord.quality]
        add(element, "kind", kind, text=chord.quality)
        if chord.bass:
            _named(add(element, "bass"), "bass", chord.bass)
        if added:
            degree = add(element, "degree", print_object="no")
            add(degree, "degree-value", added)
            add(degree, "degree-alter", 0)
            add(degree, "degree-type", "add")
    if offset:
        add(element, "offset", offset)


def _named(element: Element, which: str, name: str) -> None:
    add(element, f"{which}-step", name[0])
    alter = name.count("#") - name.count("b")
    if alter:
        add(element, f"{which}-alter", alter)
