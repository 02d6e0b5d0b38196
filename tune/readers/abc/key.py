"""ABC's ``K:`` field: tonic, mode, signature, and how far the sound lies from what is written.

(ABC 2.1 §3.1.14 and §4.6.) The notes are read by the signature that the field gives, explicit
accidentals included; ``Key`` has only tonic and mode, so where the two differ a remark says so.

Public: KeyField, Shift, read_key, read_shift, signature_of, natural_midi.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from tune.chord import LETTERS
from tune.errors import TuneError
from tune.key import MODES, Key

_SHARPS = "FCGDAEB"
_MODE_NAMES = {
    "maj": "major",
    "ion": "major",
    "m": "minor",
    "min": "minor",
    "aeo": "minor",
    "mix": "mixolydian",
    "dor": "dorian",
    "phr": "phrygian",
    "lyd": "lydian",
    "loc": "locrian",
}
_ALTERS = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
_TONIC = re.compile(r"([A-G])([#b♯♭]?)\s*([A-Za-z]*)")
_ACCIDENTAL = re.compile(r"(\^\^|\^|__|_|=)([A-Ga-g])")
_CLEF = re.compile(
    r"(?:(?:clef|cl)=)?\"?(?:treble|alto|tenor|bass|baritone|soprano|mezzosoprano|perc|none|[GFC])"
    r"[1-5]?([+-]8)?\"?"
)
_SETTING = re.compile(r"\b([a-z][A-Za-z:-]*)=(\"[^\"]*\"|\S*)")


@dataclass(frozen=True)
class Shift:
    """How far the notes sound from where they are written: octaves, and semitones of the whole."""

    octaves: int = 0
    semitones: int = 0


@dataclass(frozen=True)
class KeyField:
    """What a ``K:`` says: key, letter → alteration, and what is worth telling (a sentence part)."""

    key: Key
    signature: Mapping[str, int]
    remark: str = ""


def signature_of(key: Key) -> dict[str, int]:
    """Letter → +1 or −1, for the letters that the key's signature alters."""
    if key.fifths >= 0:
        return dict.fromkeys(_SHARPS[: key.fifths], 1)
    return dict.fromkeys(_SHARPS[key.fifths :], -1)


def _number(name: str, value: str, most: int) -> int:
    if not re.fullmatch(r"[+-]?[0-9]{1,3}", value) or abs(int(value)) > most:
        raise TuneError(f"{name}={value} cannot be read; write a number from -{most} to {most}")
    return int(value)


def read_shift(text: str) -> tuple[Shift | None, str]:
    """The shift that clef and settings in ``text`` ask for, and the text without them.

    None when neither a clef nor a setting of the shift is there, so that the old shift stays.
    """
    octaves = semitones = 0
    asked = False
    for name, value in _SETTING.findall(text):
        if name in ("octave", "oct"):
            octaves += _number(name, value, 4)
        elif name in ("transpose", "t"):
            semitones += _number(name, value, 24)
        asked = asked or name in ("octave", "oct", "transpose", "t", "clef", "cl")
    rest = []
    for word in text.split():
        clef = _CLEF.fullmatch(word)
        if clef and len(word) > 1:
            asked = True
            octaves += {"+8": 1, "-8": -1}.get(clef.group(1) or "", 0)
        elif not _SETTING.fullmatch(word):
            rest.append(word)
    return Shift(octaves, semitones) if asked else None, " ".join(rest)


def _fitting_key(tonic: str, mode: str, signature: dict[str, int]) -> Key | None:
    """The key on ``tonic`` that has just this signature, the named mode first."""
    for name in (mode, *MODES):
        try:
            key = Key(tonic, name)
        except TuneError:
            continue
        if signature_of(key) == signature:
            return key
    return None


def read_key(text: str) -> KeyField | None:
    """The ``K:`` field; None when it gives a clef or nothing at all and so leaves the key alone."""
    plain = read_shift(text)[1]
    if not plain and text.strip() and "none" not in text.lower().split():
        return None
    if plain in ("HP", "Hp"):
        pipes = Key("A", "mixolydian")
        remark = f"K:{plain} (bagpipe) is read as A mixolydian"
        return KeyField(pipes, MappingProxyType(signature_of(pipes)), remark)
    if plain.lower() in ("none", ""):
        remark = "no key is given; the notes are read as in C major"
        return KeyField(Key(), MappingProxyType({}), remark)
    match = _TONIC.match(plain)
    word = match.group(3).lower() if match else ""
    mode = _MODE_NAMES.get(word[:3], "") if word not in ("", "exp") else "major"
    if match is None or not mode:
        raise TuneError(f"the key K:{plain} cannot be read; write it like K:D, K:Em or K:Amix")
    tonic = match.group(1) + match.group(2).replace("♯", "#").replace("♭", "b")
    tail = plain[match.end() :].strip()
    explicit: dict[str, int] = {}
    for sign, letter in _ACCIDENTAL.findall(tail):
        explicit[letter.upper()] = _ALTERS[sign]
    if _ACCIDENTAL.sub("", tail).replace("exp", "").strip(" ,"):
        raise TuneError(f"the key K:{plain} ends in something unknown: {tail!r}; remove it")
    key = Key(tonic, mode)
    remark = f"K:{plain} is read as {key}" if match.group(3) == "M" else ""
    if "exp" not in (word, *tail.split()) and not explicit:
        return KeyField(key, MappingProxyType(signature_of(key)), remark)
    base = {} if "exp" in (word, *tail.split()) else signature_of(key)
    signature = {name: alter for name, alter in {**base, **explicit}.items() if alter}
    fitting = _fitting_key(tonic, mode, signature)
    if fitting is None:
        remark = f"the signature of K:{plain} is none of {tonic}'s modes; the key is called {key}"
    return KeyField(fitting or key, MappingProxyType(signature), remark)


def natural_midi(letter: str) -> int:
    """The MIDI number of an unaltered ABC letter: ``C`` is 60 (middle C), ``c`` 72."""
    return 60 + LETTERS[letter.upper()] + (12 if letter.islower() else 0)
