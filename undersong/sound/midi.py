"""MIDI: the strokes of the right hand as notes, a track for each string.

A file of format 1 (Standard MIDI Files 1.0): the first track has the title, tempo, metre, key and a
marker for each section; then one track a string, named for it, on a channel of its own. A note
lasts as long as its string sounds; one that the palm damps is short. General MIDI 1 has no fretted
dulcimer (its programme 16, Dulcimer, is struck with hammers), so strings take programme 26, steel
guitar, and a bass string that sounds as low as a bass programme 33, acoustic bass. Times are exact:
480 ticks a quarter where that is enough, else 10,080. Names are written in UTF-8.

A pickup is preceded by the rest that fills its bar, so that bar lines fall where they should.

Public: write_midi, midi_file, check_midi.
"""

from io import BytesIO
from pathlib import Path
from typing import Any

from fretboard.tuning import pitch_name
from solver.result import Arrangement
from tune.time import QUARTER, Metre
from undersong.sheet.errors import SheetError
from undersong.sheet.folding import leads
from undersong.sheet.write import put_file
from undersong.sound.mix import side
from undersong.sound.plan import Plan, plan_of
from undersong.sound.playing import Heard
from undersong.sound.sound_options import SoundOptions

SUFFIX = ".mid"
GUITAR, BASS = 25, 32
"""Programmes 26 and 33 of General MIDI 1, counted from 0 as they are sent."""
LOW = 43
"""Below G2 an open bass string is a bass instrument's."""
COARSE = 480
DAMPED = QUARTER // 2
"""Ticks that a damped note lasts at most; half of its time if that is less."""
_SUNG, _BASS, _OTHER, _ACCENT = 100, 88, 76, 10

Event = tuple[int, int, Any]
"""Tick from the file's start, place among those of one tick, and the message."""


def write_midi(
    arrangement: Arrangement, target: str | Path, options: SoundOptions | None = None
) -> None:
    """Writes the arrangement as MIDI; SheetError, one sentence, where that cannot be."""
    put_file(Path(target), midi_file(arrangement, options))


def midi_file(arrangement: Arrangement, options: SoundOptions | None = None) -> bytes:
    """The bytes of a MIDI file. Of the options those on tempo, bars and strings are followed; the
    others are for sound alone and raise SheetError."""
    import mido

    options = options or SoundOptions()
    check_midi(options)
    plan = plan_of(arrangement, options)
    number = plan.options.bars[0] if plan.options.bars else 1
    lead = leads(arrangement.tune)[number - 1] - plan.first
    conductor = _conductor(plan, lead)
    strings = [
        _string(plan, course, lead)
        for course in range(len(arrangement.instrument.courses))
        if options.hears(course)
    ]
    tracks = [conductor, *strings]
    fine = any(tick * COARSE % QUARTER for track in tracks for tick, _, _ in track)
    grain = QUARTER if fine else COARSE
    file = mido.MidiFile(type=1, ticks_per_beat=grain, charset="utf-8")
    for track in tracks:
        file.tracks.append(_timed(track, grain))
    out = BytesIO()
    file.save(file=out)
    return out.getvalue()


def check_midi(options: SoundOptions) -> None:
    """SheetError, one sentence, for what is for sound alone."""
    if options.count_in or options.click or options.times > 1 or options.starting_note:
        raise SheetError(
            "a MIDI file holds the music once: leave out count-in, clicks, loops and starting "
            "note, or write a sound file"
        )


def _conductor(plan: Plan, lead: int) -> list[Event]:
    """Title, tempo, metre, key and markers."""
    from mido import MetaMessage, bpm2tempo

    tune, events = plan.arrangement.tune, [(0, 0, _meta("track_name", name=_title(plan)))]
    metre: Metre | None = None
    phase, key, tempo = 0, None, None
    missing = leads(tune)
    low, high = plan.options.bars or (1, len(tune.played))
    for played in tune.played[low - 1 : high]:
        bar = tune.bars[played.written]
        first = played.number == low
        gone = missing[played.number - 1]
        tick = 0 if first else played.start + lead
        if bar.metre != metre or (phase - gone) % bar.metre.bar:
            clocks = max(1, min(255, bar.metre.beat * 24 // QUARTER))
            message = _meta(
                "time_signature",
                numerator=bar.metre.beats,
                denominator=bar.metre.unit,
                clocks_per_click=clocks,
            )
            events.append((tick, 2, message))
            phase = gone
        metre, phase = bar.metre, (phase + bar.length) % bar.metre.bar
        if bar.key != key:
            events.append((tick, 3, _meta("key_signature", key=_MAJOR[bar.key.fifths])))
            key = bar.key
        here = tune.tempo_at(played.written)
        if here != tempo:
            quarters = here.per_minute * here.beat / QUARTER * plan.paces[0]
            events.append((tick, 1, _meta("set_tempo", tempo=bpm2tempo(float(quarters)))))
            tempo = here
        if bar.section:
            events.append((tick, 4, MetaMessage("marker", text=bar.section)))
    return events


def _string(plan: Plan, course: int, lead: int) -> list[Event]:
    """One string's notes, with its name, programme and place between left and right."""
    from mido import Message

    instrument, down = plan.arrangement.instrument, plan.options.bass_down and course == 0
    lowered = 12 if down else 0
    low = course == 0 and instrument.courses[0].open - lowered < LOW
    pitch = pitch_name(instrument.pitch(course, instrument.capo) - lowered)
    name = f"{instrument.course_name(course)} string, {pitch}"
    pan = round(64 + 63 * side(course, len(instrument.courses)))
    events: list[Event] = [
        (0, 0, _meta("track_name", name=name)),
        (0, 1, Message("program_change", channel=course, program=BASS if low else GUITAR)),
        (0, 2, Message("control_change", channel=course, control=10, value=pan)),
    ]
    starts = {bar.start for bar in plan.arrangement.tune.played}
    for note in plan.notes:
        if note.course != course:
            continue
        end = min(note.end, plan.last)
        if note.damped:
            end = note.tick + max(1, min((end - note.tick) // 2, DAMPED))
        sounding = note.midi - lowered
        hard = _hard(note, note.tick in starts)
        on = Message("note_on", channel=course, note=sounding, velocity=hard)
        off = Message("note_off", channel=course, note=sounding, velocity=64)
        events += [(note.tick + lead, 4, on), (end + lead, 3, off)]
    return events


def _hard(note: Heard, downbeat: bool) -> int:
    """How hard it is struck, 1 to 127."""
    plain = _SUNG if note.sings else _BASS if note.bass else _OTHER
    return plain + (_ACCENT if downbeat else 0)


def _timed(events: list[Event], grain: int) -> Any:
    """A track: the messages in order, each with the ticks since the one before."""
    from mido import MidiTrack

    track, before = MidiTrack(), 0
    for tick, _, message in sorted(events, key=lambda event: event[:2]):
        at = tick * grain // QUARTER
        track.append(message.copy(time=at - before))
        before = at
    track.append(_meta("end_of_track"))
    return track


def _meta(kind: str, **fields: Any) -> Any:
    from mido import MetaMessage

    return MetaMessage(kind, **fields)


def _title(plan: Plan) -> str:
    tune = plan.arrangement.tune
    return f"{tune.title}, {tune.composer}" if tune.composer else tune.title


_MAJOR = dict(
    zip(
        range(-7, 8),
        ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"],
        strict=True,
    )
)
"""Sharps (positive) or flats → the major key with that signature; MIDI knows no other modes."""
