"""A line as the engraving library drew it, taken apart: its marks, and the places that we draw at.

Lengths are mm, before anything is enlarged; the library's own unit is a hundredth of a mm. Bar
lines and the tab's stand-ins are not kept as marks, only where they are.

Public: Picture, BarPlace, picture_of, Glyphs.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from xml.sax.saxutils import escape

from undersong.sheet.paper import SERIF

_SVG = "{http://www.w3.org/2000/svg}"
_LINK = "{http://www.w3.org/1999/xlink}href"
_NUMBERS = re.compile(r"-?\d+(?:\.\d+)?")
_TRANSLATED = re.compile(r"translate\((-?[\d.]+),\s*(-?[\d.]+)\)\s*scale\((-?[\d.]+)")
_PATH = re.compile(r"([MmLlHhVvCcSsZz])|(-?\d+(?:\.\d+)?)")
_DROPPED = ("mNum", "grpSym")

_CLOSING = "#E26B"
"""A right parenthesis, in the standard layout of music fonts (SMuFL 1.4)."""

_PAST = 90.0
"""Hundredths of a mm that the library leaves dots too near to a head for the parenthesis between
them (measured with verovio 6.4)."""

Glyphs = dict[str, str]
"""Name → the glyph's path, shared by every line of the pages."""


@dataclass(frozen=True)
class BarPlace:
    """index: among the printed bars; left, right: its edges; lines: (x, thickness) of its bar
    lines; dots: x of repeat dots."""

    index: int
    left: float
    right: float
    lines: tuple[tuple[float, float], ...]
    dots: tuple[float, ...]


@dataclass(frozen=True)
class Picture:
    """marks: SVG in hundredths of a mm; top, bottom: how far they reach; staff: the highest and
    lowest line of the staff, None without one; places: id → x of figures and notes; clefs: x of
    each."""

    marks: tuple[str, ...]
    top: float
    bottom: float
    staff: tuple[float, float] | None
    bars: tuple[BarPlace, ...]
    places: dict[str, float]
    clefs: tuple[float, ...]


def picture_of(svg: str, has_staff: bool, glyphs: Glyphs) -> Picture:
    """Takes one line apart, and adds the glyphs that it uses to ``glyphs``."""
    root = ET.fromstring(svg)  # the library's own output
    suffix = "-" + root.attrib["id"]
    for glyph in root.iter(f"{_SVG}g"):
        name = glyph.get("id", "")
        path = glyph.find(f"{_SVG}path")
        if name.endswith(suffix) and path is not None:
            glyphs[name.removesuffix(suffix)] = path.attrib["d"]
    taken = _Taken(has_staff, suffix, glyphs)
    system = next(g for g in root.iter(f"{_SVG}g") if g.get("class") == "system")
    for child in system:
        taken.system_child(child)
    return taken.picture()


