"""Reading JSON step by step, each value knowing its path, so that every complaint says where.

A path is written as in ``moments[3].strings[0].fret``, list places counted from 0.

Public: Node, parse.
"""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NoReturn, TypeVar

from tune.errors import TuneError
from tune.time import ticks
from undersong.sheet.errors import SheetError

T = TypeVar("T")
_FRACTION = re.compile(r"\d{1,9}(/[1-9]\d{0,8})?")
_LONGEST_SHOWN = 40
_LARGEST = 1_000_000_000


def parse(text: str, file: str = "") -> "Node":
    """The document in ``text``; SheetError where it is not JSON."""
    where = f"{file}: " if file else ""
    try:
        value = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        raise SheetError(
            f"{where}line {error.lineno}, column {error.colno}: this is not JSON "
            f"({error.msg}); take a file that was written with the suffix .json"
        ) from None
    except RecursionError:
        raise SheetError(f"{where}the document is nested too deeply to be an arrangement") from None
    except ValueError as error:
        raise SheetError(f"{where}the document cannot be read: {error}") from None
    return Node(value, "", file)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(name for name, _ in pairs if sum(name == n for n, _ in pairs) > 1)
        raise ValueError(f"the name {_shown(twice)} stands twice in one object; leave one out")
    return found


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number of JSON")


def _shown(value: Any) -> str:
    text = json.dumps(value)
    return text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "..."


@dataclass(frozen=True)
class Node:
    """A value of the document, its path, and the file's name."""

    value: Any
    path: str
    file: str

    def fail(self, message: str) -> NoReturn:
        """Raises SheetError with file and path."""
        parts = [part for part in (self.file, self.path) if part]
        raise SheetError(": ".join([*parts, message]))

    def wrong(self, wanted: str) -> NoReturn:
        self.fail(f"this must be {wanted}, not {_shown(self.value)}")

    def object(self, *names: str) -> "Node":
        """The same node, known to be an object with exactly these names."""
        if not isinstance(self.value, dict):
            self.wrong("an object")
        for name in names:
            if name not in self.value:
                self.fail(f"{_shown(name)} is missing here; the names are {', '.join(names)}")
        for name in self.value:
            if name not in names:
                self.fail(f"{_shown(name)} is unknown here; the names are {', '.join(names)}")
        return self

    def __getitem__(self, name: str) -> "Node":
        """A value of an object that ``object`` has looked at."""
        return Node(self.value[name], f"{self.path}.{name}" if self.path else name, self.file)

    def pairs(self) -> Iterator[tuple[str, "Node"]]:
        """Every name of an object with its value."""
        if not isinstance(self.value, dict):
            self.wrong("an object")
        for name in self.value:
            yield name, self[name]

    def items(self) -> list["Node"]:
        """The values of a list."""
        if not isinstance(self.value, list):
            self.wrong("a list")
        return [
            Node(value, f"{self.path}[{index}]", self.file)
            for index, value in enumerate(self.value)
        ]

    def text(self) -> str:
        if not isinstance(self.value, str):
            self.wrong("text")
        return self.value

    def texts(self) -> tuple[str, ...]:
        return tuple(item.text() for item in self.items())

    def flag(self) -> bool:
        if not isinstance(self.value, bool):
            self.wrong("true or false")
        return self.value

    def whole(self, least: int = 0) -> int:
        """A whole number from ``least`` on."""
        if isinstance(self.value, bool) or not isinstance(self.value, int):
            self.wrong("a whole number")
        if not least <= self.value <= _LARGEST:
            self.wrong(f"a whole number from {least} on")
        return self.value

    def number(self) -> float:
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            self.wrong("a number")
        if not abs(self.value) <= _LARGEST:
            self.wrong("a number of ordinary size")
        return self.value

    def ticks(self) -> int:
        """Ticks of a length or place given in quarters, such as ``"3/2"``."""
        if not isinstance(self.value, str) or not _FRACTION.fullmatch(self.value):
            self.wrong('quarter notes as text, such as "1" or "3/2"')
        try:
            return ticks(Fraction(self.value))
        except TuneError as error:
            self.fail(str(error))

    def maybe(self, read: "Callable[[Node], T]") -> T | None:
        """None for null, else what ``read`` makes of it."""
        return None if self.value is None else read(self)

    def made(self, make: Callable[[], T]) -> T:
        """What ``make`` makes; its complaint gets this node's path."""
        try:
            return make()
        except SheetError:
            raise
        except ValueError as error:
            self.fail(str(error))
