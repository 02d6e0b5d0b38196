"""Small MusicXML documents for tests, and the published schema that they must satisfy.

The schema is musicxml_4_0.xsd out of the installed package ``musicxml`` (the W3C's file), with
xlink.xsd and xml.xsd out of ``xmlschema``; nothing is fetched.
"""

import functools
import re
from importlib.util import find_spec
from pathlib import Path

from lxml import etree

from tune.readers.musicxml import read_musicxml
from tune.tune import Tune

COMMON_TIME = (
    "<attributes><divisions>12</divisions><key><fifths>2</fifths><mode>major</mode></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)
"""Twelve divisions in a quarter, D major, 4/4."""

TEMPO = '<sound tempo="100"/>'

_TYPES = {48: "whole", 24: "half", 12: "quarter", 6: "eighth", 3: "16th"}


def pitch(name: str) -> str:
    """A ``<pitch>``: ``F#4``, ``Bb3``."""
    step, sign, octave = name[0], name[1:-1], name[-1]
    alter = {"": "", "#": "<alter>1</alter>", "b": "<alter>-1</alter>"}[sign]
    return f"<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>"


def note(
    name: str, length: int = 12, before: str = "", tail: str = "", voice: str = "1", ties: str = ""
) -> str:
    """A note of ``length`` twelfths of a quarter; ``before`` and ``tail`` are put around."""
    what = "<rest/>" if name == "rest" else pitch(name)
    kind = f"<type>{_TYPES[length]}</type>" if length in _TYPES else ""
    return (
        f"<note>{before}{what}<duration>{length}</duration>{ties}<voice>{voice}</voice>"
        f"{kind}{tail}</note>"
    )


def chord(root: str, kind: str = "major", tail: str = "", text: str | None = None) -> str:
    """A ``<harmony>`` on ``root`` (``F#``); ``tail`` holds bass, degrees, offset."""
    alter = {"": "", "#": "<root-alter>1</root-alter>", "b": "<root-alter>-1</root-alter>"}
    shown = "" if text is None else f' text="{text}"'
    return (
        f"<harmony><root><root-step>{root[0]}</root-step>{alter[root[1:]]}</root>"
        f"<kind{shown}>{kind}</kind>{tail}</harmony>"
    )


def measure(content: str, number: str = "1", more: str = "") -> str:
    return f'<measure number="{number}"{more}>{content}</measure>'


def score(*measures: str, head: str = "<movement-title>Harrow Lane</movement-title>") -> bytes:
    """A document of one part; a first measure without divisions is given ``COMMON_TIME``."""
    bars = "".join(measures)
    if "<divisions>" not in measures[0]:
        bars = re.sub(r"(<measure[^>]*>)", r"\1" + COMMON_TIME + TEMPO, bars, count=1)
    return parts({"P1": bars}, head)


def parts(
    music: dict[str, str], head: str = "<movement-title>Harrow Lane</movement-title>"
) -> bytes:
    """A document of several parts, each named after its id."""
    listed = "".join(
        f'<score-part id="{name}"><part-name>{name} voice</part-name></score-part>'
        for name in music
    )
    played = "".join(f'<part id="{name}">{bars}</part>' for name, bars in music.items())
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
        '"http://www.musicxml.org/dtds/partwise.dtd">\n'
        f'<score-partwise version="4.0">{head}<part-list>{listed}</part-list>{played}'
        "</score-partwise>"
    ).encode()


@functools.cache
def schema() -> etree.XMLSchema:
    """The schema of MusicXML 4.0 with its two imports pointed at local files."""
    main = _package("musicxml") / "generate_classes" / "musicxml_4_0.xsd"
    schemas = _package("xmlschema") / "schemas"
    text = main.read_text(encoding="utf-8")
    for remote, local in (
        ("http://www.musicxml.org/xsd/xml.xsd", schemas / "XML" / "xml.xsd"),
        ("http://www.musicxml.org/xsd/xlink.xsd", schemas / "XLINK" / "xlink.xsd"),
    ):
        assert remote in text
        text = text.replace(remote, local.as_uri())
    parser = etree.XMLParser(no_network=True)
    return etree.XMLSchema(etree.fromstring(text.encode(), parser))


def valid(document: bytes) -> bytes:
    """The document itself, once the published schema has accepted it."""
    schema().assertValid(etree.fromstring(document, etree.XMLParser(no_network=True)))
    return document


def tune_of(*measures: str, **more: str) -> Tune:
    """The tune of measures that the schema accepts."""
    return read_musicxml(valid(score(*measures, **more)), "harrow.musicxml")


def _package(name: str) -> Path:
    spec = find_spec(name)
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent
