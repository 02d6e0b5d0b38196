"""The music drawn for the page, and where each of its bars lies.

Public: drawing_view, WIDTH.
"""

from typing import Any

from solver.result import Arrangement
from undersong.sheet.engraved.screen import screen
from undersong.sheet.page_options import PageOptions

WIDTH = 190
"""mm that the drawing is wide: figures stay readable on a page half as wide as a screen."""


def drawing_view(arrangement: Arrangement, width_mm: int = WIDTH) -> dict[str, Any]:
    """Lengths in mm."""
    made = screen(arrangement, width_mm=width_mm, options=PageOptions())
    bars = [
        {
            "number": str(place.bar) if place.bar else "pickup",
            "played": list(place.played),
            "x": round(place.x, 2),
            "y": round(place.y, 2),
            "width": round(place.width, 2),
            "height": round(place.height, 2),
        }
        for place in made.bars
    ]
    return {
        "svg": made.svg,
        "width": round(made.width, 2),
        "height": round(made.height, 2),
        "bars": bars,
    }
