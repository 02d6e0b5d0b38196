"""MusicXML's ``<harmony>`` as a chord of ours, or a refusal that says which chord it was.

A kind with its degrees (added, altered, taken away) is worked out as a set of tones and then
compared with the tones of our qualities, so that ``dominant`` with 4 for 3 and a kind written
``7sus4`` come to the same. Kinds that have no word in the standard (``other``) are read by the
text that they print. Source of kinds and degrees: the MusicXML 4.0 specification, "kind-value"
and "degree".

Public: read_harmony, is_no_chord, CHORD_KINDS.
"""

from types import MappingProxyType
from xml.etree.ElementTree import Element

from tune.chord import LETTERS, QUALITIES, SPELLINGS, Chord, pitch_class
from tune.errors import TuneError
from tune.key import Key, transposed_name
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.tree import shown, text, whole

_MAJOR = {1: 0, 3: 4, 5: 7}
_MINOR = {1: 0, 3: 3, 5: 7}
_AUGMENTED = {1: 0, 3: 4, 5: 8}
_DIMINISHED = {1: 0, 3: 3, 5: 6}
_DOMINANT = _MAJOR | {7: 10}

CHORD_KINDS: MappingProxyType[str, dict[int, int]] = MappingProxyType(
    {
        "major": _MAJOR,
        "minor": _MINOR,
        "augmented": _AUGMENTED,
        "diminished": _DIMINISHED,
        "dominant": _DOMINANT,
        "major-seventh": _MAJOR | {7: 11},
        "minor-seventh": _MINOR | {7: 10},
        "diminished-seventh": _DIMINISHED | {7: 9},
        "augmented-seventh": _AUGMENTED | {7: 10},
        "half-diminished": _DIMINISHED | {7: 10},
        "major-minor": _MINOR | {7: 11},
        "major-sixth": _MAJOR | {6: 9},
        "minor-sixth": _MINOR | {6: 9},
        "dominant-ninth": _DOMINANT | {9: 14},
        "major-ninth": _MAJOR | {7: 11, 9: 14},
        "minor-ninth": _MINOR | {7: 10, 9: 14},
        "dominant-11th": _DOMINANT | {9: 14, 11: 17},
        "major-11th": _MAJOR | {7: 11, 9: 14, 11: 17},
        "minor-11th": _MINOR | {7: 10, 9: 14, 11: 17},
        "dominant-13th": _DOMINANT | {9: 14, 11: 17, 13: 21},
        "major-13th": _MAJOR | {7: 11, 9: 14, 11: 17, 13: 21},
        "minor-13th": _MINOR | {7: 10, 9: 14, 11: 17, 13: 21},
        "suspended-second": {1: 0, 2: 2, 5: 7},
        "suspended-fourth": {1: 0, 4: 5, 5: 7},
        "power": {1: 0, 5: 7},
    }
)
"""The standard's kinds that name their tones: degree → semitones above the root."""

_SCALE = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 14, 11: 17, 13: 21}
"""What an added degree is before its alter: major or perfect, the seventh minor."""

_QUALITY_OF = {
    frozenset(up % 12 for _, up in tones): quality for quality, tones in QUALITIES.items()
}
_STEPS = {
    "root": 0, "second": 1, "third": 2, "fourth": 3, "fifth": 4, "sixth": 5, "seventh": 6,
    "ninth": 1,
}  # fmt: skip
"""Letters that each degree lies above the root's letter."""


def read_harmony(harmony: Element, key: Key, notices: Notices, bar: int) -> Chord | None:
    """The chord, or None for N.C.; TuneError with the chord's own words when it is not ours.

    ``key`` spells a root of two sharps or flats; where the printed text says another chord than
    the kind, the kind is taken and the user told.
    """
    kinds = harmony.findall("kind")
    if len(kinds) > 1:
        raise TuneError("a chord stands on top of another; write one chord for each beat")
    kind = kinds[0] if kinds else None
    if text(kind) == "none":
        return None
    root = _note_name(harmony, "root", key)
    if root is None:
        raise TuneError("a chord is named by its function or number alone; give it a root, A to G")
    quality = _quality(harmony, kind, root)
    printed = kind.get("text", "") if kind is not None else ""
    if harmony.find("degree") is None and SPELLINGS.get(printed or "?", quality) != quality:
        said = shown(printed)
        notices.add(f"a chord printed {root}{said} sounds {root}{quality}; read as it sounds", bar)
    bass = _note_name(harmony, "bass", key)
    chord = Chord(root, quality, bass if bass != root else None)
    turned = text(harmony.find("inversion"))
    if bass is None and turned:
        return Chord(root, quality, _inverted(chord, whole(turned, "a chord's inversion"), key))
    return chord


