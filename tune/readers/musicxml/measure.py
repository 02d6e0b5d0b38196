"""One measure of a MusicXML part: its children walked in order, with a clock that can go back.

Public: PartState, RawBar, read_measure.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from xml.etree.ElementTree import Element

from tune.chord import Chord
from tune.errors import TuneError
from tune.key import Key
from tune.readers.musicxml.attributes import read_key, read_metre, read_transposition
from tune.readers.musicxml.harmony import read_harmony
from tune.readers.musicxml.marks import read_direction, read_sound
from tune.readers.musicxml.note import merged, note_length, read_note
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.tree import decimal, text
from tune.time import Metre, Tempo, ticks
from tune.tune import Note

_SILENT = {"print", "barline", "grouping", "link", "bookmark", "listening"}


@dataclass
class PartState:
    """What holds from one measure to the next; ``transposition`` is (semitones, octaves)."""

    voice: str = "1"
    notices: Notices = field(default_factory=Notices)
    divisions: Fraction | None = None
    key: Key | None = None
    metre: Metre | None = None
    transposition: tuple[int, int] | None = None


@dataclass
class RawBar:
    """A measure as far as it has been read; ``extent`` is where its last note ends."""

    number: int
    implicit: bool
    metre: Metre | None = None
    key: Key | None = None
    extent: int = 0
    chords: dict[int, Chord | None] = field(default_factory=dict)
    notes: list[Note] = field(default_factory=list)
    section: str = ""
    tempi: list[tuple[int, Tempo]] = field(default_factory=list)


class _Walk:
    """The clock of one measure; ``onset`` is where the last note began, for chords of notes."""

    def __init__(self, bar: RawBar, state: PartState) -> None:
        self.bar, self.state = bar, state
        self.clock = self.onset = 0
        self.kept = False  # whether the last note was one of the melody

    def _goes_to(self, clock: int) -> None:
        if clock < 0:
            raise TuneError("the file goes back beyond the bar line; save it again")
        self.clock = clock
        self.bar.extent = max(self.bar.extent, clock)

    def attributes(self, element: Element) -> None:
        state = self.state
        divisions = element.find("divisions")
        if divisions is not None:
            state.divisions = decimal(text(divisions), "the divisions of a quarter note")
            if state.divisions <= 0:
                raise TuneError("the divisions of a quarter note must be more than nothing")
        state.key = read_key(element, state.notices, self.bar.number) or state.key
        state.metre = read_metre(element) or state.metre
        moved = read_transposition(element)
        if moved is not None and state.transposition not in (None, moved):
            raise TuneError("the part changes its transposition here; save it at concert pitch")
        state.transposition = moved or state.transposition
        if self.clock == 0:
            self.bar.key, self.bar.metre = state.key, state.metre

    def note(self, element: Element) -> None:
        state, bar = self.state, self.bar
        grace = element.find("grace") is not None
        with_last = element.find("chord") is not None
        length = 0 if grace else note_length(element, state.divisions)
        whole_bar = element.find("rest[@measure='yes']") is not None
        if whole_bar and bar.metre is not None and self.clock == 0 and not with_last:
            length = min(length, bar.metre.bar)  # some files write a semibreve in every metre
        if not with_last:
            self.onset = self.clock
        if self._of_melody(element):
            self._keep(element, length, with_last)
        elif not with_last:
            self.kept = False
        if not with_last:
            self._goes_to(self.clock + length)

    def _of_melody(self, element: Element) -> bool:
        """Whether a note is in the voice that is read; the others are told."""
        voice, staff = text(element.find("voice")) or "1", text(element.find("staff")) or "1"
        if staff != "1":
            self.state.notices.add("the lower staff ignored; only the first is read")
            return False
        if voice != self.state.voice:
            self.state.notices.add(
                "further voices ignored; only the first is read", self.bar.number
            )
            return False
        return True

    def _keep(self, element: Element, length: int, with_last: bool) -> None:
        bar, notices = self.bar, self.state.notices
        octaves = self.state.transposition[1] if self.state.transposition else 0
        note = read_note(element, self.onset, length, octaves, notices, bar.number)
        if note is None:
            self.kept = self.kept and with_last
        elif with_last and self.kept:
            notices.add("notes below the melody ignored; the top note is kept", bar.number)
            bar.notes[-1] = merged(bar.notes[-1], note)
        else:
            bar.notes.append(note)
            self.kept = True

    def harmony(self, element: Element) -> None:
        bar, notices = self.bar, self.state.notices
        if element.get("type") == "alternate":
            notices.add("an alternative chord ignored", bar.number)
            return
        if element.find("frame") is not None:
            notices.add("chord diagram ignored", bar.number)
        chord = read_harmony(element, self.state.key or Key(), notices, bar.number)
        self._change(chord, self._offset(element))

    def _offset(self, element: Element) -> int:
        offset = element.find("offset")
        if offset is None:
            return 0
        if self.state.divisions is None:
            raise TuneError("the file says no divisions before its first offset; save it again")
        return ticks(decimal(text(offset), "an offset") / self.state.divisions)

    def _change(self, chord: Chord | None, offset: int) -> None:
        """A chord from here on; the same chord written twice at one place is one chord."""
        tick = self.clock + offset
        if self.bar.chords.get(tick, chord) != chord:
            raise TuneError(
                f"two chords stand on one beat, {self.bar.chords[tick] or 'N.C.'} and "
                f"{chord or 'N.C.'}; leave one"
            )
        self.bar.chords[tick] = chord

    def direction(self, element: Element) -> None:
        said = read_direction(element, self.state.notices, self.bar.number)
        self.bar.section = self.bar.section or said.section
        self._tempo(said.tempo)
        if said.no_chord:
            self._change(None, self._offset(element))

    def sound(self, element: Element) -> None:
        self._tempo(read_sound(element, self.state.notices, self.bar.number))

    def _tempo(self, tempo: Tempo | None) -> None:
        if tempo is not None:
            self.bar.tempi.append((self.clock, tempo))

    def backup(self, element: Element) -> None:
        self._goes_to(self.clock - note_length(element, self.state.divisions))

    def forward(self, element: Element) -> None:
        self._goes_to(self.clock + note_length(element, self.state.divisions))


def read_measure(measure: Element, number: int, state: PartState) -> RawBar:
    """The measure as a raw bar; ``state`` goes on to the next one."""
    bar = RawBar(number, measure.get("implicit") == "yes", state.metre, state.key)
    walk = _Walk(bar, state)
    ways = {
        "attributes": walk.attributes,
        "note": walk.note,
        "harmony": walk.harmony,
        "direction": walk.direction,
        "sound": walk.sound,
        "backup": walk.backup,
        "forward": walk.forward,
    }
    for child in measure:
        if child.tag in ways:
            ways[child.tag](child)
        elif child.tag not in _SILENT:
            state.notices.add(f"{child.tag.replace('-', ' ')} ignored", number)
    state.transposition = state.transposition or (0, 0)
    return bar
