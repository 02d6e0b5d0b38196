"""Writing an arrangement: to standard output, or to a file whose suffix says what it holds.

A file is written beside its place and moved there when it is whole, so that whatever fails (a full
disk, Ctrl-C) leaves the old file as it was. A new sheet is one new file with a function, and one
row of ``FORMATS``; sheets are imported where they are used.

Public: write, content_of, put_file, put_stream, is_protected, PROTECTED, FORMATS, Format.
"""

import os
import secrets
import stat
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, BinaryIO

from undersong.sheet.errors import SheetError
from undersong.sheet.options import SheetOptions

if TYPE_CHECKING:
    from solver.result import Arrangement


@dataclass(frozen=True)
class Format:
    """One kind of sheet.

    meaning: one line; function takes (arrangement, options) and gives the file's bytes; writer: of
    the module, takes (arrangement, path) and writes the file bit by bit, for what may be large.
    """

    meaning: str
    module: str
    function: str
    writer: str = ""


_SOUND = "write_sound"

FORMATS: MappingProxyType[str, Format] = MappingProxyType(
    {
        ".txt": Format("a page of text to play from", "undersong.sheet.text", "text_bytes"),
        ".pdf": Format("staff and tab on paper", "undersong.sheet.engraved", "pdf_bytes"),
        ".svg": Format("staff and tab as a drawing", "undersong.sheet.engraved", "svg_bytes"),
        ".json": Format("everything, for programs", "undersong.sheet.document", "json_bytes"),
        ".musicxml": Format(
            "a staff and tab, for notation programs", "undersong.sheet.musicxml", "musicxml_bytes"
        ),
        ".csv": Format("a table of moments, to count in", "undersong.sheet.table", "table_bytes"),
        ".wav": Format("sound, uncompressed", "undersong.sound.sheets", "wav_bytes", _SOUND),
        ".flac": Format(
            "sound, compressed without loss", "undersong.sound.sheets", "flac_bytes", _SOUND
        ),
        ".mp3": Format("sound, small", "undersong.sound.sheets", "mp3_bytes", _SOUND),
        ".ogg": Format(
            "sound, small, an open format", "undersong.sound.sheets", "ogg_bytes", _SOUND
        ),
        ".mid": Format("MIDI, a track a string", "undersong.sound.sheets", "midi_bytes"),
    }
)
"""Suffix → what is written."""

STANDARD_OUTPUT = "-"
_ON_STANDARD_OUTPUT = ".txt"


def write(
    arrangement: "Arrangement",
    target: str | Path,
    options: SheetOptions | None = None,
    *,
    stream: BinaryIO | None = None,
) -> None:
    """Writes the arrangement to a file, or as text to standard output for ``-``.

    options: how sheets are printed; stream: what stands for standard output. Raises SheetError,
    one sentence, for a suffix that is no sheet's and for what cannot be written; a reader of
    standard output that has gone away raises BrokenPipeError.
    """
    options = options or SheetOptions()
    if str(target) == STANDARD_OUTPUT:
        content = content_of(arrangement, _ON_STANDARD_OUTPUT, options)
        try:
            sys.stdout.flush()
            out = stream or sys.stdout.buffer
            out.write(content)
            out.flush()
        except BrokenPipeError:
            raise
        except OSError as error:
            raise SheetError(
                f"standard output cannot be written ({error.strerror or error})"
            ) from None
        return
    path = Path(target)
    kind = FORMATS[_suffix(path)]
    if kind.writer:
        getattr(import_module(kind.module), kind.writer)(arrangement, path)
    else:
        put_file(path, content_of(arrangement, _suffix(path), options))


def put_file(path: Path, content: bytes) -> None:
    """Puts the content in the file's place, all or nothing; SheetError where it cannot be."""
    put_stream(path, lambda file: file.write(content))


def put_stream(path: Path, fill: Callable[[BinaryIO], object]) -> None:
    """The same for what is written bit by bit; fill: writes it into the file that it is given,
    which it may read and seek in too."""
    try:
        _put(path, fill)
    except (OSError, UnicodeError) as error:  # a name that the system has no letters for
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetError(
            f"{path}: the file cannot be written ({reason}); what was there is as it was"
        ) from None


PROTECTED = "it is write-protected; choose another name, or lift the protection first"
"""Why a file is not replaced that ``is_protected``."""


def is_protected(path: Path) -> bool:
    """Whether there is a file whose permissions let nobody write, or not this player: replacing it
    would get round them, since that asks for the folder's alone. The system's own answer is not
    enough, since to its administrator it says that everything may be written."""
    if not path.exists():
        return False
    nobody = not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)
    return nobody or not os.access(path, os.W_OK)


def _suffix(path: Path) -> str:
    suffix = path.suffix.lower()
    if suffix not in FORMATS:
        known = ", ".join(f"{name} ({kind.meaning})" for name, kind in FORMATS.items())
        raise SheetError(
            f"{path}: the suffix of a file says what to write into it; end the name in {known}"
        )
    return suffix


def content_of(arrangement: "Arrangement", suffix: str, options: SheetOptions) -> bytes:
    """The bytes of a file of that suffix, a key of ``FORMATS``."""
    kind = FORMATS[suffix]
    made: bytes = getattr(import_module(kind.module), kind.function)(arrangement, options)
    return made


def _put(path: Path, fill: Callable[[BinaryIO], object]) -> None:
    """Fills the file's place, all or nothing. A link is followed; a file that was there keeps its
    permissions, and where they forbid writing, its content."""
    if "\0" in str(path):
        raise OSError(0, "no name holds a null byte")
    try:
        path = path.resolve()
    except RuntimeError:
        raise OSError(0, "it is a link that leads back to itself") from None
    if path.exists() and not path.is_file():
        raise OSError(0, "it is a folder or a device")
    if is_protected(path):
        raise OSError(0, PROTECTED)
    beside = path.with_name(f".{path.name[:80]}.{secrets.token_hex(6)}.part")
    try:
        with beside.open("x+b") as file:
            fill(file)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            beside.chmod(path.stat().st_mode & 0o7777)
        beside.replace(path)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