def _quality(harmony: Element, kind: Element | None, root: str) -> str:
    """The quality that kind and degrees come to, or that the printed text names."""
    name = text(kind)
    printed = shown(kind.get("text", "")) if kind is not None else ""
    degrees = [
        (text(d.find("degree-type")), text(d.find("degree-value")), text(d.find("degree-alter")))
        for d in harmony.findall("degree")
    ]
    tones = CHORD_KINDS.get(name)
    if tones is not None:
        quality = _QUALITY_OF.get(_with_degrees(tones, degrees))
        if quality is not None:
            return quality
    elif printed and printed in SPELLINGS and not degrees:
        return SPELLINGS[printed]
    elif name in SPELLINGS and name and not degrees:
        return SPELLINGS[name]
    parts = [name or "no kind", f"printed {printed!r}" if printed else ""]
    parts += [" ".join(part for part in degree if part) for degree in degrees]
    raise TuneError(
        f"the chord on {root} ({', '.join(part for part in parts if part)}) is none that this "
        f"program knows; after the root write nothing for major, or one of "
        f"{', '.join(quality for quality in QUALITIES if quality)}"
    )


def _with_degrees(tones: dict[int, int], degrees: list[tuple[str, str, str]]) -> frozenset[int]:
    """Pitch classes above the root once every degree has been added, altered or taken away."""
    sounding = dict(tones)
    for manner, value, alter in degrees:
        degree = whole(value, "a chord's degree")
        up = whole(alter or "0", "a chord's altered degree")
        if degree not in _SCALE:
            raise TuneError(f"a chord has no degree {degree}; write 1 to 7, 9, 11 or 13")
        if manner == "add":
            sounding[degree] = _SCALE[degree] + up
        elif manner == "alter":
            sounding[degree] = sounding.get(degree, _SCALE[degree]) + up
        elif manner == "subtract":
            sounding.pop(degree, None)
        else:
            raise TuneError(
                f"a chord's degree is added, altered or subtracted, not {shown(manner)!r}"
            )
    return frozenset(up % 12 for up in sounding.values())


def _note_name(harmony: Element, which: str, key: Key) -> str | None:
    """The root or the bass, with one sign at most: B double flat is A."""
    element = harmony.find(which)
    if element is None:
        return None
    step = text(element.find(f"{which}-step"))
    if step not in LETTERS:
        raise TuneError(f"a chord's {which} is a letter A to G, not {shown(step)!r}")
    alter = whole(text(element.find(f"{which}-alter")) or "0", f"a chord's {which} sign")
    if abs(alter) > 2:
        raise TuneError(f"a chord's {which} takes two sharps or flats at most")
    name = step + ("#" * alter if alter > 0 else "b" * -alter)
    return transposed_name(name, key, key) if abs(alter) == 2 else name


def _inverted(chord: Chord, turn: int, key: Key) -> str | None:
    """The note in the bass of the chord's first, second or third inversion."""
    names = list(chord.degrees)
    if not 0 <= turn < len(names):
        raise TuneError(f"the chord {chord} has no inversion {turn}")
    if turn == 0:
        return None
    letter = "CDEFGAB"[("CDEFGAB".index(chord.root[0]) + _STEPS[names[turn]]) % 7]
    sign = (chord.degrees[names[turn]] - pitch_class(letter) + 6) % 12 - 6
    name = letter + ("#" * sign if sign > 0 else "b" * -sign)
    return transposed_name(name, key, key) if abs(sign) > 1 else name


def is_no_chord(words: str) -> bool:
    """Whether printed words say N.C., as some files write it in place of a chord."""
    return words.replace(" ", "").upper().rstrip(".") in ("N.C", "NC")
