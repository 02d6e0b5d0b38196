"""What may be asked of the whole tune: the options for it, and ``undersong conditions``, the page
that says how to write them.

Public: condition_options, ConditionsAsked, conditions_of, wishes_asked, command.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from undersong.cli.endings import Refused, naming, say
from undersong.cli.handed_in import answer_in
from undersong.cli.kinds import whole

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from solver.conditions import Conditions
    from solver.conditions.pins import Pin
    from tune.tune import Tune
    from undersong.conditions_file import Wishes

IGNORED = "none"

_OPTIONS = (
    click.option(
        "--alike",
        metavar="WHAT",
        help="Play alike what comes again: repeats, sections or bars.",
    ),
    click.option(
        "--alike-price",
        metavar="MS",
        callback=whole(0, 1_000_000, "ms"),
        help="Allow bars that differ, at that price each.",
    ),
    click.option(
        "--shapes",
        metavar="N",
        callback=whole(0, 1_000, "shapes"),
        help="At most so many different shapes.",
    ),
    click.option(
        "--known",
        metavar="TEXT|FILE",
        help="Only shapes that the class knows: '3-1-0 TI, 4-2-1', or a file, one a line.",
    ),
    click.option(
        "--known-price",
        metavar="MS",
        callback=whole(0, 1_000_000, "ms"),
        help="Allow other shapes, at that price each.",
    ),
    click.option(
        "--at-most",
        metavar="TEXT",
        multiple=True,
        help="Such as '2 shifts, B', '1 barred, bars 9-16', '2 hard above 80'; again for more.",
    ),
    click.option("--at-least", metavar="TEXT", multiple=True, help="Such as '3 passing'."),
    click.option(
        "--pin",
        metavar="'BARS: WHAT'",
        multiple=True,
        help="Fix it: '5: 3-1-0', 'B: manner walking', '5-8 beat 3: bass 3'; again for more.",
    ),
    click.option(
        "--keep",
        metavar="FILE:BARS",
        multiple=True,
        help="Leave bars as they are in an earlier answer: 'harrow-lane.json:5-8'; again for more.",
    ),
    click.option(
        "--forbid",
        metavar="'BARS: WHAT'",
        multiple=True,
        help="Such as 'all: finger P', '9-12: barred', 'A: 4-2-1'; again for more.",
    ),
    click.option(
        "--costliest",
        metavar="first|N",
        help="Bring down the moment with the most ms of work first, or count it N times besides.",
    ),
    click.option(
        "--conditions",
        metavar="FILE|none",
        help="A TOML file of all these, else TUNE.conditions.toml beside the tune if it is there. "
        "'undersong conditions' shows how to write it.",
    ),
)

Function = TypeVar("Function", bound=Callable[..., Any])


@dataclass(frozen=True)
class ConditionsAsked:
    """The options by their names; None or nothing where the player said nothing."""

    alike: str | None
    alike_price: int | None
    shapes: int | None
    known: str | None
    known_price: int | None
    at_most: tuple[str, ...]
    at_least: tuple[str, ...]
    pin: tuple[str, ...]
    keep: tuple[str, ...]
    forbid: tuple[str, ...]
    costliest: str | None
    conditions: str | None

    @classmethod
    def taken_from(cls, options: dict[str, Any]) -> ConditionsAsked:
        """These options, taken out of a command's."""
        return cls(**{field.name: options.pop(field.name) for field in fields(cls)})


def condition_options(function: Function) -> Function:
    """Gives a click command the options for conditions."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def conditions_of(
    asked: ConditionsAsked,
    tune: str,
    instrument: Instrument,
    from_capo: bool = False,
    music: Tune | None = None,
    beside: Wishes | None = None,
) -> Conditions:
    """The conditions: the file's, changed by the options.

    tune: as the player named it, for the file beside it; from_capo: frets in options are counted
    from the capo; music: the tune itself, which bars that are kept must be of; beside: what the
    file beside it asks, where that was read already. Says on stderr when a file beside the tune is
    read here. Raises Refused, or the rooms' own errors, one sentence each.
    """
    if asked.conditions is not None or beside is None:
        beside = _from_file(asked.conditions, tune, instrument)
    wishes = wishes_asked(asked, instrument, from_capo).over(beside)
    with naming("conditions"):
        conditions = wishes.conditions()
    kept = tuple(pin for text in asked.keep for pin in _kept(text, music))
    return replace(conditions, pins=(*conditions.pins, *kept)) if kept else conditions


def wishes_asked(asked: ConditionsAsked, instrument: Instrument, from_capo: bool = False) -> Wishes:
    """What the options say, no file looked at. Raises the rooms' own errors, one sentence each."""
    from fretboard.reading import Table
    from undersong.conditions_file import KEYS, wishes_of

    given = {key: getattr(asked, key.replace("-", "_")) for key in KEYS}
    values = {
        key: list(value) if isinstance(value, tuple) else value
        for key, value in given.items()
        if value not in (None, ())
    }
    return wishes_of(
        Table("", values, KEYS), instrument, lambda key: f"--{key}", from_capo=from_capo
    )


def _kept(text: str, music: Tune | None) -> tuple[Pin, ...]:
    """Pins that leave bars as they are in a file that was written with ``--to FILE.json``."""
    from solver.conditions.bars import Bars
    from solver.conditions.pins import kept_bars
    from undersong.compare.same_tune import strange_bars

    name, colon, bars = text.rpartition(":")
    if not colon or not name.strip():
        raise Refused(f"--keep {text}: write a JSON file and bars, such as 'harrow-lane.json:5-8'")
    kept = answer_in(name, "--keep")
    with naming(f"--keep {name.strip()}"):
        wanted = Bars.parse(bars)
        if music is not None and strange_bars(kept.tune, music, wanted.of(kept.tune)):
            raise Refused(
                f"--keep {name.strip()}: this is an answer to {kept.tune.title!r}, and the tune "
                f"here is {music.title!r}; name a file that was written for this tune"
            )
        return kept_bars(kept, wanted)


def _from_file(name: str | None, tune: str, instrument: Instrument) -> Wishes:
    from undersong.conditions_file import Wishes, beside, read_wishes

    if name == IGNORED:
        return Wishes()
    if name is not None:
        with naming("--conditions"):
            return read_wishes(Path(name), name, instrument)
    found = beside(tune)
    if found is None:
        return Wishes()
    wishes = read_wishes(found, str(found), instrument)
    say(f"note: with the conditions in {found}; --conditions none leaves them out")
    return wishes


@click.command("conditions")
def command() -> None:
    """Show how to ask for repeats alike, few shapes, limits and pins, on one page."""
    from importlib.resources import files

    click.echo(files("undersong").joinpath("conditions.md").read_text(encoding="utf-8").rstrip())
