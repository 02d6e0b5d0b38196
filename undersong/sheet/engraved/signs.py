"""Words with real sharp and flat signs, and the small signs of our own.

The fonts of a page have no ♯ and no ♭. They are drawn, as shapes of our own; the letter itself is
kept under them in the paper's white, so that what is copied from the page or searched for has it.

Public: signed, signed_width, symbol, symbol_width, note_sign.
"""

from tune.chord import Chord
from undersong.sheet.lettering import number, width, words

NO_CHORD = "N.C."
_SIGN_WIDTH = 0.5
"""Ems that a sharp or a flat takes."""


def symbol(chord: Chord | None) -> str:
    return NO_CHORD if chord is None else chord.pretty


def symbol_width(chord: Chord | None, size: float) -> float:
    return signed_width(symbol(chord), size, bold=True)


def signed_width(text: str, size: float, bold: bool = False) -> float:
    """mm that the text takes, its signs as they are drawn."""
    return sum(
        _SIGN_WIDTH * size if piece in ("♯", "♭") else width(piece, size, bold)
        for piece in _pieces(text)
    )


def _pieces(text: str) -> list[str]:
    """Signs by themselves, and what stands between."""
    pieces = [""]
    for letter in text:
        if letter in "♯♭":
            pieces += [letter, ""]
        else:
            pieces[-1] += letter
    return [piece for piece in pieces if piece]


def signed(
    x: float,
    y: float,
    text: str,
    size: float,
    *,
    bold: bool = False,
    fill: str = "#000",
    anchor: str = "start",
    kind: str = "",
) -> str:
    """One line of text; (x, y): its start, middle or end (``anchor``) on the base line; kind: the
    name that the whole of it goes by in the file."""
    wide = signed_width(text, size, bold)
    x -= {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    drawn = []
    left = x
    for piece in _pieces(text):
        if piece in ("♯", "♭"):
            drawn.append(words(left + 0.07 * size, y, piece, size, fill="#fff"))
            drawn.append((_sharp if piece == "♯" else _flat)(left, y, size, fill))
            left += _SIGN_WIDTH * size
        else:
            bare = piece.lstrip(" ")  # a drawing leaves out blanks at the beginning of a text
            blank = width(piece[: len(piece) - len(bare)], size, bold)
            drawn.append(words(left + blank, y, bare, size, bold=bold, fill=fill))
            left += width(piece, size, bold)
    name = f' class="{kind}"' if kind else ""
    return f"<g{name}>{''.join(drawn)}</g>"


def _sharp(x: float, y: float, size: float, ink: str) -> str:
    """Two uprights, two rising bars."""
    s = size
    thin, thick = number(0.055 * s), number(0.095 * s)
    top = y - 0.78 * s
    return (
        f'<path d="M{number(x + 0.16 * s)} {number(top + 0.06 * s)}V{number(y + 0.03 * s)}'
        f"M{number(x + 0.32 * s)} {number(top)}V{number(y - 0.03 * s)}"
        f'" stroke="{ink}" stroke-width="{thin}" fill="none"/>'
        f'<path d="M{number(x + 0.06 * s)} {number(y - 0.45 * s)}L{number(x + 0.42 * s)} '
        f"{number(y - 0.55 * s)}M{number(x + 0.06 * s)} {number(y - 0.2 * s)}"
        f'L{number(x + 0.42 * s)} {number(y - 0.3 * s)}" stroke="{ink}" stroke-width="{thick}" '
        'fill="none"/>'
    )


def _flat(x: float, y: float, size: float, ink: str) -> str:
    """An upright with a bow."""
    s = size
    left = x + 0.1 * s
    return (
        f'<path d="M{number(left)} {number(y - 0.82 * s)}V{number(y)}'
        f"C{number(left + 0.16 * s)} {number(y - 0.1 * s)} {number(left + 0.3 * s)} "
        f"{number(y - 0.2 * s)} {number(left + 0.3 * s)} {number(y - 0.34 * s)}"
        f"C{number(left + 0.3 * s)} {number(y - 0.47 * s)} {number(left + 0.12 * s)} "
        f'{number(y - 0.47 * s)} {number(left)} {number(y - 0.32 * s)}" fill="none" '
        f'stroke="{ink}" stroke-width="{number(0.075 * s)}"/>'
    )


def note_sign(x: float, y: float, size: float, base: int, dots: int, ink: str) -> tuple[str, float]:
    """A note of that value, its head on the base line, and the mm that it takes."""
    s = size
    head = x + 0.22 * s
    drawn = (
        f'<ellipse cx="{number(head)}" cy="{number(y - 0.16 * s)}" rx="{number(0.2 * s)}" '
        f'ry="{number(0.145 * s)}" transform="rotate(-20 {number(head)} {number(y - 0.16 * s)})" '
        f'fill="{ink if base > 2 else "none"}" stroke="{ink}" stroke-width="{number(0.06 * s)}"/>'
    )
    wide = 0.46 * s
    if base > 1:
        drawn += (
            f'<path d="M{number(head + 0.2 * s)} {number(y - 0.2 * s)}V{number(y - 0.95 * s)}" '
            f'stroke="{ink}" stroke-width="{number(0.06 * s)}" fill="none"/>'
        )
    if base > 4:
        drawn += (
            f'<path d="M{number(head + 0.2 * s)} {number(y - 0.95 * s)}q{number(0.02 * s)} '
            f"{number(0.2 * s)} {number(0.24 * s)} {number(0.42 * s)}"
            f'" stroke="{ink}" stroke-width="{number(0.07 * s)}" fill="none"/>'
        )
        wide += 0.22 * s
    for dot in range(dots):
        at = head + (0.38 + 0.16 * dot) * s
        drawn += (
            f'<circle cx="{number(at)}" cy="{number(y - 0.14 * s)}" r="{number(0.06 * s)}" '
            f'fill="{ink}"/>'
        )
        wide = max(wide, at + 0.06 * s - x)
    return drawn, wide
