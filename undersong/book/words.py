"""Titles and other words as a book shows and sorts them.

A reader looks for "The Vicar's Piano" under V, takes É for E and ignores marks, and expects the
10th reel behind the 2nd. Words are compared one by one, so that "Long Way" comes before "Longing"
(common practice of indexes, no source).

Public: shown, sort_key, turned, initial, key_words, key_order, tuning_words, natural.
"""

import re
import unicodedata

from undersong.sheet.text_signs import plain

Key = tuple[tuple[int, int, str], ...]
"""Numbers come before words."""

_ARTICLES = ("the", "an", "a")
_LETTERS = str.maketrans(
    {"æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
)
"""Letters that are no other letter with a mark."""

_PIECE = re.compile(r"\d+|[^\W\d_]+")
_MODES = ("major", "minor")
_NOT_AFTER_AN_ARTICLE = ("major", "minor", "flat", "sharp")
"""In "A minor waltz" the A is a note."""


def shown(text: str) -> str:
    """On one line, each letter with its marks as one sign."""
    return unicodedata.normalize("NFC", plain(text, unicode=True))


def natural(text: str) -> Key:
    """Letters without case and marks, runs of digits as numbers, all else only parts words."""
    bare = unicodedata.normalize("NFKD", text).casefold().translate(_LETTERS)
    bare = "".join(c for c in bare if not unicodedata.combining(c) and c not in "'’‘`")
    pieces = _PIECE.findall(bare)
    return tuple((0, int(p), "") if p.isdecimal() else (1, 0, p) for p in pieces)


def sort_key(title: str) -> tuple[Key, Key, str]:
    """By what a reader looks for first; then by the article; then letter by letter, so that there
    is one order only."""
    _, rest = _parted(shown(title))
    return natural(rest), natural(title), title


def turned(title: str) -> str:
    """``Vicar's Piano, The``: the word that it is looked for by comes first."""
    article, rest = _parted(shown(title))
    return f"{rest[:1].upper()}{rest[1:]}, {article}" if article else rest


def initial(title: str) -> str:
    """The letter that the title stands under, ``0–9`` for digits, ``…`` for what has neither."""
    first = next(iter(sort_key(title)[0]), None)
    if first is None:
        return "…"
    return "0–9" if first[0] == 0 else first[2][0].upper()


def _parted(title: str) -> tuple[str, str]:
    """Its article, and the rest; no article where nothing else is left to look for."""
    first, _, rest = title.partition(" ")
    left = natural(rest)
    note = bool(left) and left[0][2] in _NOT_AFTER_AN_ARTICLE
    if first.casefold() in _ARTICLES and left and not note:
        return first, rest
    return "", title


def key_words(key: str) -> str:
    """With real sharps and flats."""
    tonic, blank, mode = key.partition(" ")
    return f"{tonic[:1]}{tonic[1:].replace('#', '♯').replace('b', '♭')}{blank}{mode}"


def key_order(key: str) -> tuple[str, int, int, str]:
    """Keys by their letter, flat before natural before sharp, major before minor before modes."""
    tonic, _, mode = key.replace("♯", "#").replace("♭", "b").partition(" ")
    shift = tonic[1:].count("#") - tonic[1:].count("b")
    rank = _MODES.index(mode) if mode in _MODES else len(_MODES)
    return tonic[:1].upper(), shift, rank, mode


def tuning_words(tuning: str, capo: str) -> str:
    """``D3-A3-D4, capo at 1``; strings bass to melody."""
    strings = "-".join(key_words(name) for name in tuning.split())
    return f"{strings}, capo at {capo}" if capo not in ("", "0") else strings
