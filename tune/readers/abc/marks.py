"""What ABC says of how a note is played: which signs are kept, and what the others are called.

Kept as ``Note.marks``: fingerings ``!1!`` to ``!5!`` (ABC 2.1 §4.14), which old files also write
as a quoted digit, ``"2"``; fermatas; and hammer-on and pull-off, for which ABC has no sign of its
own, so the names ``!hammer-on!`` and ``!pull-off!`` are read, and the letters H and P as an
annotation, ``"^H"`` (common practice on the dulcimer, no source).

Public: mark_of, mark_of_words, SHORTHANDS, is_decoration, ornament_name.
"""

from types import MappingProxyType

SHORTHANDS: MappingProxyType[str, str] = MappingProxyType(
    {
        ".": "staccato",
        "~": "roll",
        "H": "fermata",
        "L": "accent",
        "M": "lowermordent",
        "O": "coda",
        "P": "uppermordent",
        "S": "segno",
        "T": "trill",
        "u": "upbow",
        "v": "downbow",
    }
)
"""The letters that ABC 2.1 §4.16 gives a meaning; a ``U:`` field may give others."""

_KEPT = {
    "fermata": "fermata",
    "invertedfermata": "fermata",
    "hammer-on": "hammer-on",
    "hammeron": "hammer-on",
    "hammer": "hammer-on",
    "pull-off": "pull-off",
    "pulloff": "pull-off",
    "pull": "pull-off",
    "open": "open string",
    "0": "open string",
    **{str(number): f"finger {number}" for number in range(1, 6)},
}
_WORDS = {"H": "hammer-on", "P": "pull-off", **{str(n): f"finger {n}" for n in range(1, 6)}}

_NAMES = {
    "accent": "accent",
    "emphasis": "accent",
    ">": "accent",
    "lowermordent": "mordent",
    "uppermordent": "mordent",
    "mordent": "mordent",
    "pralltriller": "mordent",
    "upbow": "bowing mark",
    "downbow": "bowing mark",
    "wedge": "staccato mark",
    "staccato": "staccato mark",
    "segno": "jump sign (segno)",
    "coda": "jump sign (coda)",
    "dacoda": "jump sign (da coda)",
    "dacapo": "jump sign (da capo)",
    "D.C.": "jump sign (da capo)",
    "D.S.": "jump sign (dal segno)",
    "fine": "jump sign (fine)",
}
_DYNAMICS = {"pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "sfz", "sf", "fz"}
_HAIRPINS = {"<(", "<)", ">(", ">)"}
_OTHERS = {
    *("trill", "trill(", "trill)", "roll", "turn", "turnx", "invertedturn", "invertedturnx"),
    *("arpeggio", "tenuto", "plus", "snap", "slide", "thumb", "breath", "crescendo(", "crescendo)"),
    *("diminuendo(", "diminuendo)", "shortphrase", "mediumphrase", "longphrase"),
}


def mark_of(name: str) -> str | None:
    """The mark that the decoration ``name`` is kept as; None when it is not kept."""
    return _KEPT.get(name.strip().lower())


def mark_of_words(words: str) -> str | None:
    """The mark that an annotation of these words is kept as, such as ``H``; else None."""
    return _WORDS.get(words.strip())


def is_decoration(name: str) -> bool:
    """Whether ABC 2.1 §4.14, or this module, knows a decoration of that name."""
    return name in _KEPT or name in _NAMES or name in _OTHERS or name in _DYNAMICS | _HAIRPINS


def ornament_name(name: str) -> str:
    """What a player calls the decoration ``name`` of ABC."""
    plain = name.strip()
    lower = plain.lower()
    if plain in _DYNAMICS or plain in _HAIRPINS or lower.startswith(("cresc", "dim")):
        return "dynamic mark"
    return _NAMES.get(plain) or _NAMES.get(lower) or lower.rstrip("()") or plain
