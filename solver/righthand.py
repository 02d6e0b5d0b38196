"""Right-hand patterns: which strings are struck when. They are data (``data/right-hands.toml``).

Public: RightHand, Stroke, right_hand, right_hands, STRINGS.
"""

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from fretboard.reading import unreadable
from solver.errors import StyleError
from tune.errors import TuneError
from tune.time import Metre, ticks

STRINGS = ("bass", "upper", "bass+upper", "all", "middle", "melody")
_STROKE = re.compile(r"\s*([0-9]{1,3}(?:/[1-9][0-9]{0,3})?)\s+([a-z+]+)\s*")
_METRE = re.compile(r"([0-9]{1,3})/([0-9]{1,3})")


@dataclass(frozen=True)
class Stroke:
    """tick: from the start of a full bar; strings: one of ``STRINGS``."""

    tick: int
    strings: str

    @property
    def new_bass(self) -> bool:
        return self.strings in ("bass", "bass+upper")

    def courses(self, count: int) -> tuple[bool, ...]:
        """Which of ``count`` courses are struck, bass first."""
        upper = self.strings in ("upper", "bass+upper", "all")
        struck = [upper] * count
        struck[0] = self.new_bass or self.strings == "all"
        if self.strings == "middle":
            struck[1] = True
        if self.strings == "melody":
            struck[-1] = True
        return tuple(struck)


@dataclass(frozen=True)
class RightHand:
    """name, meaning; damped: bass notes are damped with the palm; bars: a pattern per metre."""

    name: str
    meaning: str
    damped: bool
    bars: tuple[tuple[Metre, tuple[Stroke, ...]], ...]

    def strokes(self, metre: Metre) -> tuple[Stroke, ...]:
        """The strokes of a full bar; StyleError for a metre that the pattern does not know."""
        for known, strokes in self.bars:
            if known == metre:
                return strokes
        names = ", ".join(str(known) for known, _ in self.bars)
        raise StyleError(
            f"the right hand {self.name} has no pattern for {metre}, only for {names}; "
            "write one in a file and name it with --right-hand ('undersong own-files' shows how)"
        )

    def plays(self, count: int) -> tuple[bool, ...]:
        """The courses that it strikes in some metre."""
        struck = [s.courses(count) for _, strokes in self.bars for s in strokes]
        return tuple(any(column) for column in zip(*struck, strict=True))


@cache
def _presets() -> dict[str, RightHand]:
    text = resources.files("solver.data").joinpath("right-hands.toml").read_text(encoding="utf-8")
    return _parse(text, "right-hands.toml")


def right_hands() -> tuple[RightHand, ...]:
    """Every bundled pattern, the default first."""
    return tuple(_presets().values())


def right_hand(name_or_file: str) -> RightHand:
    """A bundled pattern by name, or the first one of a TOML file; StyleError otherwise."""
    if name_or_file in _presets():
        return _presets()[name_or_file]
    if not name_or_file.endswith(".toml"):
        raise StyleError(
            f"there is no right hand named {name_or_file!r}; "
            f"the names are {', '.join(_presets())}, or give a .toml file"
        )
    try:
        text = Path(name_or_file).read_text(encoding="utf-8-sig")
    except OSError as error:
        raise StyleError(f"{name_or_file}: the file cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise StyleError(f"{name_or_file}: the file is no text; save it as UTF-8") from None
    patterns = _parse(text, name_or_file)
    if not patterns:
        raise StyleError(f"{name_or_file}: no right hand stands in it; begin with [its-name]")
    return next(iter(patterns.values()))


def _parse(text: str, file: str) -> dict[str, RightHand]:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise StyleError(unreadable(file, text, error)) from None
    except RecursionError:
        raise StyleError(f"{file}: the file nests too deep") from None
    return {name: _pattern(name, table, file) for name, table in tables.items()}


def _pattern(name: str, table: Any, file: str) -> RightHand:
    if not isinstance(table, dict):
        raise StyleError(f"{file}: {name} stands outside a [right-hand] table")
    meaning, damped = table.get("meaning", ""), table.get("damped", False)
    if not isinstance(meaning, str) or not isinstance(damped, bool):
        raise StyleError(f"{file}: [{name}] takes meaning as text and damped as true or false")
    bars = []
    for key, value in table.items():
        if key in ("meaning", "damped"):
            continue
        match = _METRE.fullmatch(key)
        if match is None or not isinstance(value, list):
            raise StyleError(
                f"{file}: [{name}] has the unknown key {key!r}; write a metre as '4/4'"
            )
        try:
            metre = Metre(int(match.group(1)), int(match.group(2)))
        except TuneError as error:
            raise StyleError(f"{file}: [{name}] {key}: {error}") from None
        bars.append((metre, _strokes(value, metre, f"{file}: [{name}] {key}")))
    if not bars:
        raise StyleError(f"{file}: [{name}] has no pattern for any metre")
    return RightHand(name, meaning, damped, tuple(bars))


def _strokes(items: list[Any], metre: Metre, where: str) -> tuple[Stroke, ...]:
    strokes = []
    for item in items:
        match = _STROKE.fullmatch(item) if isinstance(item, str) else None
        if match is None or match.group(2) not in STRINGS:
            raise StyleError(
                f"{where}: the stroke {item!r} is not '<quarters> <strings>' with strings out of "
                + ", ".join(STRINGS)
            )
        try:
            strokes.append(Stroke(ticks(Fraction(match.group(1))), match.group(2)))
        except TuneError as error:
            raise StyleError(f"{where}: {error}") from None
    onsets = [stroke.tick for stroke in strokes]
    if not onsets or onsets != sorted(set(onsets)) or onsets[0] != 0 or onsets[-1] >= metre.bar:
        raise StyleError(f"{where}: strokes begin at 0, ascend, and stay within the bar")
    if not strokes[0].new_bass:
        raise StyleError(f"{where}: the first stroke must bring a bass note")
    return tuple(strokes)
