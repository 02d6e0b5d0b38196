"""Reading a drawn page back: its words, line by line, and the room that each takes."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass

from undersong.sheet.engraved.signs import signed_width
from undersong.sheet.lettering import width

_SVG = "{http://www.w3.org/2000/svg}"
_MOVE = re.compile(r"translate\((-?[\d.]+)[ ,]+(-?[\d.]+)\)")
_GROW = re.compile(r"scale\((-?[\d.]+)\)")


@dataclass(frozen=True)
class Box:
    """kind: the element's class; left, right, top, bottom: mm on the page."""

    kind: str
    text: str
    left: float
    right: float
    top: float
    bottom: float

    def meets(self, other: "Box", air: float = 0.0) -> bool:
        return (
            self.left < other.right + air
            and other.left < self.right + air
            and self.top < other.bottom
            and other.top < self.bottom
        )


def boxes(svg: str) -> list[Box]:
    """Every word of the page, in the order in which it is written; a chord is one word."""
    return list(_boxes(ET.fromstring(svg), 0.0, 0.0, 1.0))


def lines(svg: str) -> list[list[Box]]:
    """The words of each line of music."""
    root = ET.fromstring(svg)
    found = [g for g in root.iter(f"{_SVG}g") if g.get("class") == "line"]
    return [list(_boxes(g, 0.0, 0.0, 1.0)) for g in found]


def _boxes(element: ET.Element, x: float, y: float, scale: float) -> Iterator[Box]:
    move, grow = (p.search(element.get("transform", "")) for p in (_MOVE, _GROW))
    if move:
        x, y = x + scale * float(move.group(1)), y + scale * float(move.group(2))
    if grow:
        scale *= float(grow.group(1))
    kind = element.get("class", "")
    if element.tag == f"{_SVG}text":
        yield _box(element, kind, x, y, scale)
    elif kind in ("chord", "section", "title", "fact", "legend"):
        parts = [_box(part, kind, x, y, scale) for part in element.iter(f"{_SVG}text")]
        if parts:
            text = "".join(part.text for part in parts)
            size = (parts[0].bottom - parts[0].top) / _TALL
            wide = signed_width(text, size, bold=kind in ("chord", "section", "title"))
            yield Box(kind, text, parts[0].left, parts[0].left + wide,
                      min(p.top for p in parts), max(p.bottom for p in parts))  # fmt: skip
    else:
        for child in element:
            yield from _boxes(child, x, y, scale)


_TALL = 0.72
"""From the base line to the top of a figure or a capital, in sizes of the type."""


def _box(text: ET.Element, kind: str, x: float, y: float, scale: float) -> Box:
    size = float(text.attrib["font-size"])
    words = "".join(text.itertext())
    wide = width(words, size, bold=text.get("font-weight") == "bold")
    left = (
        float(text.attrib["x"])
        - {"start": 0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "start")]
    )
    base = float(text.attrib["y"])
    return Box(
        kind, words, x + scale * left, x + scale * (left + wide),
        y + scale * (base - _TALL * size), y + scale * base,
    )  # fmt: skip