class _Taken:
    """Marks and places as they are found."""

    def __init__(self, has_staff: bool, suffix: str, glyphs: Glyphs) -> None:
        self.has_staff, self.suffix, self.glyphs = has_staff, suffix, glyphs
        self.marks: list[str] = []
        self.ys: list[float] = []
        self.staff: tuple[float, float] | None = None
        self.bars: list[BarPlace] = []
        self.places: dict[str, float] = {}
        self.clefs: list[float] = []

    def picture(self) -> Picture:
        top, bottom = (min(self.ys), max(self.ys)) if self.ys else (0.0, 0.0)
        return Picture(
            tuple(self.marks),
            top / 100,
            bottom / 100,
            None if self.staff is None else (self.staff[0] / 100, self.staff[1] / 100),
            tuple(self.bars),
            self.places,
            tuple(self.clefs),
        )

    def system_child(self, element: ET.Element) -> None:
        kind = element.get("class", "")
        if kind == "measure":
            self.measure(element)
        elif element.tag == f"{_SVG}g" and self.has_staff:
            self.mark(element)

    def measure(self, element: ET.Element) -> None:
        staffs = [child for child in element if child.get("class") == "staff"]
        lines = [c for c in staffs[0] if c.tag == f"{_SVG}path"]
        # the tab's lines are cut where numbers stand
        xs = [float(x) for line in lines for x in _NUMBERS.findall(line.attrib["d"])[::2]]
        strokes: list[tuple[float, float]] = []
        dots: list[float] = []
        for line in (child for child in element if child.get("class") == "barLine"):
            for part in line:
                if part.tag == f"{_SVG}path":
                    x = float(_NUMBERS.findall(part.attrib["d"])[0]) / 100
                    strokes.append((x, float(part.get("stroke-width", "20")) / 100))
                elif part.tag == f"{_SVG}use":
                    dots.append(_place(part)[0] / 100)
        index = int(element.get("id", "m0")[1:])
        self.bars.append(
            BarPlace(
                index,
                min(xs) / 100,
                max(xs) / 100,
                tuple(sorted(set(strokes))),
                _columns(dots),
            )
        )
        for child in element:
            kind = child.get("class", "")
            if kind == "staff" and self.has_staff and child is staffs[0]:
                ys = [float(_NUMBERS.findall(line.attrib["d"])[1]) for line in lines]
                self.staff = (min(ys), max(ys))
                self.mark(child)
            elif kind == "staff":
                self.stand_ins(child)
            elif kind != "barLine" and self.has_staff:
                self.mark(child)

    def stand_ins(self, staff: ET.Element) -> None:
        """The middle of every figure."""
        for note in staff.iter(f"{_SVG}g"):
            text = note.find(f"{_SVG}text")
            if note.get("class") == "note" and text is not None:
                self.places[note.get("id", "")] = float(text.get("x", "0")) / 100

    def mark(self, element: ET.Element) -> None:
        kind = element.get("class", "")
        if kind.startswith(_DROPPED) or "placeholder" in kind:
            return
        if kind == "note":
            head = next((u for u in element.iter(f"{_SVG}use")), None)
            if head is not None:
                self.places[element.get("id", "")] = (_place(head)[0] + 110) / 100
            if any(u.get(_LINK, "").startswith(_CLOSING) for u in element.iter(f"{_SVG}use")):
                for dot in element.iter(f"{_SVG}ellipse"):
                    dot.set("cx", _plain(float(dot.attrib["cx"]) + _PAST))
        tag = element.tag.removeprefix(_SVG)
        if tag == "g":
            if kind == "clef":
                for use in element.iter(f"{_SVG}use"):
                    self.clefs.append(_place(use)[0] / 100)
            for child in element:
                self.mark(child)
        elif tag == "use":
            self.use(element)
        elif tag == "text":
            self.text(element)
        elif tag in ("path", "polygon", "polyline", "ellipse", "rect", "circle"):
            self.shape(element, tag)

    def use(self, element: ET.Element) -> None:
        x, y, scale = _place(element)
        name = element.attrib[_LINK].removeprefix("#").removesuffix(self.suffix)
        low, high = _extent(self.glyphs[name])
        self.ys += [y - high * scale, y - low * scale]
        self.marks.append(
            f'<use xlink:href="#{name}" transform="translate({_plain(x)} {_plain(y)}) '
            f'scale({_plain(scale)})"/>'
        )

    def text(self, element: ET.Element) -> None:
        """Words in one piece, as upright serif type."""
        spans = [
            span for span in element.iter(f"{_SVG}tspan") if span.get("font-size", "0px") != "0px"
        ]
        words = "".join(element.itertext()).strip()
        words = " ".join(words.split())
        if not words or not spans:
            return
        size = float(spans[0].attrib["font-size"].removesuffix("px"))
        placed = element if element.get("x") else spans[0]
        x, y = float(placed.get("x", "0")), float(placed.get("y", "0"))
        anchor = element.get("text-anchor", "start")
        where = f' text-anchor="{anchor}"' if anchor != "start" else ""
        self.ys += [y - 0.75 * size, y + 0.25 * size]
        self.marks.append(
            f'<text class="word" x="{_plain(x)}" y="{_plain(y)}" font-family="{SERIF}" '
            f'font-size="{_plain(size)}"{where}>{escape(words)}</text>'
        )

    def shape(self, element: ET.Element, tag: str) -> None:
        known = ("d", "points", "cx", "cy", "rx", "ry", "r", "x", "y", "width", "height")
        kept = {name: element.attrib[name] for name in known if name in element.attrib}
        if tag == "path":
            numbers = [float(n) for n in _NUMBERS.findall(kept["d"])]
            self.ys += numbers[1::2]
        elif tag in ("polygon", "polyline"):
            self.ys += [float(n) for n in _NUMBERS.findall(kept["points"])][1::2]
        elif "y" in kept:
            self.ys += [float(kept["y"])]
        stroke = element.get("stroke-width") or element.get("stroke")
        filled = tag != "path" or "C" in kept.get("d", "")
        fill = element.get("fill", "")
        if fill == "none" or (tag == "path" and not filled):
            kept["fill"] = "none"
        if tag in ("path", "polyline") or stroke:
            kept["stroke"] = "currentColor"
            kept["stroke-width"] = element.get("stroke-width", "13")
        written = " ".join(f'{name}="{escape(value)}"' for name, value in kept.items())
        self.marks.append(f"<{tag} {written}/>")


def _columns(dots: Iterable[float]) -> tuple[float, ...]:
    """The columns of dots; staff and tab place the dots of one sign a little apart, and the column
    nearer to the music on its left stands for both."""
    found: list[float] = []
    for x in sorted(dots):
        if not found or x - found[-1] > 1:
            found.append(x)
    return tuple(found)


def _place(use: ET.Element) -> tuple[float, float, float]:
    found = _TRANSLATED.search(use.get("transform", ""))
    assert found is not None, "the library places every glyph so"
    return float(found.group(1)), float(found.group(2)), float(found.group(3))


def _plain(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=512)
def _extent(path: str) -> tuple[float, float]:
    """The lowest and highest point of a glyph (its control points, so rather too much)."""
    ys = list(_points(path))
    return (min(ys), max(ys)) if ys else (0.0, 0.0)


def _points(path: str) -> Iterator[float]:
    step = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Z": 0}
    command, numbers = "M", list[float]()
    y = start = 0.0
    for letter, digits in _PATH.findall(path):
        if letter:
            command, numbers = letter, []
            if command in "Zz":
                y = start
            continue
        numbers.append(float(digits))
        if len(numbers) < step[command.upper()]:
            continue
        relative = command.islower()
        if command.upper() == "V":
            ys = numbers
        elif command.upper() == "H":
            ys = []
        else:
            ys = numbers[1::2]
        points = [value + y if relative else value for value in ys]
        yield from points
        if points:
            y = points[-1]
        if command in "Mm":
            start = y
            command = "l" if relative else "L"
        numbers = []
