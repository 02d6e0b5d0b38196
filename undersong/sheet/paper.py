"""Paper: its sizes and margins, and the names of the fonts that pages are set in.

A home printer leaves about 6 mm white on every side (common practice, no source); a page keeps
well inside that.

Public: Paper, paper, A4, LETTER, PAPERS, SANS, SERIF, MONO, FONTS, FONT_PACKAGE.
"""

from dataclasses import dataclass, replace
from types import MappingProxyType

from undersong.sheet.errors import SheetError

SANS, SERIF, MONO = "Liberation Sans", "Liberation Serif", "Liberation Mono"
FONTS = (SANS, SERIF, MONO)
"""The only fonts of a page, by the names that the system's fontconfig knows them by."""

FONT_PACKAGE = "fonts-liberation"
"""The package that holds them on Debian and Ubuntu."""

LEAST_MARGIN = 6.0
"""mm that a home printer cannot print on (common practice, no source)."""


@dataclass(frozen=True)
class Paper:
    """One sheet of paper; lengths are mm, margin_mm is left white on every side."""

    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = 12.0

    def __post_init__(self) -> None:
        if not (100 <= self.width_mm <= 1000 and 100 <= self.height_mm <= 1000):
            raise SheetError(
                f"paper is 100 to 1000 mm wide and high, not {self.width_mm:g} × {self.height_mm:g}"
            )
        most = min(self.width_mm, self.height_mm) / 4
        if not LEAST_MARGIN <= self.margin_mm <= most:
            raise SheetError(
                f"a margin of {self.margin_mm:g} mm does not suit {self.name}: {LEAST_MARGIN:g} mm "
                f"stay white in a home printer, and {most:g} mm is a quarter of the page"
            )

    @property
    def turned(self) -> "Paper":
        """The same sheet on its side."""
        return replace(self, width_mm=self.height_mm, height_mm=self.width_mm)

    @property
    def room_mm(self) -> tuple[float, float]:
        """Width and height inside the margins."""
        return self.width_mm - 2 * self.margin_mm, self.height_mm - 2 * self.margin_mm


A4 = Paper("a4", 210.0, 297.0)  # ISO 216
LETTER = Paper("letter", 215.9, 279.4)  # ANSI/ASME Y14.1, size A: 8.5 × 11 in

PAPERS: MappingProxyType[str, Paper] = MappingProxyType(
    {sheet.name: sheet for sheet in (A4, LETTER)}
)
"""Name → upright sheet."""


def paper(name: str = "a4", landscape: bool = False) -> Paper:
    """The sheet of that name; SheetError, one sentence, for an unknown name."""
    try:
        sheet = PAPERS[name.strip().lower()]
    except KeyError:
        raise SheetError(f"there is no paper {name!r}; choose {' or '.join(PAPERS)}") from None
    return sheet.turned if landscape else sheet
