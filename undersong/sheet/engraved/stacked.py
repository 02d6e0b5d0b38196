"""Several drawn pages as one drawing, one below the other.

Public: stacked.
"""

import re
from collections.abc import Sequence

_SIZE = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"')
_APART = 6.0
"""mm between two pages."""


def stacked(pages: Sequence[str]) -> str:
    """One SVG; a single page as it is."""
    if len(pages) == 1:
        return pages[0]
    sizes = [tuple(float(n) for n in _found(page)) for page in pages]
    wide = max(width for width, _ in sizes)
    high = sum(height for _, height in sizes) + _APART * (len(pages) - 1)
    drawn, y = [], 0.0
    for page, (_, height) in zip(pages, sizes, strict=True):
        inner = page[page.index(">") + 1 : page.rindex("</svg>")]
        drawn.append(f'<g class="page" transform="translate(0 {y:g})">{inner}</g>')
        y += height + _APART
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{wide:g}mm" height="{high:g}mm" viewBox="0 0 {wide:g} {high:g}" color="#000">\n'
        f'<rect width="{wide:g}" height="{high:g}" fill="#ddd"/>\n{"".join(drawn)}\n</svg>\n'
    )


def _found(page: str) -> tuple[str, str]:
    match = _SIZE.search(page)
    assert match is not None, "a page says how large it is"
    return match.group(1), match.group(2)
