"""What is asked of the whole tune, from a player's words: a TOML file's or the command line's.

The keys are the same in both: ``alike``, ``alike-price``, ``shapes``, ``known``, ``known-price``,
``at-most``, ``at-least``, ``pin``, ``forbid``, ``costliest``. ``undersong conditions`` prints what
each takes. In a file frets are counted from the nut.

Public: KEYS, Wishes, read_wishes, wishes_of, beside.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from fretboard.instrument import Instrument
from fretboard.reading import Table, read_toml
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, LearnedShape, known_shapes
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.conditions.wording import looks_like_shape
from solver.errors import ConditionError

KEYS = (
    "alike", "alike-price", "shapes", "known", "known-price",
    "at-most", "at-least", "pin", "forbid", "costliest",
)  # fmt: skip
"""Everything that can be asked, by the word for it."""

SUFFIX = ".conditions.toml"

Value = TypeVar("Value")


@dataclass(frozen=True)
class Wishes:
    """What one file or one command line asks; None or nothing where it says nothing. Prices: ms."""

    alike: str | None = None
    alike_price: int | None = None
    shapes: int | None = None
    known: tuple[LearnedShape, ...] | None = None
    known_price: int | None = None
    quotas: tuple[Quota, ...] = ()
    pins: tuple[Pin, ...] = ()
    costliest: Costliest | None = None

    def over(self, other: "Wishes") -> "Wishes":
        """Both together: what can be asked but once is asked as here, quotas and pins add up."""
        return Wishes(
            alike=_first(self.alike, other.alike),
            alike_price=_first(self.alike_price, other.alike_price),
            shapes=_first(self.shapes, other.shapes),
            known=_first(self.known, other.known),
            known_price=_first(self.known_price, other.known_price),
            quotas=tuple(dict.fromkeys(other.quotas + self.quotas)),
            pins=tuple(dict.fromkeys(other.pins + self.pins)),
            costliest=_first(self.costliest, other.costliest),
        )

    def conditions(self) -> Conditions:
        """Raises ConditionError for wishes that do not make sense together."""
        if self.alike is None and self.alike_price is not None:
            raise ConditionError("alike-price needs alike: say what is to be played alike")
        if self.known is None and self.known_price is not None:
            raise ConditionError("known-price needs known: say which shapes the class knows")
        shapes = None
        if self.shapes is not None or self.known is not None:
            shapes = FewShapes(self.shapes, self.known, self.known_price)
        return Conditions(
            alike=None if self.alike is None else Alike(self.alike, self.alike_price),
            shapes=shapes,
            quotas=self.quotas,
            pins=self.pins,
            costliest=self.costliest,
        )


def _first(mine: Value | None, theirs: Value | None) -> Value | None:
    return theirs if mine is None else mine


def beside(tune: str) -> Path | None:
    """The conditions that lie beside a tune's file: ``harrow-lane.conditions.toml`` for
    ``harrow-lane.abc``; None where there are none, or the tune is no file."""
    import corpus

    if tune == "-" or tune in corpus.names():
        return None
    try:
        path = Path(tune)
        conditions = path.with_name(path.stem + SUFFIX)
        return conditions if path.is_file() and conditions.is_file() else None
    except (OSError, ValueError):
        return None


def read_wishes(path: Path, shown: str, instrument: Instrument) -> Wishes:
    """The wishes in a TOML file; ``shown`` is how messages call it.

    Raises ConditionError or FretboardError: one sentence with the file and the key.
    """
    table = read_toml(path, shown, *KEYS)
    return wishes_of(table, instrument, lambda key: f"{shown}: {key}", folder=path.parent)


def wishes_of(
    table: Table,
    instrument: Instrument,
    called: Callable[[str], str],
    *,
    from_capo: bool = False,
    folder: Path | None = None,
) -> Wishes:
    """The wishes that stand in a table under ``KEYS``.

    called: how complaints name a key; from_capo: frets are counted from the capo, not the nut;
    folder: where a file of known shapes is looked for. Raises ConditionError or FretboardError.
    """
    given = table.values

    @contextmanager
    def naming(key: str) -> Iterator[None]:
        try:
            yield
        except ConditionError as error:
            raise ConditionError(f"{called(key)}: {error}") from None

    def whole(key: str) -> int | None:
        return table.whole(key, 0) if key in given else None

    alike = table.text("alike", "") if "alike" in given else None
    with naming("alike"):
        Alike() if alike is None else Alike(alike)
    with naming("alike-price"):
        Alike(price=whole("alike-price"))
    with naming("shapes"):
        FewShapes(whole("shapes"), ())
    with naming("known"):
        known = _known(table, instrument, from_capo, folder) if "known" in given else None
    with naming("known-price"):
        FewShapes(None, (), whole("known-price"))
    quotas: list[Quota] = []
    for key, most in (("at-most", True), ("at-least", False)):
        with naming(key):
            quotas += [Quota.parse(text, most) for text in table.texts(key)]
    pins: list[Pin] = []
    for key, forbid in (("pin", False), ("forbid", True)):
        with naming(key):
            for text in table.texts(key):
                pins += Pin.parse(text, forbid, instrument, from_capo)
    costliest = None
    if "costliest" in given:
        with naming("costliest"):
            value = given["costliest"]
            if not isinstance(value, str | int) or isinstance(value, bool):
                raise table.error("costliest", '"first" or a whole number')
            costliest = Costliest.parse(str(value))
    return Wishes(
        alike, whole("alike-price"), whole("shapes"), known, whole("known-price"),
        tuple(quotas), tuple(pins), costliest,
    )  # fmt: skip


def _known(
    table: Table, instrument: Instrument, from_capo: bool, folder: Path | None
) -> tuple[LearnedShape, ...]:
    """Shapes written out, or a file of them, one a line."""
    value = table.values["known"]
    if isinstance(value, str) and value.strip() and not looks_like_shape(value.split(",")[0]):
        shapes = known_shapes(_text_of(value, folder), instrument, from_capo)
    else:
        texts = table.texts("known")
        shapes = tuple(s for text in texts for s in known_shapes(text, instrument, from_capo))
    if not shapes:
        raise ConditionError("no shape is written there; write such as 3-1-0 TI, one a line")
    return tuple(dict.fromkeys(shapes))


def _text_of(name: str, folder: Path | None) -> str:
    """What stands in a file of shapes."""
    mend = "write shapes such as '3-1-0 TI, 4-2-1', or name a file with one a line"
    try:
        return (folder or Path()).joinpath(name).read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise ConditionError(f"{name!r} is no shape, and no file is called so; {mend}") from None
    except UnicodeDecodeError:
        raise ConditionError(f"{name!r}: the file is no text; save it as UTF-8") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "no file can have that name"
        raise ConditionError(f"{name!r} cannot be read ({why}); {mend}") from None
