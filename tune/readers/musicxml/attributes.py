"""Key, metre and transposition out of a MusicXML ``<attributes>`` element.

Public: read_key, read_metre, read_transposition.
"""

from fractions import Fraction
from xml.etree.ElementTree import Element

from tune.errors import TuneError
from tune.key import MODES, Key
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.tree import shown, text, whole
from tune.time import Metre

_MODES = {**{mode: mode for mode in MODES}, "ionian": "major", "aeolian": "minor"}


def read_key(attributes: Element, notices: Notices, bar: int) -> Key | None:
    """The key signature of the first staff; None where there is none."""
    key = _of_first_staff(attributes, "key")
    if key is None:
        return None
    if key.find("fifths") is None:
        notices.add("a key signature of free signs ignored; taken as C major", bar)
        return Key()
    fifths = whole(text(key.find("fifths")), "a key's number of sharps or flats")
    if not -7 <= fifths <= 7:
        raise TuneError(f"a key has at most seven sharps or flats, not {abs(fifths)}")
    named = text(key.find("mode")).lower()
    mode = _MODES.get(named, "major")
    for tonic in (letter + sign for sign in ("", "#", "b") for letter in "CDEFGAB"):
        found = _key(tonic, mode)
        if found is not None and found.fifths == fifths:
            if named not in _MODES:
                said = f"the mode {shown(named)!r} is unknown" if named else "no mode is given"
                notices.add(f"{said} with the key signature; taken as {found}", bar)
            return found
    raise TuneError(f"no {mode} key has the signature {fifths}")


def _key(tonic: str, mode: str) -> Key | None:
    """The key, or None where it would need more than seven signs."""
    try:
        return Key(tonic, mode)
    except TuneError:
        return None


def read_metre(attributes: Element) -> Metre | None:
    """The time signature of the first staff; 3+2 over 8 is 5/8."""
    time = _of_first_staff(attributes, "time")
    if time is None:
        return None
    if time.find("senza-misura") is not None:
        raise TuneError("the music has no metre here; give it a time signature")
    beats, units = time.findall("beats"), time.findall("beat-type")
    if not beats or len(beats) != len(units):
        raise TuneError("a time signature needs beats and a beat type")
    lengths: list[tuple[int, int]] = []
    for count, unit in zip(beats, units, strict=True):
        kind = whole(text(unit), "a time signature's beat type")
        if kind < 1:
            raise TuneError("a time signature's beat type must be 1, 2, 4, 8, 16 or 32")
        total = sum(whole(part, "a time signature's beats") for part in text(count).split("+"))
        lengths.append((total, kind))
    kind = max(unit for _, unit in lengths)
    whole_bar = sum((Fraction(count * kind, unit) for count, unit in lengths), Fraction(0))
    if whole_bar.denominator != 1:
        raise TuneError("the time signature's parts do not add up to whole beats")
    return Metre(whole_bar.numerator, kind)


def read_transposition(attributes: Element) -> tuple[int, int] | None:
    """(semitones within an octave, whole octaves) from written to sounding pitch."""
    moved = _of_first_staff(attributes, "transpose")
    if moved is None:
        return None
    chromatic = whole(text(moved.find("chromatic")) or "0", "a transposition")
    octaves = whole(text(moved.find("octave-change")) or "0", "a transposition's octaves")
    if abs(chromatic) > 48 or abs(octaves) > 4:
        raise TuneError("the part is transposed by more than four octaves")
    whole_octaves = int(chromatic / 12)
    return chromatic - 12 * whole_octaves, octaves + whole_octaves


def _of_first_staff(attributes: Element, tag: str) -> Element | None:
    return next((e for e in attributes.findall(tag) if e.get("number", "1") == "1"), None)
