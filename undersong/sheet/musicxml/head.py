"""The head of the document: title, maker, provenance, what the signs mean, the list of parts.

Public: head.
"""

from xml.etree.ElementTree import Element

from fretboard.tuning import pitch_name
from solver.result import Arrangement
from solver.style import TEXTURES
from undersong.sheet.folding import Folding
from undersong.sheet.musicxml.elements import add
from undersong.sheet.options import SheetOptions
from undersong.sheet.text_signs import finger_words


def head(score: Element, arrangement: Arrangement, options: SheetOptions, folding: Folding) -> None:
    """Adds everything before the first part."""
    tune = arrangement.tune
    add(add(score, "work"), "work-title", tune.title)
    about = add(score, "identification")
    if tune.composer:
        add(about, "creator", tune.composer, type="composer")
    if tune.licence:
        add(about, "rights", tune.licence)
    encoding = add(about, "encoding")
    add(encoding, "software", "undersong")
    for element in ("accidental", "beam", "stem"):
        add(encoding, "supports", type="no" if element == "stem" else "yes", element=element)
    if tune.source:
        add(about, "source", tune.source)
    fields = add(about, "miscellaneous")
    for name, words in _told(arrangement, options).items():
        add(fields, "miscellaneous-field", words, name=name)
    if folding.first_stands:
        add(
            fields,
            "miscellaneous-field",
            "where a bar is repeated, its fingers and how long notes sound are those of its first "
            "time",
            name="repeats",
        )
    parts = add(score, "part-list")
    _listed(parts, "P1", "Melody")
    tab = _listed(parts, "P2", "Dulcimer")
    instrument = add(tab, "score-instrument", id="P2-I1")
    named = f"Fretted dulcimer ({arrangement.instrument.name})"
    add(instrument, "instrument-name", named)
    add(instrument, "instrument-sound", "pluck.dulcimer")


def _listed(parts: Element, name: str, words: str) -> Element:
    part = add(parts, "score-part", id=name)
    add(part, "part-name", words)
    return part


def _told(arrangement: Arrangement, options: SheetOptions) -> dict[str, str]:
    """What the arrangement is, and how its signs are to be read."""
    instrument, style = arrangement.instrument, arrangement.style
    counted = "the capo" if options.from_capo and instrument.capo else "the nut"
    fingers = ", ".join(
        f"{letter} {word}" for letter, word in finger_words(arrangement.hand).items()
    )
    level = {} if arrangement.level is None else {"level": str(arrangement.level)}
    return level | {
        "tuning": "-".join(map(pitch_name, instrument.tuning)) + ", bass to melody",
        "capo": instrument.label(instrument.capo) if instrument.capo else "none",
        "texture": f"{style.texture}: {TEXTURES[style.texture]}",
        "fret numbers": f"other-technical holds the printed fret number, counted from {counted}; "
        "fret holds semitones above the open string or the capo",
        "fingers": fingers,
        "strings": "1 is nearest to the player",
        "answer": f"{arrangement.proof.status}, {arrangement.cost} ms of hand work",
        "chords": arrangement.tune.chords_are,
    }
