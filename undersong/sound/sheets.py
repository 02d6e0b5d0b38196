"""Sound and MIDI as kinds of sheet, with nothing asked but the arrangement itself.

Public: wav_bytes, flac_bytes, mp3_bytes, ogg_bytes, midi_bytes, write_sound.
"""

from solver.result import Arrangement
from undersong.sheet.options import SheetOptions
from undersong.sound.files import sound_file, write_sound
from undersong.sound.midi import midi_file
from undersong.sound.render import render

__all__ = ["flac_bytes", "midi_bytes", "mp3_bytes", "ogg_bytes", "wav_bytes", "write_sound"]


def wav_bytes(arrangement: Arrangement, _: SheetOptions | None = None) -> bytes:
    return sound_file(render(arrangement), ".wav")


def flac_bytes(arrangement: Arrangement, _: SheetOptions | None = None) -> bytes:
    return sound_file(render(arrangement), ".flac")


def mp3_bytes(arrangement: Arrangement, _: SheetOptions | None = None) -> bytes:
    return sound_file(render(arrangement), ".mp3")


def ogg_bytes(arrangement: Arrangement, _: SheetOptions | None = None) -> bytes:
    return sound_file(render(arrangement), ".ogg")


def midi_bytes(arrangement: Arrangement, _: SheetOptions | None = None) -> bytes:
    return midi_file(arrangement)
