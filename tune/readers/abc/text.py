"""ABC's text strings: comments taken off, and special letters as real ones (ABC 2.1 §8.2).

``\\'e`` is é, ``\\"u`` ü, ``\\ss`` ß, ``&eacute;`` é, ``\\u00e9`` é; ``\\%`` is a percent sign and
no comment. ``\\-`` stays as it is, since it means something to lyrics.

Public: plain_text, without_comment.
"""

import html
import re
import unicodedata

_ACCENTS = {
    "`": "\u0300",
    "'": "\u0301",
    "^": "\u0302",
    "~": "\u0303",
    '"': "\u0308",
    "=": "\u0304",
    ";": "\u0328",
    ",": "\u0327",
    "v": "\u030c",
    "u": "\u0306",
    ".": "\u0307",
    "o": "\u030a",
}
_LIGATURES = {
    "aa": "å",
    "AA": "Å",
    "/o": "ø",
    "/O": "Ø",
    "ae": "æ",
    "AE": "Æ",
    "oe": "œ",
    "OE": "Œ",
    "ss": "ß",
    "cc": "ç",
    "cC": "Ç",
    "DH": "Ð",
    "dh": "ð",
    "TH": "Þ",
    "th": "þ",
}
_ESCAPE = re.compile(r"\\(u[0-9A-Fa-f]{4}|[A-Za-z/]{2}|[`'^~\"=;,.][A-Za-z]|[%&\\])")
_COMMENT = re.compile(r"(?<!\\)%.*")


def without_comment(line: str) -> str:
    """The line up to its comment; columns stay what they were."""
    return _COMMENT.sub("", line, count=1).rstrip()


def _letter(match: re.Match[str]) -> str:
    code = match.group(1)
    if code[0] == "u" and len(code) == 5:
        value = int(code[1:], 16)
        return match.group() if 0xD800 <= value <= 0xDFFF else chr(value)
    if code in _LIGATURES:
        return _LIGATURES[code]
    if len(code) == 1:
        return code
    accent = _ACCENTS.get(code[0])
    if accent is None:
        return match.group()
    return unicodedata.normalize("NFC", code[1] + accent)


def plain_text(text: str) -> str:
    """``text`` with its special letters written out and blanks at the ends taken off."""
    return html.unescape(_ESCAPE.sub(_letter, text)).strip()
