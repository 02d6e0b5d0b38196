"""The tune: bars of chord changes and melody, as written and as played.

All positions and lengths are ticks (see ``tune.time``). A tune is frozen and checks itself when
it is made; whatever is wrong raises TuneError with the bar's number.

Public: Tune, Bar, ChordChange, Note, PlayedBar, and what chords are: GIVEN, PROPOSED, EDITED,
DRONE.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from tune.chord import Chord
from tune.errors import Place, TuneError
from tune.key import Key, transposed_name
from tune.played import PlayedBar, unfold
from tune.time import QUARTER, Metre, Tempo

GIVEN, PROPOSED, EDITED, DRONE = "given", "proposed", "edited", "drone"
CHORDS_ARE = (GIVEN, PROPOSED, EDITED, DRONE)


@dataclass(frozen=True)
class ChordChange:
    """From ``tick`` in the bar on this chord is played; None is N.C. (no chord)."""

    tick: int
    chord: Chord | None


@dataclass(frozen=True)
class Note:
    """One melody note or, with ``midi`` None, a rest.

    tick: onset within the bar; length: ticks, 0 for grace notes only; midi: sounding pitch
    (60 = middle C); name: its spelling without octave; tied: joined to the next note of the same
    pitch; tuplet: (actual, normal), such as (3, 2) for a triplet; lyrics: one syllable a verse,
    ``-`` after a syllable that goes on; marks: what the file says of how it is played
    (``hammer-on``, ``pull-off``, ``finger 2``, ``fermata`` …).
    """

    tick: int
    length: int
    midi: int | None
    name: str = ""
    tied: bool = False
    grace: bool = False
    tuplet: tuple[int, int] | None = None
    lyrics: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bar:
    """One written bar.

    number: as printed, 0 for a pickup; length: ticks that it lasts (shorter than the metre's bar
    for a pickup and its complement); section: a name that begins here; repeat_start, repeat_times:
    repeat signs at its left and right edge (``repeat_times`` 2 is played twice in all, 1 is no
    sign); endings: the passes that this bar is played in, empty for all; tempo: where it changes.
    """

    number: int
    metre: Metre
    length: int
    key: Key
    chords: tuple[ChordChange, ...] = ()
    notes: tuple[Note, ...] = ()
    section: str = ""
    repeat_start: bool = False
    repeat_times: int = 1
    endings: tuple[int, ...] = ()
    tempo: Tempo | None = None

    def __post_init__(self) -> None:
        try:
            self._validate()
        except TuneError as error:
            raise error.at(Place(bar=self.number)) from None

    def _validate(self) -> None:
        if not 0 < self.length <= 4 * self.metre.bar:
            raise TuneError(f"a bar of {self.metre} cannot last {self.length / QUARTER:g} quarters")
        last = -1
        for change in self.chords:
            if not 0 <= change.tick < self.length:
                raise TuneError(f"the chord {change.chord or 'N.C.'} stands outside the bar")
            if change.tick <= last:
                raise TuneError("two chords stand on one beat, or out of order")
            last = change.tick
        end = 0
        for note in self.notes:
            if note.midi is not None and not 0 <= note.midi <= 127:
                raise TuneError(f"a note of MIDI number {note.midi} is outside 0 to 127")
            if note.grace:
                if note.length or not 0 <= note.tick <= self.length:
                    raise TuneError("a grace note has no length and stands inside its bar")
                continue
            if note.tick < end or note.length <= 0 or note.tick + note.length > self.length:
                raise TuneError(
                    "the melody notes do not fit the bar; check their lengths "
                    "(one voice, no overlaps)"
                )
            end = note.tick + note.length
        if self.repeat_times < 1 or any(number < 1 for number in self.endings):
            raise TuneError("repeats and endings count from 1")


@dataclass(frozen=True)
class Tune:
    """A whole tune.

    title, composer, source (where it was taken from), licence: free text; key, metre, tempo: at
    the start; bars: as written; notices: what a reader could not use, for the user to know (no
    part of the tune's identity); chords_are: where its chords come from, GIVEN with the tune,
    PROPOSED by this program for the melody, EDITED by hand since, or a DRONE on the tonic laid
    under it.
    """

    title: str
    key: Key
    metre: Metre
    tempo: Tempo
    bars: tuple[Bar, ...]
    composer: str = ""
    source: str = ""
    licence: str = ""
    notices: tuple[str, ...] = field(default=(), compare=False)
    chords_are: str = GIVEN

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise TuneError("the tune has no title")
        if not self.bars:
            raise TuneError("the tune has no bars")
        if self.chords_are not in CHORDS_ARE:
            raise TuneError(f"chords are {', '.join(CHORDS_ARE)}, not {self.chords_are!r}")
        if len(self.bars) > 4096:
            raise TuneError("the tune has more than 4096 bars")
        unfold(self.bars)

    @cached_property
    def played(self) -> tuple[PlayedBar, ...]:
        """The bars in the order they sound, repeats and endings unfolded."""
        return unfold(self.bars)

    @property
    def pickup(self) -> bool:
        """Whether the tune begins with an incomplete bar."""
        return self.bars[0].length < self.bars[0].metre.bar

    @property
    def has_chords(self) -> bool:
        return any(change.chord for bar in self.bars for change in bar.chords)

    def tempo_at(self, written: int) -> Tempo:
        """The tempo in force in the written bar of that index."""
        for bar in reversed(self.bars[: written + 1]):
            if bar.tempo is not None:
                return bar.tempo
        return self.tempo

    def written_out(self) -> "Tune":
        """The same tune without repeat signs, every time through written bar by bar.

        Where a passage comes back, or is come back to, a section is named, as a person would do.
        """
        order = [played.written for played in self.played]
        come_back_to = {now for last, now in pairwise(order) if now != last + 1}
        bars: list[Bar] = []
        for number, written in enumerate(order, start=0 if self.bars[0].number == 0 else 1):
            bar = self.bars[written]
            begins = written in come_back_to or bar.repeat_start
            section = bar.section or (f"from bar {bar.number}" if begins else "")
            plain = replace(bar, number=number, section=section, tempo=self.tempo_at(written))
            bars.append(replace(plain, repeat_start=False, repeat_times=1, endings=()))
        return replace(self, bars=tuple(bars))

    def at_tempo(self, per_minute: int) -> "Tune":
        """The same tune at ``per_minute`` of its own first beat unit, changes scaled alike.

        A change stays within what ``Tempo`` allows, 10 to 400.
        """
        old = self.tempo

        def scaled(tempo: Tempo | None) -> Tempo | None:
            if tempo is None:
                return None
            rate = round(Fraction(tempo.per_minute * per_minute, old.per_minute))
            return Tempo(tempo.beat, min(400, max(10, rate)))

        bars = tuple(replace(bar, tempo=scaled(bar.tempo)) for bar in self.bars)
        return replace(self, tempo=Tempo(old.beat, per_minute), bars=bars)

    def transposed(self, semitones: int) -> "Tune":
        """The same tune ``semitones`` higher (negative: lower), spelled for the new key."""
        if semitones == 0:
            return self

        def chord(old: Chord | None, was: Key, key: Key) -> Chord | None:
            if old is None:
                return None
            bass = transposed_name(old.bass, was, key) if old.bass else None
            return Chord(transposed_name(old.root, was, key), old.quality, bass)

        def note(old: Note, was: Key, key: Key) -> Note:
            if old.midi is None:
                return old
            name = transposed_name(old.name, was, key) if old.name else ""
            return replace(old, midi=old.midi + semitones, name=name)

        bars = []
        for bar in self.bars:
            key = bar.key.transposed(semitones)
            changes = tuple(ChordChange(c.tick, chord(c.chord, bar.key, key)) for c in bar.chords)
            notes = tuple(note(n, bar.key, key) for n in bar.notes)
            bars.append(replace(bar, key=key, chords=changes, notes=notes))
        return replace(self, key=self.key.transposed(semitones), bars=tuple(bars))
