"""Many tunes named at once: files, bundled tunes, whole folders, ABC files with many tunes.

Public: named_tunes, Named.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tune.errors import Place, TuneError


@dataclass(frozen=True)
class Named:
    """One tune among many. source: what ``read_tune`` takes; choose: which tune of the file, None
    where it holds one."""

    source: str
    choose: str | None = None

    def __str__(self) -> str:
        return self.source if self.choose is None else f"{self.source}, {self.choose}"


def named_tunes(names: Iterable[str], choose: str | None, form: str | None) -> tuple[Named, ...]:
    """Every tune that the names mean, each once, in their order.

    A folder means the tunes' files in it, by name; an ABC file of which none is chosen means all
    its tunes. Raises TuneError for a folder without tunes and for a file that cannot be read.
    """
    found: dict[Named, None] = {}
    for name in names:
        for one in _meant(name, choose, form):
            found[one] = None
    return tuple(found)


def _meant(name: str, choose: str | None, form: str | None) -> Iterator[Named]:
    if name != "-" and _is_folder(name):
        files = sorted(file for file in Path(name).iterdir() if _is_a_tune(file))
        if not files:
            raise TuneError("there is no tune's file in this folder", Place(name))
        for file in files:
            yield from _in_file(str(file), None, form)
        return
    if name != "-" and not _is_there(name):
        from undersong.api import read_tune

        read_tune(name, choose, form)  # a bundled one, or it says what is wrong with the name
    yield from _in_file(name, choose, form)


def _in_file(name: str, choose: str | None, form: str | None) -> Iterator[Named]:
    from tune.readers.abc import abc_tunes
    from tune.readers.source import as_text, read_bytes

    is_abc = form == "abc" or (form is None and name.lower().endswith(".abc"))
    if choose is not None or name == "-" or not is_abc or not _is_there(name):
        yield Named(name, choose)
        return
    tunes = abc_tunes(as_text(read_bytes(name), name)[0])
    if len(tunes) == 1:
        yield Named(name)
        return
    numbers = [number for number, _ in tunes]
    for number, title in tunes:
        yield Named(name, number if number and numbers.count(number) == 1 else title)


def _is_folder(name: str) -> bool:
    try:
        return Path(name).is_dir()
    except (OSError, ValueError):
        return False


def _is_there(name: str) -> bool:
    try:
        return Path(name).is_file()
    except (OSError, ValueError):
        return False


def _is_a_tune(file: Path) -> bool:
    from tune.readers import FORMS

    suffixes = {suffix for form in FORMS.values() for suffix in form.suffixes}
    return file.suffix.lower() in suffixes and not file.name.startswith(".") and file.is_file()
