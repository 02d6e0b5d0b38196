"""What is finished of a book, in one file in its folder that can be deleted at any moment.

A line of JSON for each finished tune: under which key, its entry, and its files with the sums of
their bytes. A line is added when the files are in their places, so that a run that is killed leaves
whole lines, and perhaps a torn one, which is passed over. Nothing is believed of files that are not
what the line says. When the book is done the file is written anew, in the book's order.

Public: State, Record, STATE.
"""

import hashlib
import json
import os
import re
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from undersong.book.entry import Entry, as_plain, entry_of
from undersong.book.one_tune import PARTS, Kept, Told
from undersong.sheet.errors import SheetError
from undersong.sheet.write import put_file

STATE = "finished.jsonl"
_TORN = re.compile(r"\..*\.[0-9a-f]{12}\.part")
"""What ``put_file`` calls a file that is not whole yet."""


@dataclass(frozen=True)
class Asking:
    """key: of one asking; parts, failures: how many of the entry's came of it; timed as in
    ``Told``."""

    name: str
    key: str
    parts: int
    failures: int
    timed: bool


@dataclass(frozen=True)
class Record:
    """key: of the whole tune; entry: its number is 1; asked: by asking, in the entry's order;
    files: name relative to the folder → the sum of its bytes."""

    key: str
    entry: Entry
    asked: tuple[Asking, ...]
    files: Mapping[str, str]


def sum_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


class State:
    """The finished tunes of the book in ``folder``, which is there."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.path = folder, folder / STATE
        self._by_tune: dict[str, Record] = {}
        self._by_asking: dict[str, Record] = {}
        self._sums: dict[str, str] = {}
        self._torn = False
        for record in self._read():
            self._know(record)

    def find(self, keys: Iterable[str]) -> Record | None:
        """What is kept under one of the keys, its files whole."""
        for key in keys:
            record = self._by_tune.get(key)
            if record is not None and all(map(self._whole, record.files.items())):
                return record
        return None

    def kept(self, name: str, keys: Iterable[str]) -> Kept | None:
        """What is kept of one asking under one of the keys; name: the asking's."""
        for key in keys:
            record = self._by_asking.get(key)
            if record is None:
                continue
            told = _told(record, name)
            files = [(part.file, record.files.get(part.file, "")) for part in told.parts]
            if all(map(self._whole, files)):
                documents = tuple((self.folder / file).read_bytes() for file, _ in files)
                return Kept(told, documents)
        return None

    def add(self, record: Record, files: Mapping[str, bytes]) -> None:
        """Puts the files in their places, then down that they are there; SheetError, one sentence,
        where the disk has no room."""
        self.put(files)
        line = ("\n" if self._torn else "") + _line(record)
        try:
            with self.path.open("a", encoding="utf-8") as file:
                file.write(line)
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            self._torn = True
            raise SheetError(
                f"{self.path}: the file cannot be written ({error.strerror or error}); what was "
                "finished before is kept"
            ) from None
        self._torn = False
        self._know(record)

    def put(self, files: Mapping[str, bytes]) -> None:
        """Puts the files in their places; SheetError, one sentence, where that cannot be."""
        for name, content in files.items():
            place = self.folder / name
            _make(place.parent)
            put_file(place, content)
            self._sums[name] = sum_of(content)

    def settle(self, records: Sequence[Record], used: Iterable[str]) -> int:
        """Writes the file anew with these alone, and takes away files of ours that nothing uses any
        more and nobody has changed since; how many. used: files besides those of the records."""
        wanted = {name for record in records for name in record.files} | set(used)
        idle: dict[str, set[str]] = {}
        for record in self._by_tune.values():
            for name, told in record.files.items():
                if name not in wanted:
                    idle.setdefault(name, set()).add(told)
        put_file(self.path, "".join(map(_line, records)).encode())
        gone = 0
        for name, sums in idle.items():
            if self._sum(name) in sums:
                with suppress(OSError):
                    (self.folder / name).unlink()
                    gone += 1
        return gone

    def sweep(self) -> None:
        """Takes away what a killed run left half written."""
        for folder in (self.folder, self.folder / PARTS):
            if folder.is_dir():
                for path in folder.iterdir():
                    if _TORN.fullmatch(path.name):
                        with suppress(OSError):
                            path.unlink()

    def _know(self, record: Record) -> None:
        self._by_tune[record.key] = record
        for asked in record.asked:
            self._by_asking[asked.key] = record

    def _whole(self, file: tuple[str, str]) -> bool:
        return self._sum(file[0]) == file[1]

    def _sum(self, name: str) -> str:
        """Of the file's bytes as they are; nothing where there is none that can be read."""
        if name not in self._sums:
            try:
                self._sums[name] = sum_of((self.folder / name).read_bytes())
            except OSError:
                self._sums[name] = ""
        return self._sums[name]

    def _read(self) -> list[Record]:
        try:
            content = self.path.read_bytes()
        except OSError:
            return []
        self._torn = bool(content) and not content.endswith(b"\n")
        found = []
        for line in content.split(b"\n"):
            with suppress(ValueError, KeyError, TypeError):  # torn, or of another version
                found.append(_record(json.loads(line)))
        return found


def _make(folder: Path) -> None:
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise SheetError(f"{folder}: the folder cannot be made ({error.strerror})") from None


def _told(record: Record, name: str) -> Told:
    parts = failures = 0
    for asked in record.asked:
        if asked.name == name:
            return Told(
                name,
                record.entry.parts[parts : parts + asked.parts],
                record.entry.failures[failures : failures + asked.failures],
                asked.timed,
            )
        parts, failures = parts + asked.parts, failures + asked.failures
    raise KeyError(name)


def _line(record: Record) -> str:
    plain = {
        "key": record.key,
        "entry": as_plain(record.entry),
        "asked": [vars(asked) for asked in record.asked],
        "files": dict(record.files),
    }
    return json.dumps(plain, separators=(",", ":")) + "\n"


def _record(plain: Mapping[str, object]) -> Record:
    entry, asked, files = plain["entry"], plain["asked"], plain["files"]
    if not isinstance(entry, dict) or not isinstance(asked, list) or not isinstance(files, dict):
        raise TypeError("no record")
    return Record(
        str(plain["key"]), entry_of(entry), tuple(Asking(**each) for each in asked), dict(files)
    )
