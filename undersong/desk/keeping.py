"""Works kept in the player's own data folder, so that nothing is lost when page or desk ends.

A kept file is written whole or not at all. While she goes on with a tune, its newest file is
written over for ten minutes, then a new one begun; so there is an earlier one to go back to.

Public: Keeping, Kept, saved_in, saved_out, usual_folder, FORMAT.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any

from undersong.desk.refused import Refusal
from undersong.desk.settings import read_source
from undersong.desk.work import Source, Work, work_in, work_out
from undersong.file_names import plain_name
from undersong.sheet.errors import SheetError
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_node import Node, parse
from undersong.sheet.write import put_file

FORMAT = "undersong desk"
VERSION = 1
MOST_KEPT = 60
FRESH = timedelta(minutes=10)
_NAME = re.compile(r"(\d{8}-\d{6})-([a-z0-9-]{1,40})")


@dataclass(frozen=True)
class Kept:
    """One kept work. when: local time at which its file was begun."""

    name: str
    when: datetime

    @property
    def slug(self) -> str:
        return self.name[16:]

    @property
    def guess(self) -> str:
        """What the tune is called, as far as a file's name says it."""
        return self.slug.replace("-", " ").capitalize()


def usual_folder() -> Path:
    """Where a player's kept works lie on this system."""
    from platformdirs import user_data_path

    return user_data_path("undersong", appauthor=False) / "desk"


def saved_in(node: Node) -> tuple[Work, str | None]:
    """The work and the answer's document in a saved file; SheetError for what is none."""
    node.object("format", "version", "work", "answer")
    if node["format"].value != FORMAT or node["version"].value != VERSION:
        node.fail(f'this is no file of the desk: it does not say "format": "{FORMAT}"')
    return work_in(node["work"]), node["answer"].maybe(Node.text)


def saved_out(work: Work, answer: str | None) -> dict[str, Any]:
    return {"format": FORMAT, "version": VERSION, "work": work_out(work), "answer": answer}


class Keeping:
    """folder: made when it is first written to; now: the clock."""

    def __init__(self, folder: Path, now: Callable[[], datetime] = datetime.now) -> None:
        self.folder = folder
        self._now = now

    def kept(self) -> tuple[Kept, ...]:
        """The newest first; of two that were begun in one second the one that was written last."""
        names = [path.stem for path in self.folder.glob("*.json")] if self.folder.is_dir() else []
        found = [Kept(name, when) for name in names if (when := _when(name)) is not None]

        def order(one: Kept) -> tuple[datetime, int, str]:
            return one.when, self._written(one), one.name

        return tuple(sorted(found, key=order, reverse=True))

    def _written(self, kept: Kept) -> int:
        try:
            return (self.folder / f"{kept.name}.json").stat().st_mtime_ns
        except OSError:  # taken away meanwhile
            return 0

    def keep(self, work: Work, answer: str | None) -> str:
        """Writes it, and gives its name. Refusal where it cannot be written."""
        now, slug = self._now(), _slug(work)
        name = f"{now:%Y%m%d-%H%M%S}-{slug}"
        before = next(iter(self.kept()), None)
        if before is not None and before.slug == slug and now - before.when < FRESH:
            name = before.name
        self._make()
        content = laid_out(saved_out(work, answer)) + "\n"
        try:
            put_file(self.folder / f"{name}.json", content.encode())
        except SheetError as error:
            raise Refusal(f"your work cannot be kept: {error}") from None
        for old in self.kept()[MOST_KEPT:]:
            (self.folder / f"{old.name}.json").unlink(missing_ok=True)
        return name

    def trouble(self) -> str:
        """Why nothing can be kept there, one sentence; nothing where it can be. Tried by writing,
        since what a folder allows is not always what it says."""
        try:
            self._make()
            with TemporaryFile(dir=self.folder):
                return ""
        except Refusal as refused:
            return refused.sentence
        except OSError as error:
            return self._cannot(error)

    def _make(self) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as error:
            raise Refusal(self._cannot(error)) from None

    def _cannot(self, error: OSError) -> str:
        return f"your work cannot be kept: {error.strerror} ({self.folder})"

    def open(self, name: str) -> tuple[Work, str | None]:
        """What was kept under that name, which must be one of the list."""
        if name not in {one.name for one in self.kept()}:
            raise Refusal("no work is kept under that name; choose one of the list", status=404)
        return self._read(name)

    def title(self, kept: Kept) -> str:
        """What the tune is called; a guess where the file cannot be read any more."""
        try:
            work, _ = self._read(kept.name)
            return _title_of(work.tune, work.choose)
        except ValueError:
            return kept.guess

    def _read(self, name: str) -> tuple[Work, str | None]:
        try:
            text = (self.folder / f"{name}.json").read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            raise Refusal("that work cannot be read any more; choose another") from None
        return saved_in(parse(text, "the kept work"))


@lru_cache(maxsize=4 * MOST_KEPT)
def _title_of(source: Source, choose: str | None) -> str:
    return read_source(source, choose).title


def _when(name: str) -> datetime | None:
    """When a kept file of that name was begun; None for a name that is not ours."""
    match = _NAME.fullmatch(name)
    if match is None:
        return None
    try:
        return datetime.strptime(match[1], "%Y%m%d-%H%M%S")
    except ValueError:
        return None


def _slug(work: Work) -> str:
    """A few plain letters of what the tune is called, for the file's name."""
    source = work.tune
    name = source.bundled or Path(source.name).stem or _title(source)
    return plain_name(name, 40)


def _title(source: Source) -> str:
    """What a chart, or the tune of an answer, says that it is called."""
    if source.written:
        try:
            return _title_of(source, None)
        except ValueError:
            return ""
    match = re.search(r"(?im)^\s*title\s*:\s*(.+)$", source.chart)
    return match[1] if match else ""
