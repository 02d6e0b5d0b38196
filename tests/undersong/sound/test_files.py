"""Sound files: read back by the same library, the same bytes each time, whole or not at all."""

import errno
import io
import os
import signal
import subprocess
import sys
import tracemalloc
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

from solver.result import Arrangement
from tests.undersong.arranged import bundled
from tests.undersong.passages import alternating, strummed
from tests.undersong.running import surroundings
from tests.undersong.sound.measuring import played
from undersong.sheet.errors import SheetError
from undersong.sheet.options import SheetOptions
from undersong.sheet.write import FORMATS, content_of, write
from undersong.sound import files
from undersong.sound.files import ENCODINGS, sound_file, write_pieces, write_sound
from undersong.sound.ogg import SERIAL, fix_serial, page_checksum
from undersong.sound.render import Rest, render
from undersong.sound.sound_options import SoundOptions
from undersong.sound.strings import RATE


@pytest.fixture(scope="module")
def arrangement() -> Arrangement:
    return alternating()


@pytest.mark.parametrize("suffix", ENCODINGS)
def test_every_kind_reads_back_as_the_same_music(
    arrangement: Arrangement, tmp_path: Path, suffix: str
) -> None:
    target = tmp_path / f"tune{suffix}"
    write_sound(arrangement, target)
    content, rate = soundfile.read(target)
    wanted = played(arrangement)
    assert rate == RATE
    assert abs(len(content) - len(wanted)) <= (0 if suffix != ".mp3" else 0.06 * RATE)
    if suffix in (".wav", ".flac"):
        assert np.abs(content - wanted).max() < 1.01 / 2**15, "sixteen bits"
    shorter = min(len(content), len(wanted))
    loud = [float(np.sqrt(np.mean(one[:shorter] ** 2))) for one in (content, wanted)]
    assert loud[0] == pytest.approx(loud[1], rel=0.02)


TWICE = """
import hashlib, sys
from tests.undersong.passages import strummed
from undersong.sound.files import ENCODINGS, sound_file
from undersong.sound.render import render
for suffix in ENCODINGS:
    print(hashlib.sha256(sound_file(render(strummed()), suffix)).hexdigest())
"""


