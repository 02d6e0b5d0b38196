"""Words on a drawn page: how wide they are, where lines break, and the SVG that they become.

Lengths are mm. Widths of letters are those of Liberation Sans, which has the metrics of the common
sans-serif type of printers; the tests hold them against what the font library measures. A letter
that is not in the table counts as an em, so that nothing is ever taken for narrower than it is.

Public: width, wrapped, shortened, words, rule, POINT, SANS, MONO, number.
"""

import unicodedata
from types import MappingProxyType
from xml.sax.saxutils import escape

SANS, MONO = "Liberation Sans", "Liberation Mono"
POINT = 25.4 / 72
"""mm in a printer's point."""

_MONO_WIDTH = 0.6001
"""Every letter of the typewriter face, in ems."""


def _table(**groups: str) -> MappingProxyType[str, int]:
    return MappingProxyType(
        {letter: int(size[1:]) for size, letters in groups.items() for letter in letters}
    )


_PLAIN = _table(
    w191="'", w222="ijl’‘", w260="|", w278=" !,./:;I[\\]ft·", w333="()-`r“”", w334="{}", w355='"',
    w365="♩", w389="*", w469="^", w500="Jcksvxyz♪", w549="≤≥",
    w556="#$0123456789?L_abdeghnopqu–", w584="+<=>~×−", w611="FTZ", w667="&ABEKPSVXY",
    w722="CDHNRUw", w778="GOQ", w833="Mm", w834="½", w889="%", w944="W", w1000="—…", w1015="@",
)  # fmt: skip
_BOLD = _table(
    w238="'", w278=" ,./I\\ijl·’‘", w280="|", w333="!()-:;[]`ft", w365="♩", w389="*r{}", w474='"',
    w500="z♪“”", w549="≤≥", w556="#$0123456789J_aceksvxy–", w584="+<=>^~×−",
    w611="?FLTZbdghnopqu", w667="EPSVXY", w722="&ABCDHKNRU", w778="GOQw", w833="M", w834="½",
    w889="%m", w944="W", w975="@", w1000="—…",
)  # fmt: skip
"""Thousandths of an em."""


def width(text: str, size: float, bold: bool = False, mono: bool = False) -> float:
    """mm that the text takes at that size (mm)."""
    if mono:
        return len(text) * size * _MONO_WIDTH
    table = _BOLD if bold else _PLAIN
    return sum(table.get(c) or table.get(_bare(c), 1000) for c in text) * size / 1000


def _bare(letter: str) -> str:
    """The letter without its accents."""
    return unicodedata.normalize("NFD", letter)[0]


def wrapped(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """Lines no wider than the room; a word that is wider by itself is cut where it must be."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold) <= room:
            line = longer
            continue
        lines += [line] if line else []
        while width(word, size, bold) > room and len(word) > 1:
            fits = next(
                n
                for n in range(len(word) - 1, 0, -1)
                if n == 1 or width(word[:n], size, bold) <= room
            )
            lines.append(word[:fits])
            word = word[fits:]
        line = word
    return [*lines, line] if line else lines


def shortened(text: str, room: float, size: float, bold: bool = False) -> str:
    """The text, or as much of it as there is room for, and dots."""
    if width(text, size, bold) <= room:
        return text
    while text and width(f"{text}…", size, bold) > room:
        text = text[:-1].rstrip(" ,·")
    return f"{text}…"


def number(value: float) -> str:
    """A coordinate to a hundredth of a mm, the same on every machine."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def words(
    x: float,
    y: float,
    text: str,
    size: float,
    *,
    bold: bool = False,
    mono: bool = False,
    anchor: str = "start",
    fill: str = "#000",
) -> str:
    """One line of text; (x, y): its start, middle or end (``anchor``) on the base line."""
    seen = escape("".join(c if c.isprintable() else " " for c in text))
    weight = ' font-weight="bold"' if bold else ""
    where = f' text-anchor="{anchor}"' if anchor != "start" else ""
    colour = f' fill="{fill}"' if fill != "#000" else ""
    keep = ' xml:space="preserve"' if mono else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-family="{MONO if mono else SANS}" '
        f'font-size="{number(size)}"{weight}{where}{colour}{keep}>{seen}</text>'
    )


def rule(
    x1: float, y1: float, x2: float, y2: float, thick: float, *, dash: str = "", ink: str = "#000"
) -> str:
    """A straight line; dash: the SVG's own words for it."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
        f'stroke="{ink}" stroke-width="{number(thick)}"{dashed}/>'
    )
