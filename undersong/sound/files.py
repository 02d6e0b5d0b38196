"""Sound files: WAV, FLAC, MP3 and OGG, by their suffix, written block by block.

A file is written beside its place and moved there when it is whole, so whatever fails leaves the
old file as it was. The same music gives the same bytes with the same libraries: none of the four
carries a date here, and the random stream number of an Ogg file is made a fixed one (``ogg``).

Public: write_sound, write_pieces, write_blocks, sound_file, ENCODINGS.
"""

from collections.abc import Iterable
from io import BytesIO, UnsupportedOperation
from pathlib import Path
from types import MappingProxyType
from typing import IO, Any, NamedTuple

from solver.result import Arrangement
from undersong.sheet.errors import SheetError
from undersong.sheet.write import put_stream
from undersong.sound.interrupts import interrupts_held
from undersong.sound.ogg import fix_serial
from undersong.sound.render import Piece, render, render_pieces
from undersong.sound.sound_options import SoundOptions
from undersong.sound.strings import RATE, Samples


class Encoding(NamedTuple):
    """container, encoding: as libsndfile calls them; meaning: one line."""

    container: str
    encoding: str
    meaning: str


ENCODINGS: MappingProxyType[str, Encoding] = MappingProxyType(
    {
        ".wav": Encoding("WAV", "PCM_16", "sound, uncompressed"),
        ".flac": Encoding("FLAC", "PCM_16", "sound, compressed without loss"),
        ".mp3": Encoding("MP3", "MPEG_LAYER_III", "sound, small files"),
        ".ogg": Encoding("OGG", "VORBIS", "sound, small files, an open format"),
    }
)
"""Suffix → what is written."""


def write_sound(
    arrangement: Arrangement, target: str | Path, options: SoundOptions | None = None
) -> None:
    """Writes the arrangement as sound; SheetError, one sentence, for a suffix that is no sound's,
    for what this tune cannot do, and for a file that cannot be written: what was there is as it
    was."""
    path = Path(target)
    encoding = _encoding(path)
    _put(path, render(arrangement, options), encoding)


def write_pieces(arrangement: Arrangement, target: str | Path, pieces: Iterable[Piece]) -> None:
    """Writes passages in turn, each as its own options ask, and rests between, into one file; as
    ``write_sound``."""
    path = Path(target)
    encoding = _encoding(path)
    _put(path, render_pieces(arrangement, pieces), encoding)


def write_blocks(target: str | Path, blocks: Iterable[Samples]) -> None:
    """Writes any blocks of stereo sound; as ``write_sound``."""
    path = Path(target)
    _put(path, blocks, _encoding(path))


def sound_file(blocks: Iterable[Samples], suffix: str) -> bytes:
    """The bytes of a sound file of that kind, held in memory."""
    file = BytesIO()
    _encode(file, blocks, ENCODINGS[suffix])
    return file.getvalue()


def _encoding(path: Path) -> Encoding:
    suffix = path.suffix.lower()
    if suffix not in ENCODINGS:
        raise SheetError(f"{path}: a sound file's name ends in {', '.join(ENCODINGS)}")
    return ENCODINGS[suffix]


def _put(path: Path, blocks: Iterable[Samples], encoding: Encoding) -> None:
    put_stream(path, lambda file: _encode(file, blocks, encoding))


def _encode(file: IO[bytes], blocks: Iterable[Samples], encoding: Encoding) -> None:
    """Into an open file that can be read and sought; OSError where it cannot be written."""
    import soundfile

    place = _Place(file)
    try:
        with (
            interrupts_held() as hand_on,
            soundfile.SoundFile(
                place, "w", RATE, 2, encoding.encoding, format=encoding.container
            ) as sound,
        ):
            for block in blocks:
                sound.write(block)
                place.complain()
                hand_on()
    except (soundfile.LibsndfileError, AssertionError) as error:
        place.complain()
        raise OSError(0, f"the sound library says: {error or 'it could not be written'}") from None
    place.complain()
    if encoding.container == "OGG":
        fix_serial(file)  # type: ignore[arg-type]


class _Place:
    """The file as the library writes it: an error of the system is kept, since what is raised
    inside the library's calls would be printed and forgotten."""

    def __init__(self, file: IO[bytes]) -> None:
        self.file = file
        self.failed: OSError | None = None

    def write(self, content: bytes) -> int:
        try:
            return self.file.write(content)
        except OSError as error:
            self.failed = self.failed or error
            return 0

    def seek(self, *where: Any) -> int:
        try:
            return self.file.seek(*where)
        except OSError as error:
            self.failed = self.failed or error
            return -1

    def tell(self) -> int:
        return self.file.tell()

    def read(self, count: int) -> bytes:
        return self.file.read(count)

    def flush(self) -> None:
        raise UnsupportedOperation

    def complain(self) -> None:
        """Raises what the system said while writing."""
        if self.failed is not None:
            raise self.failed
