"""Reading TOML: one table's values by key and type, each mistake one sentence with file and key.

Lengths are millimetres; a number is taken as millimetres, text may say ``686mm``, ``68.6cm``,
``27in`` or ``27"``.

Public: Table, read_toml, unreadable, length_mm.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from fretboard.errors import FretboardError

_MM = {"": 1.0, "mm": 1.0, "cm": 10.0, "in": 25.4, '"': 25.4, "″": 25.4}
_LENGTH = re.compile(r'([0-9]{1,5}(?:\.[0-9]{1,6})?)\s*(mm|cm|in|"|″)?')
_LARGEST = 100_000


def length_mm(value: object) -> float | None:
    """A length in mm from a number (mm) or text with its unit; None for what is no length."""
    if isinstance(value, str):
        match = _LENGTH.fullmatch(value.strip().lower())
        return float(match.group(1)) * _MM[match.group(2) or ""] if match else None
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= _LARGEST:
        return None
    return float(value)


@dataclass(frozen=True)
class Table:
    """One table of a TOML file.

    where: the file (and the table's name) for messages; values: as read; allowed: the keys that
    may stand in it, all keys for an empty tuple. An unknown key raises FretboardError.
    """

    where: str
    values: Mapping[str, object]
    allowed: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for key in self.values:
            if self.allowed and key not in self.allowed:
                raise FretboardError(
                    f"{self.where}: there is no key {key!r}; the keys are {', '.join(self.allowed)}"
                )

    def error(self, key: str, want: str) -> FretboardError:
        """The complaint that the value of ``key`` is not what is wanted."""
        shown = repr(self.values[key])
        if len(shown) > 40:
            shown = shown[:39] + "…"
        return FretboardError(f"{self.where}: {key} must be {want}, not {shown}")

    def text(self, key: str, default: str) -> str:
        value = self.values.get(key, default)
        if not isinstance(value, str):
            raise self.error(key, "text in quotes")
        return value

    def whole(self, key: str, default: int) -> int:
        value = self.values.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or abs(value) > _LARGEST:
            raise self.error(key, "a whole number")
        return value

    def flag(self, key: str, default: bool) -> bool:
        value = self.values.get(key, default)
        if not isinstance(value, bool):
            raise self.error(key, "true or false")
        return value

    def mm(self, key: str, default: float) -> float:
        """A length in millimetres."""
        length = length_mm(self.values.get(key, default))
        if length is None:
            raise self.error(key, "a length, such as 205, '205mm' or '27in'")
        return length

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; one text alone is a list of one, nothing an empty list.

        A number stands for its text, so that a fret may be written 6.5.
        """
        value = self.values.get(key, [])
        items = value if isinstance(value, list) else [value]
        good = all(isinstance(i, str | int | float) and not isinstance(i, bool) for i in items)
        if not good:
            raise self.error(key, "a list of texts in quotes")
        return tuple(str(item) for item in items)

    def table(self, key: str, *allowed: str) -> "Table":
        """The table of that name, an empty one where there is none."""
        value = self.values.get(key, {})
        if not isinstance(value, dict):
            raise self.error(key, f"a table that begins with the line [{key}]")
        return Table(f"{self.where}, [{key}]", value, allowed)

    def tables(self, key: str, *allowed: str) -> tuple["Table", ...]:
        """The tables that begin with ``[[key]]``, in order."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            raise self.error(key, f"tables that begin with the line [[{key}]]")
        return tuple(
            Table(f"{self.where}, [[{key}]] {number}", item, allowed)
            for number, item in enumerate(value, 1)
        )


_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


def unreadable(shown: str, text: str, error: tomllib.TOMLDecodeError) -> str:
    """One sentence for a file that is no TOML: the file, the line's number, the line, the mend."""
    place = _PLACE.search(str(error))
    lines = text.splitlines()
    if place is None:
        return f"{shown}: this is no valid TOML: {error}"
    number = int(place[1]) if place[1] else len(lines)
    line = lines[number - 1].strip() if 1 <= number <= len(lines) else ""
    seen = f", {line if len(line) <= 40 else line[:39] + '…'!r}," if line else ""
    what = str(error)[: place.start()]
    return f"{shown}: line {number}{seen} is no valid TOML: {_mend(line, what)}"


def _mend(line: str, what: str) -> str:
    """What to write instead; what the library says where that is not known."""
    key, equals, value = (part.strip() for part in line.partition("="))
    if what.startswith("Cannot overwrite") or "already" in what:
        return "it says again what stands further up; say it once"
    if what.startswith(("Illegal character", "Unterminated", 'Expected "')):
        return "a text has no end, or a sign in it that cannot be; close it with a quote"
    if what.startswith("Unclosed") or line.endswith(("[", ",")):
        return "a list has no end; close it with ]"
    if line.startswith("["):
        return "a table begins with a line such as [name] or [[name]]"
    if not equals:
        return "write a name, = and a value"
    if what == "Invalid value" and value and not value.startswith(('"', "'", "[", "{")):
        return f'put words in quotes, such as {key} = "{value[:20]}"'
    if what.startswith(("Expected '=' after a key", "Invalid statement")):
        return f'put a name with other signs than a-z, 0-9 and - in quotes, such as "{key}" = …'
    return what[:1].lower() + what[1:]


def read_toml(path: Path, shown: str, *allowed: str) -> Table:
    """The top table of a file; ``shown`` is how messages call it.

    Raises FretboardError where there is no such file, where it cannot be read, or is no TOML.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise FretboardError(f"{shown}: there is no such file in {Path.cwd()}") from None
    except OSError as error:
        raise FretboardError(f"{shown}: the file cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise FretboardError(f"{shown}: the file is no text; save it as UTF-8") from None
    try:
        return Table(shown, tomllib.loads(text), allowed)
    except tomllib.TOMLDecodeError as error:
        raise FretboardError(unreadable(shown, text, error)) from None
    except RecursionError:
        raise FretboardError(f"{shown}: the file nests too deep") from None