def test_the_same_bytes_in_other_processes() -> None:
    runs = [
        subprocess.run(
            [sys.executable, "-c", TWICE],
            capture_output=True, text=True, check=True, env=surroundings(PYTHONHASHSEED=seed),
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert runs[0] == runs[1]
    assert len(set(runs[0].split())) == 4


@pytest.mark.parametrize("suffix", ENCODINGS)
def test_bytes_in_memory_are_those_of_the_file(
    arrangement: Arrangement, tmp_path: Path, suffix: str
) -> None:
    write_sound(arrangement, tmp_path / f"a{suffix}")
    write(arrangement, tmp_path / f"b{suffix}")
    one, other = ((tmp_path / f"{name}{suffix}").read_bytes() for name in "ab")
    assert one == other == content_of(arrangement, suffix, SheetOptions())
    assert suffix in FORMATS


def test_a_sheet_of_sound_is_not_held_in_memory_whole(tmp_path: Path) -> None:
    made = bundled("harrow-lane")
    write(made, tmp_path / "warm.wav")  # what is made once is not counted
    tracemalloc.start()
    write(made, tmp_path / "tune.wav")
    bit_by_bit = tracemalloc.get_traced_memory()[1]
    tracemalloc.reset_peak()
    content = content_of(made, ".wav", SheetOptions())
    whole = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(content) > 10_000_000
    assert whole - bit_by_bit > 0.7 * len(content)


def pages(content: bytes) -> list[bytes]:
    """The pages of an Ogg file, by RFC 3533, section 6."""
    found, at = [], 0
    while at < len(content):
        assert content[at : at + 4] == b"OggS"
        segments = content[at + 26]
        size = 27 + segments + sum(content[at + 27 : at + 27 + segments])
        found.append(content[at : at + size])
        at += size
    return found


def raw_ogg() -> bytes:
    """As the library writes it, with a stream number at random."""
    out = io.BytesIO()
    with soundfile.SoundFile(out, "w", RATE, 2, "VORBIS", format="OGG") as sound:
        for block in render(strummed()):
            sound.write(block)
    return out.getvalue()


def test_checksums_are_those_that_the_ogg_library_counts() -> None:
    found = pages(raw_ogg())
    assert len(found) > 3
    for page in found:
        assert page_checksum(page) == int.from_bytes(page[22:26], "little")


def test_only_stream_number_and_checksum_are_changed() -> None:
    raw = raw_ogg()
    fixed = io.BytesIO(raw)
    fix_serial(fixed)
    for before, after in zip(pages(raw), pages(fixed.getvalue()), strict=True):
        assert after[14:18] == SERIAL.to_bytes(4, "little")
        assert before[:14] + before[18:22] + before[26:] == after[:14] + after[18:22] + after[26:]
        assert page_checksum(after) == int.from_bytes(after[22:26], "little")


@pytest.mark.parametrize("content", [b"", b"RIFF" * 20, b"OggS" + bytes(30)])
def test_what_is_no_ogg_file_is_refused(content: bytes) -> None:
    cut = content if content[:4] != b"OggS" else raw_ogg()[:-5]
    with pytest.raises(ValueError, match="Ogg file"):
        fix_serial(io.BytesIO(cut))


class Full(io.FileIO):
    """A file on a disk that is full after so many bytes."""

    room = 0

    def write(self, content: Any) -> int:
        if self.tell() + len(content) > Full.room:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return super().write(content)


@pytest.mark.parametrize("room", [0, 20_000])
@pytest.mark.parametrize("suffix", ENCODINGS)
def test_a_full_disk_leaves_the_old_file_and_nothing_else(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str,
    room: int, capfd: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    def opened(path: Path, mode: str) -> Full:
        return Full(path, mode.replace("b", ""))

    target = tmp_path / f"tune{suffix}"
    target.write_bytes(b"the old recording")
    monkeypatch.setattr(Path, "open", opened)
    monkeypatch.setattr(Full, "room", room)
    with pytest.raises(SheetError, match=r"cannot be written \(No space left"):
        write_sound(arrangement, target)
    monkeypatch.undo()
    assert target.read_bytes() == b"the old recording"
    assert list(tmp_path.iterdir()) == [target]
    assert capfd.readouterr() == ("", "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_a_device_is_no_place_for_a_recording(arrangement: Arrangement) -> None:
    with pytest.raises(SheetError, match="ends in"):
        write_sound(arrangement, "/dev/full")


@pytest.mark.parametrize("name", ["tune", "tune.aac", "tune.txt", "tune.mid"])
def test_other_suffixes_are_refused(arrangement: Arrangement, tmp_path: Path, name: str) -> None:
    with pytest.raises(SheetError, match=r"ends in \.wav, \.flac, \.mp3, \.ogg"):
        write_sound(arrangement, tmp_path / name)
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_not_there(arrangement: Arrangement, tmp_path: Path) -> None:
    with pytest.raises(SheetError, match="cannot be written"):
        write_sound(arrangement, tmp_path / "none" / "tune.wav")


def test_ctrl_c_leaves_nothing(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: Any) -> Any:
        yield np.zeros((100, 2), np.float32)
        raise KeyboardInterrupt

    monkeypatch.setattr(files, "render", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_sound(arrangement, tmp_path / "tune.ogg")
    assert not list(tmp_path.iterdir())


class Interrupted(io.FileIO):
    """A file in whose writing Ctrl-C is pressed, the given time that it is written to."""

    left = 0

    def write(self, content: Any) -> int:
        Interrupted.left -= 1
        if Interrupted.left == 0:
            signal.raise_signal(signal.SIGINT)
        return super().write(content)


@pytest.mark.parametrize("time", ["first", "middle", "last"])
@pytest.mark.parametrize("suffix", ENCODINGS)
def test_ctrl_c_while_the_library_writes_leaves_the_old_file(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str,
    time: str, capfd: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """The library calls back into Python to write, and forgets what is raised there."""

    def opened(path: Path, mode: str) -> Interrupted:
        return Interrupted(path, mode.replace("b", ""))

    target = tmp_path / f"tune{suffix}"
    monkeypatch.setattr(Path, "open", opened)
    monkeypatch.setattr(Interrupted, "left", 0)
    monkeypatch.setattr(files, "fix_serial", lambda _: None)  # writes by itself, without a library
    write_sound(arrangement, target)
    count = -Interrupted.left
    target.write_bytes(b"the old recording")
    at = {"first": 1, "middle": count // 2, "last": count}[time]
    monkeypatch.setattr(Interrupted, "left", at)
    handler = signal.getsignal(signal.SIGINT)
    with pytest.raises(KeyboardInterrupt):
        write_sound(arrangement, target)
    monkeypatch.undo()
    assert signal.getsignal(signal.SIGINT) is handler
    assert target.read_bytes() == b"the old recording"
    assert list(tmp_path.iterdir()) == [target]
    assert capfd.readouterr() == ("", "")


def test_pieces_in_one_file(arrangement: Arrangement, tmp_path: Path) -> None:
    target = tmp_path / "all.flac"
    write_pieces(arrangement, target, [SoundOptions(bars=(1, 1)), Rest(1.0)])
    content, _ = soundfile.read(target)
    assert len(content) == round((2.5 + 1.5 + 1.0) * RATE)
    assert not content[-RATE:].any()
    assert target.read_bytes() != sound_file(render(arrangement), ".flac")
