"""What the names of a tab's rows say: which way up it is, and whether it is for these strings.

Players write the melody string's name small (``D A d``) where the bass string has the same note:
common practice, no source. ``bass`` and ``melody`` say it in words, octaves (``D3 A3 D4``) exactly.

Public: NAMES, NAMES_READ, plain, way_up, other_strings.
"""

import re
from collections.abc import Sequence

_STEPS = dict(zip("CDEFGAB", (0, 2, 4, 5, 7, 9, 11), strict=True))
NAMES = ("bass", "middle", "mid", "inner melody", "melody", "mel")
"""The words for strings that are read, the longer before what it begins with."""

NAMES_READ = (
    "rows are called bass, middle (mid) and melody (mel), or by their notes such as D A d, or they "
    "have no name"
)
"""The same for a player, as a sentence that goes on."""

_WHOLE = {"mid": "middle", "mel": "melody"}
_NAME = re.compile(r"([A-Ga-g])([#b]?)(\d?)")


def plain(name: str) -> str:
    """A row's name without the word string, shortened words in full."""
    bare = re.sub(r"\s+string$", "", name, flags=re.IGNORECASE)
    return _WHOLE.get(bare.casefold(), bare)


def way_up(names: Sequence[str], tuning: Sequence[str]) -> bool | None:
    """Whether the melody string is on top; None where the names do not say it.

    names: from the top, empty where a row has none; tuning: the open notes with their octaves,
    bass first.
    """
    names = [plain(name) for name in names]
    if len(names) < 2:
        return None
    if names == list(tuning):
        return False
    if names == list(reversed(tuning)):
        return True
    words = [name.casefold() for name in (names[0], names[-1])]
    if "bass" in words or "melody" in words:
        return words[0] == "melody" or words[1] == "bass"
    own, strings = _pitch_classes(names), _pitch_classes(tuning)
    if not own:
        return None
    as_read, turned = own == strings, own == list(reversed(strings))
    if as_read != turned:
        return turned
    small = names[0].islower(), names[-1].islower()
    return small[0] if small[0] != small[1] else None


def other_strings(names: Sequence[str], tuning: Sequence[str]) -> bool:
    """Whether every row is named after a note, and they are not those of the strings; a row by
    itself is the bass string's."""
    own, strings = _pitch_classes(names), _pitch_classes(tuning)
    if len(own) == 1:
        return own != strings[:1]
    return bool(own) and own not in (strings, list(reversed(strings)))


def _pitch_classes(names: Sequence[str]) -> list[int]:
    """0 to 11 each; empty where one is no note."""
    found = [_NAME.fullmatch(plain(name)) for name in names]
    return (
        [
            (_STEPS[one[1].upper()] + {"#": 1, "b": -1, "": 0}[one[2]]) % 12
            for one in found
            if one is not None
        ]
        if all(found)
        else []
    )
