"""Many tunes named at once: files, bundled tunes, whole folders, ABC files with many tunes.

Public: named_tunes, Named.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import corpus
from fretboard.instrument import Instrument
from tune.errors import Place, TuneError
from tune.tune import Tune
from undersong.api import read_tune
from undersong.book.gathering import NoTunes, gathered
from undersong.conditions_file import Wishes


@dataclass(frozen=True)
class Named:
    """One tune among many. shown: what it is called until it is read; read: gives it, or raises
    TuneError; source: the file or bundled name, beside which a file of conditions may lie; wishes:
    what that file asks, where it was read already."""

    shown: str
    read: Callable[[], Tune]
    source: str
    wishes: Wishes | None = None


def named_tunes(
    names: Iterable[str],
    choose: str | None,
    form: str | None,
    instrument: Instrument,
    conditions: bool = True,
) -> tuple[Named, ...]:
    """Every tune that the names mean, in their order, a name that stands twice meant once.

    A folder means the tunes in it and in its folders; an ABC file of which none is chosen means all
    its tunes; instrument: for the frets in files of conditions; conditions: whether those beside
    tunes hold. Raises TuneError for a folder without tunes, and for a name that means nothing.
    """
    found: list[Named] = []
    for name in dict.fromkeys(names):
        found += _meant(name, choose, form, instrument, conditions)
    return tuple(found)


def _meant(
    name: str, choose: str | None, form: str | None, instrument: Instrument, conditions: bool
) -> Iterator[Named]:
    there = name != "-" and name not in corpus.names() and _is_there(name)
    is_abc = form is None and choose is None and there and name.lower().endswith(".abc")
    if there and choose is not None and Path(name).is_dir():
        raise TuneError(
            "a folder has no tune to choose by number or title; name a file", Place(name)
        )
    if there and (is_abc or Path(name).is_dir()):
        try:
            found = gathered(name, instrument, conditions, out=Path(name))
        except NoTunes as error:
            raise TuneError(str(error).removeprefix(f"{name}: "), Place(name)) from None
        if found.sources[1:] or not is_abc:
            for source in found.sources:
                yield Named(source.shown, source.read, name, source.wishes or Wishes())
            return
    if name != "-" and not there:
        read_tune(name, choose, form)  # a bundled one, or it says what is wrong with the name
    shown = name if choose is None else f"{name}, {choose}"
    yield Named(shown, partial(read_tune, name, choose, form), name)


def _is_there(name: str) -> bool:
    try:
        return Path(name).exists()
    except (OSError, ValueError):
        return False
