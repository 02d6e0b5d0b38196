"""Words and columns that pages of text are made of.

Public: many, listed, capital, wrap, aligned.
"""

from collections.abc import Sequence
from functools import partial
from textwrap import wrap as wrap_anywhere

wrap = partial(wrap_anywhere, break_on_hyphens=False)
"""``textwrap.wrap``, which leaves tunings and shapes such as D-A-d and 3-1-0 whole."""


def many(number: int, what: str, more: str = "") -> str:
    """``1 string``, ``2 strings``; more: what several are called, where that is not an s more."""
    return f"{number} {what if number == 1 else more or f'{what}s'}"


def listed(names: Sequence[str]) -> str:
    """``song, solo and drone``; nothing of nothing."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if names[1:] else names)


def capital(text: str) -> str:
    """With a capital letter first, as a sentence begins; names within stay as they are."""
    return text[:1].upper() + text[1:]


def aligned(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """The rows as columns, the heads above them."""
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in (heads, *rows)
    ]
