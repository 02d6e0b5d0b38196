"""Small helpers to build XML in the standard's order of children.

Public: add, said.
"""

import re
from xml.etree.ElementTree import Element, SubElement

_NO_XML = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold in any form (section 2.2 of its specification)."""


def said(text: str) -> str:
    """Words of a tune on one line, without what XML cannot hold."""
    return " ".join(_NO_XML.sub("", text).split())


def add(parent: Element, tag: str, text: object = None, /, **attributes: str) -> Element:
    """A new last child; an underscore in an attribute's name is a hyphen in the file."""
    named = {name.replace("_", "-"): said(value) for name, value in attributes.items()}
    child = SubElement(parent, tag, named)
    if text is not None:
        child.text = said(str(text))
    return child
