"""Instruments, tunings and hands by name, or from a player's own TOML file in the name's place.

The presets are the files under ``fretboard/data``: a new one is a new file there. Everything that
is not a preset's name and ends in ``.toml`` or names a folder is taken for a file, seen from the
current directory. Frets of a capo are printed fret numbers, pitches are MIDI numbers, lengths mm.

Public: instrument, instruments, tunings, hand, hands, InstrumentInfo, TuningInfo, HandInfo.
"""

import re
from dataclasses import dataclass, replace
from pathlib import Path

from fretboard.errors import FretboardError
from fretboard.frets import fret_semitones
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.load_hand import HAND_KEYS, hand_from
from fretboard.load_instrument import INSTRUMENT_KEYS, instrument_from
from fretboard.reading import Table, length_mm, read_toml
from fretboard.tuning import parse_tuning

_DATA = Path(__file__).parent / "data"
_TUNING_KEYS = ("name", "pitches", "word", "meaning", "tonic_fret", "mode")
_SPAN = re.compile(r"(?:span\s*=)?\s*([0-9].*)", re.DOTALL)


@dataclass(frozen=True)
class InstrumentInfo:
    """An instrument of the list: its name, what it is, and itself."""

    name: str
    meaning: str
    instrument: Instrument


@dataclass(frozen=True)
class TuningInfo:
    """A tuning of the list.

    name: as players write it; pitches: MIDI, bass first; word: the mode by which players call it,
    or nothing; meaning: one line; tonic_fret, mode: which scale the whole-number frets of the
    melody string give from which fret.
    """

    name: str
    pitches: tuple[int, ...]
    word: str
    meaning: str
    tonic_fret: str
    mode: str


@dataclass(frozen=True)
class HandInfo:
    """A hand of the list: its name, what it is, and itself."""

    name: str
    meaning: str
    hand: Hand


def instruments() -> tuple[InstrumentInfo, ...]:
    """Every preset instrument, the standard one first, then by name."""
    found = []
    for name in sorted(_names("instruments"), key=lambda name: (name != "standard", name)):
        table = _table("instruments", name, INSTRUMENT_KEYS)
        found.append(InstrumentInfo(name, table.text("meaning", ""), instrument_from(table, name)))
    return tuple(found)


def tunings() -> tuple[TuningInfo, ...]:
    """Every preset tuning."""
    tables = read_toml(_DATA / "tunings.toml", "tunings.toml", "tuning").tables(
        "tuning", *_TUNING_KEYS
    )
    return tuple(
        TuningInfo(
            name=table.text("name", ""),
            pitches=parse_tuning(table.text("pitches", "")),
            word=table.text("word", ""),
            meaning=table.text("meaning", ""),
            tonic_fret=table.text("tonic_fret", ""),
            mode=table.text("mode", ""),
        )
        for table in tables
    )


def hands() -> tuple[HandInfo, ...]:
    """Every preset hand, the smallest span first.

    Whoever prints this list prints ``fretboard.hand.CAUTION`` with it: a reach setting is a
    preference, not medical advice.
    """
    found = []
    for name in _names("hands"):
        table = _table("hands", name, HAND_KEYS)
        found.append(HandInfo(name, table.text("meaning", ""), hand_from(table, name)))
    return tuple(sorted(found, key=lambda info: (info.hand.span_mm, info.name)))


def instrument(
    name_or_file: str = "standard",
    *,
    tuning: str | None = None,
    capo: str | int = 0,
    scale: str | float | None = None,
) -> Instrument:
    """A preset instrument, or the one of a player's own file.

    tuning: open pitches (``D3 A3 D4``, ``D-A-d``) or the word for a tuning (``ionian``), set
    above the instrument's own bass string; capo: printed number of the fret it sits at, 0 for
    none; scale: nut to bridge, mm or text with its unit, where it is not the file's. Raises
    FretboardError, one sentence.
    """
    table = _table("instruments", name_or_file, INSTRUMENT_KEYS)
    made = instrument_from(table, _called(name_or_file))
    if scale is not None:
        length = length_mm(scale)
        if length is None:
            raise FretboardError(f"the scale length must be such as 686, 686mm or 27in: {scale!r}")
        made = replace(made, scale_mm=length)
    if tuning is not None:
        made = made.with_tuning(_pitches(tuning, made))
    try:
        fret = fret_semitones(str(capo))
    except FretboardError as error:
        raise FretboardError(f"capo {str(capo).strip()}: {error}") from None
    return made.with_capo(fret)


def hand(name_or_file: str | int = "medium") -> Hand:
    """A preset hand, the one of a player's own file, or one from a measured span.

    The span: ``190``, ``190mm``, ``span=190`` or ``7.5in``. To measure it, lay the hand flat beside
    a ruler, fingers spread as far as they go without strain, and read from the tip of the thumb to
    the tip of the little finger. A reach setting is a preference, not medical advice: warm up,
    rest, stop if anything hurts, and ask a teacher or clinician. Raises FretboardError, one
    sentence.
    """
    text = str(name_or_file).strip()
    span = _SPAN.fullmatch(text)
    if span is not None and not _is_file(text):
        length = length_mm(span.group(1))
        if length is None:
            raise FretboardError(f"the span of a hand must be such as 205, 205mm or 8in: {text!r}")
        return Hand(name=f"span {round(length)} mm", span_mm=round(length))
    return hand_from(_table("hands", text, HAND_KEYS), _called(text))


def _pitches(text: str, made: Instrument) -> tuple[int, ...]:
    """The open pitches that the player asks for on that instrument."""
    bass = made.courses[0].open
    words = {info.word: info.pitches for info in tunings() if info.word}
    if text.strip().lower() in words:
        pitches = words[text.strip().lower()]
        return tuple(bass + pitch - pitches[0] for pitch in pitches)
    try:
        return parse_tuning(text, bass)
    except FretboardError as error:
        raise FretboardError(f"{error}; or a word: {', '.join(words)}") from None


def _names(kind: str) -> list[str]:
    return sorted(path.stem for path in (_DATA / kind).glob("*.toml"))


def _is_file(name: str) -> bool:
    return name.endswith(".toml") or "/" in name or "\\" in name


def _called(name: str) -> str:
    return Path(name.strip()).stem if _is_file(name.strip()) else name.strip().lower()


def _table(kind: str, name: str, allowed: tuple[str, ...]) -> Table:
    """The table of a preset, or of a file."""
    name = name.strip()
    if _is_file(name):
        return read_toml(Path(name), name, *allowed)
    presets = _names(kind)
    if name.lower() not in presets:
        span = ", write a measured span such as 190mm" if kind == "hands" else ""
        raise FretboardError(
            f"there is no {kind[:-1]} {name!r}; choose {', '.join(presets)}{span}, "
            "or name a file that ends in .toml"
        )
    return read_toml(_DATA / kind / f"{name.lower()}.toml", f"{kind[:-1]} {name}", *allowed)
