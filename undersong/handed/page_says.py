"""What the head of a page of ours says of the way of playing and of the strings, where others were
asked for.

Public: says_otherwise.
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from solver.manners import MANNERS
from solver.righthand import right_hands
from solver.style import TEXTURES, Style
from undersong.handed.rows import cleaned

_NAMED = re.compile(r"^(Texture|Bass|Right hand) {2,}([a-z]+(?:-[a-z]+)*)(?=:|\s*$)", re.MULTILINE)

_STRINGS = re.compile(r"^Tuning {2,}(\S+) .*(?:\n.*)?", re.MULTILINE)
"""How they are tuned, and in the same line, or where that is narrow the next, where a capo sits."""

_CAPO = re.compile(r"\bcapo at (\d+\+?)")

_OPTIONS: Mapping[str, str] = MappingProxyType(
    {"Texture": "--texture", "Bass": "--bass", "Right hand": "--right-hand"}
)
"""What stands at the left of the head → the option that asks for it."""


def says_otherwise(text: str, style: Style, instrument: Instrument) -> tuple[str, ...]:
    """A sentence where the page names a texture, bass manner or right hand of ours, a tuning or a
    capo that was not asked for; none where it has no such head."""
    known = {
        "Texture": set(TEXTURES),
        "Bass": set(MANNERS),
        "Right hand": {hand.name for hand in right_hands()},
    }
    asked = {
        "Texture": style.texture,
        "Bass": style.manner,
        "Right hand": style.right_hand.name,
    }
    plain = "\n".join(line.lstrip() for line in cleaned(text))
    told = {name: said for name, said in _NAMED.findall(plain) if said in known[name]}
    options = [
        f"{_OPTIONS[name]} {said}"
        for name, said in told.items()
        if said != asked[name] and (name == "Texture" or style.texture != "drone")
    ]
    options += _strung_otherwise(plain, instrument)
    if not options:
        return ()
    return (f"the page says that it was made with {' '.join(options)}; write that to have it so",)


def _strung_otherwise(plain: str, instrument: Instrument) -> list[str]:
    """The options for the tuning and the capo that the head names, where those are others."""
    head = _STRINGS.search(plain)
    if head is None or "capo" not in head.group():
        return []
    options = []
    tuning, capo = head.group(1), _CAPO.search(head.group())
    if tuning != "-".join(map(pitch_name, instrument.tuning)):
        options.append(f"--tuning {tuning}")
    there = capo.group(1) if capo else "0"
    if there != fret_label(instrument.capo):
        options.append(f"--capo {there}")
    return options
