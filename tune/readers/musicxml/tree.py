"""Bytes of MusicXML to a tree that is safe to walk, and the small helpers for walking it.

A file may come from anywhere, so the bytes are weighed before they are parsed: size, number of
tags and attributes (which bound the memory of the tree), no entities of the file's own, nothing
fetched from outside. An ordinary DOCTYPE is accepted. A score written measure by measure
(``score-timewise``) is turned into one written part by part.

Public: parse, one, text, whole, decimal, shown, MOST_BYTES, MOST_MARKS.
"""

import re
from fractions import Fraction
from xml.etree.ElementTree import Element, ParseError, SubElement

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring

from tune.errors import Place, TuneError

MOST_BYTES = 16_000_000
"""Bytes of one XML document; a long song takes about half a million."""

MOST_MARKS = 1_000_000
"""Tags and attributes (counted by their ``<`` and ``=``) in one document."""

_DECIMAL = re.compile(r"[+-]?\d{1,9}(\.\d{1,9})?")


def parse(data: bytes, file: str = "") -> Element:
    """The ``score-partwise`` element of a MusicXML document; TuneError for anything else."""
    place = Place(file)
    if len(data) > MOST_BYTES or data.count(b"<") + data.count(b"=") > MOST_MARKS:
        raise TuneError(
            "the MusicXML is too large for a tune; save one part or one song alone", place
        )
    try:
        root: Element = fromstring(data)
    except DefusedXmlException:
        raise TuneError(
            "the file defines entities of its own, which no music needs; save it again from a "
            "notation program",
            place,
        ) from None
    except ParseError as error:
        line, column = error.position
        raise TuneError(
            "this is not well-formed XML; save the file again as MusicXML",
            Place(file, line=line, column=column + 1),
        ) from None
    except (ValueError, LookupError):
        raise TuneError(
            "the XML names an encoding that cannot be read; save it as UTF-8", place
        ) from None
    if root.tag == "score-partwise":
        return root
    if root.tag == "score-timewise":
        return _by_part(root)
    if root.tag == "opus":
        raise TuneError("an opus only lists other files; read one of those instead", place)
    raise TuneError(
        f"this XML is not MusicXML: it begins with <{shown(root.tag)}>, not <score-partwise>",
        place,
    )


def _by_part(score: Element) -> Element:
    """A timewise score as a partwise one; the head is kept as it is."""
    turned = Element("score-partwise", score.attrib)
    parts: dict[str, Element] = {}
    for child in score:
        if child.tag != "measure":
            turned.append(child)
            continue
        for part in child.findall("part"):
            name = part.get("id", "")
            if name not in parts:
                parts[name] = SubElement(turned, "part", {"id": name})
            measure = SubElement(parts[name], "measure", child.attrib)
            measure.extend(part)
    return turned


def shown(value: str) -> str:
    """Text out of a file, short and on one line, fit to stand in a sentence."""
    flat = " ".join(value.split())
    return flat if len(flat) <= 40 else flat[:37] + "..."


def text(element: Element | None) -> str:
    """An element's own text with its white space made single; empty for no element."""
    return "" if element is None else " ".join((element.text or "").split())


def one(element: Element, path: str, what: str) -> Element:
    """The child at ``path``, which must be there."""
    child = element.find(path)
    if child is None:
        raise TuneError(f"{what} is missing (<{path.rpartition('/')[2]}>); save the file again")
    return child


def whole(value: str, what: str) -> int:
    """A whole number; TuneError names ``what`` it should have been."""
    exact = decimal(value, what)
    if exact.denominator != 1:
        raise TuneError(f"{what} must be a whole number, not {shown(value)!r}")
    return exact.numerator


def decimal(value: str, what: str) -> Fraction:
    """A decimal number, exactly; TuneError names ``what`` it should have been."""
    if not _DECIMAL.fullmatch(value.strip(), 0) or not value.isascii():
        raise TuneError(f"{what} must be a number, not {shown(value)!r}")
    return Fraction(value.strip())
