"""Weights: what each term costs, in ms of hand work per unit.

Public: Weights, WeightError, DEFAULTS.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import ClassVar, Self

from fretboard.reading import unreadable
from scoring.terms import TERMS

DEFAULTS: MappingProxyType[str, int] = MappingProxyType(
    {term.about.name: term.about.default for term in TERMS}
)


class WeightError(ValueError):
    """A weight that cannot be; the message lists the names or the range."""


@dataclass(frozen=True)
class Weights:
    """The weights that differ from the defaults, as (name, ms) pairs in the terms' order.

    A class below with terms of its own has a table and a unit of its own.
    """

    changed: tuple[tuple[str, int], ...] = ()
    defaults: ClassVar[Mapping[str, int]] = DEFAULTS
    limits: ClassVar[Mapping[str, int]] = MappingProxyType(
        {term.about.name: term.about.limit for term in TERMS}
    )
    unit: ClassVar[str] = "ms"

    def __post_init__(self) -> None:
        for name, value in self.changed:
            if name not in self.defaults:
                raise WeightError(
                    f"there is no weight named {name!r}; the names are {', '.join(self.defaults)}"
                )
            if isinstance(value, bool) or not isinstance(value, int):
                raise WeightError(
                    f"the weight {name} must be a whole number of {self.unit}, not {value!r}"
                )
            if not 0 <= value <= self.limits[name]:
                raise WeightError(
                    f"the weight {name} must lie between 0 and {self.limits[name]}, not {value}"
                )

    @classmethod
    def of(cls, values: Mapping[str, int]) -> Self:
        """Weights from a mapping of names to ms; names left out keep their defaults."""
        unknown = [(name, value) for name, value in values.items() if name not in cls.defaults]
        known = [
            (name, values[name])
            for name, default in cls.defaults.items()
            if name in values and (values[name] != default or type(values[name]) is not int)
        ]
        return cls(tuple(unknown + known))

    @classmethod
    def from_file(cls, path: Path) -> Self:
        """Weights from a TOML file of lines such as ``high-bass = 20``."""
        try:
            text = path.read_text(encoding="utf-8-sig")
        except OSError as error:
            raise WeightError(f"{path}: the file cannot be read ({error.strerror})") from None
        except UnicodeDecodeError:
            raise WeightError(f"{path}: the file is no text; save it as UTF-8") from None
        try:
            values = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise WeightError(unreadable(str(path), text, error)) from None
        except RecursionError:
            raise WeightError(f"{path}: the file nests too deep") from None
        try:
            return cls.of(values)
        except WeightError as error:
            raise WeightError(f"{path}: {error}") from None

    def updated(self, values: Mapping[str, int]) -> Self:
        return self.of({**dict(self.changed), **values})

    @cached_property
    def _table(self) -> dict[str, int]:
        return {**self.defaults, **dict(self.changed)}

    def __getitem__(self, name: str) -> int:
        return self._table[name]

    def items(self) -> tuple[tuple[str, int], ...]:
        """Every weight, in the terms' order."""
        return tuple(self._table.items())
