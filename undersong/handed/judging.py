"""What is wrong with a tab, and what is worth saying, bar by bar.

Faults are what cannot be played, or is not this tune: a fret that is not there, a note that is in
neither chord nor melody, a shape that no hand of this size stops, fingers that cross, a bass that
is too high or lies above another string, times that do not add up. Remarks are wishes: a third
that is missing, a bass note that this manner would not take, a stroke beside those of the right
hand; and bars that a part of the tune does not have. Each is told once a bar of the tab, however
often that is played, and once for all the times through that the tab writes out.

Public: Judge.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scoring.moment import FOREIGN, Moment
from solver.spans import spans_of
from tune.bar_names import beat_name
from tune.chord import parse_chord
from tune.spelling import tones
from undersong.handed.by_chords import fits
from undersong.handed.finding import Finding, Subject
from undersong.handed.fretless import not_there
from undersong.handed.hands import finger_trouble, hand_trouble
from undersong.handed.once import told_once
from undersong.handed.placing import PlacedTab
from undersong.handed.sounding import Here
from undersong.handed.spelling import note_name
from undersong.handed.tab import SHAPES, OddRow, Tab
from undersong.handed.thirds import unheard_thirds
from undersong.handed.times import all_names, bar_name, times_through
from undersong.handed.whole import whole_trouble
from undersong.handed.widths import width_words
from undersong.missing_tones import CHORDAL

HIGHEST = 36
"""Semitones: no fret lies higher."""

STEP = 2
"""Semitones that a bass note may step when it passes by."""


class Judge:
    """The judging of one tab; times: the times through that a played bar is written out for; place:
    a played place in words; takes: whether the manner takes a bass note."""

    def __init__(self, subject: Subject, tab: Tab, found: PlacedTab, here: Sequence[Here]) -> None:
        self.subject, self.tab, self.found, self.here = subject, tab, found, here
        played = found.played
        if not tab.barred:  # each shape of a list is for one time through
            played = {number: (number,) for number in played.get(0, ())}
        self.times = times_through(subject.tune, played)
        self.spans = {span.number: span for span in spans_of(subject.tune, subject.style.manner)}

    def findings(self) -> tuple[Finding, ...]:
        told: dict[tuple[int, str, str, str], Finding] = {}
        for finding in self._all():
            told.setdefault((finding.bar, finding.where, finding.kind, finding.words), finding)
        once = told_once(told.values(), lambda finding: finding.bar, self._names)
        once = told_once(once, lambda finding: self._written(finding.played), self._names)
        return tuple(
            sorted(
                once,
                key=lambda f: (f.played, f.bar, f.bar_name, not f.fault, f.tick, f.column),
            )
        )

    def _names(self, findings: Sequence[Finding]) -> str:
        """The names of all their bars."""
        places = [(self._written(one.played), self.times.get(one.played, ())) for one in findings]
        return all_names(self.subject.tune, places)

    def _all(self) -> Iterator[Finding]:
        for kind, words, fault in whole_trouble(self.tab, self.found, self.subject.tune):
            yield Finding(-1, "the whole tab", 0, 0, kind, words, fault)
        for bar, words in self.found.complaints:
            yield self._of_bar(bar, "timing", words)
        for typed in self.tab.bars:
            for odd in typed.odd:
                told = self._of_bar(typed.number, "width", self._odd(odd), fault=False)
                yield replace(told, line=odd.line, column=odd.column)
        for index, here in enumerate(self.here):
            if not here.at.first or not here.at.column.struck:
                continue
            yield from self._frets(here)
            yield from self._name(here)
            yield from self._pitches(here, index)
            yield from self._rings(here)
            yield from self._hand(here)
            yield from self._bass(here)
        yield from self._melody()
        yield from self._thirds()

    # where

    def _of_bar(self, bar: int, kind: str, words: str, fault: bool = True) -> Finding:
        written = self.tab.bars[max(bar, 0)]
        number = self.found.played.get(bar, (0,))[0]
        name = self._bar_name(number) if number else f"bar {bar + 1} of the tab"
        return Finding(bar, name, written.line, 0, kind, words, fault, played=number)

    def _bar_name(self, played: int) -> str:
        return bar_name(self.subject.tune, self._written(played), self.times.get(played, ()))

    def _written(self, played: int) -> int:
        return self.subject.tune.played[played - 1].written if played else -1

    def _found(
        self, here: Here, kind: str, words: str, fault: bool = True, course: int = -1
    ) -> Finding:
        fret = here.frets[course] if course >= 0 else None
        return Finding(
            here.at.bar, self.place(here.at.played, here.at.tick), here.at.column.line,
            here.at.column.column, kind, words, fault, course, -1 if fret is None else fret,
            here.moment, here.at.tick, here.at.played,
        )  # fmt: skip

    def place(self, played: int, tick: int) -> str:
        """``bar 3, beat 2``, ``bar 3, half a beat after beat 2``: another for every tick."""
        span = self.spans[played]
        return f"{self._bar_name(played)}, {beat_name(tick + span.lead, span.metre.beat)}"

    def _string(self, course: int) -> str:
        return f"{self.subject.instrument.course_name(course)} string"

    def _note(self, midi: int, moment: Moment) -> str:
        return note_name(midi, self.subject.tune.key, moment.chord)

    def _label(self, fret: int) -> str:
        return self.subject.label(fret)

    def _odd(self, odd: OddRow) -> str:
        """What is said of a row that is not as wide as the others of its bar."""
        alone = self.tab.names.count(odd.name) == 1
        row = f"row {odd.name}" if alone else f"the row of the {self._string(odd.course)}"
        return width_words(row, odd.wider, odd.how)

    # what is there

    def _sounding(self, here: Here) -> Iterator[tuple[int, int]]:
        """(course, fret) of strings struck at frets that the instrument has."""
        for course, fret in self._struck(here):
            if self.subject.instrument.has(course, fret):
                yield course, fret

    def _struck(self, here: Here) -> Iterator[tuple[int, int]]:
        for course, fret in enumerate(here.frets):
            if here.struck[course] and fret is not None:
                yield course, fret

    def _frets(self, here: Here) -> Iterator[Finding]:
        instrument = self.subject.instrument
        for course, fret in self._struck(here):
            if not instrument.has(course, fret):
                words = not_there(course, fret, instrument, self.subject.numbering)
                yield self._found(here, "fret", words, course=course)

    def _name(self, here: Here) -> Iterator[Finding]:
        name, chord = here.at.column.chord, here.moment.chord
        if name and chord is not None and not fits(parse_chord(name), chord):
            words = f"{name} stands by this shape, and the tune has {chord} here"
            yield self._found(here, "chord name", words, fault=False)

    def _pitches(self, here: Here, index: int) -> Iterator[Finding]:
        chord, texture = here.moment.chord, self.subject.style.texture
        instrument = self.subject.instrument
        if chord is None:
            if any(here.struck) and not self._sings_alone(here):
                yield self._found(
                    here, "pitch", "no chord sounds here, and something is struck", fault=False
                )
            return
        for course, fret in self._sounding(here):
            pitch = instrument.pitch(course, fret)
            if pitch % 12 in chord.pitch_classes or pitch == here.moment.melody:
                continue
            if texture == "drone" and fret == instrument.capo:
                continue  # an open string rings there, whatever the chord
            words = (
                f"the {self._string(course)} at fret {self._label(fret)} sounds "
                f"{self._note(pitch, here.moment)}, {_lacking(here.moment)}"
            )
            if course == 0 and texture in ("song", "bass") and self._passes(here, index, pitch):
                if not self.takes(here.moment, pitch):
                    yield self._found(
                        here,
                        "bass role",
                        f"{words}; as a note that passes by step it is a wish of its own, which "
                        f"the manner {self.subject.style.manner} does not have",
                        fault=False,
                    )
            elif (
                course == 0
                and self.takes(here.moment, pitch)
                and (pitch % 12 in self._named(here.moment) or self._leads(here, index, pitch))
            ):
                continue
            elif texture in ("solo", "drone"):
                open_string = fret == instrument.capo
                words += "; it clashes as a drone" if open_string else ""
                yield self._found(here, "pitch", words, not open_string, course)
            else:
                if course == 0 and self.takes(here.moment, pitch):
                    words += f"; the manner {self.subject.style.manner} takes it by step only"
                yield self._found(here, "pitch", words, course=course)

    def _sings_alone(self, here: Here) -> bool:
        """Whether nothing is struck but the melody's own note, or one in its place."""
        pitches = {self.subject.instrument.pitch(*at) for at in self._struck(here)}
        instead = here.exact and here.moment.sings and sum(here.struck) == 1
        return instead or pitches == {here.moment.melody}

    def _rings(self, here: Here) -> Iterator[Finding]:
        """A stopped string that rings on into a chord that does not have it."""
        chord, instrument = here.moment.chord, self.subject.instrument
        if chord is None or not here.exact:
            return
        for course, fret in enumerate(here.frets):
            if not course or here.struck[course] or fret is None or fret <= instrument.capo:
                continue
            pitch = instrument.pitch(course, fret)
            if pitch % 12 in chord.pitch_classes or pitch == here.moment.melody:
                continue
            yield self._found(
                here,
                "pitch",
                f"the {self._string(course)} at fret {self._label(fret)} rings on with "
                f"{self._note(pitch, here.moment)}, {_lacking(here.moment)}",
                course=course,
            )

    def takes(self, moment: Moment, pitch: int) -> bool:
        """Whether the manner takes that bass note there as a tone of its own."""
        foreign = (moment.roles | moment.fallback) & set(FOREIGN)
        return pitch % 12 in self._named(moment) or (bool(foreign) and pitch % 12 in moment.scale)

    def _named(self, moment: Moment) -> set[int | None]:
        """The pitch classes that the manner takes there as tones of their own."""
        roles = moment.roles | moment.fallback
        return {moment.role_pitch_class(role) for role in roles} - {None}

    def passes_over(self, index: int, course: int, pitch: int, up: int = 0) -> bool:
        """Whether a note that is in neither chord nor melody is no sign of another tune, as it
        passes by step, the manner takes it, or it rings as a drone; index: of the column in
        ``here``; up: semitones by which the tune is moved."""
        here, style = self.here[index], self.subject.style
        if course == 0 and style.texture in ("song", "bass") and self._passes(here, index, pitch):
            return True
        if course == 0 and self.takes(here.moment, pitch - up):
            named = (pitch - up) % 12 in self._named(here.moment)
            return named or self._leads(here, index, pitch)
        capo = self.subject.instrument.capo
        return style.texture in ("solo", "drone") and here.frets[course] == capo

    def _leads(self, here: Here, index: int, pitch: int) -> bool:
        """Whether a note foreign to the chord passes by step, or goes by step into the next
        chord."""
        if self._passes(here, index, pitch):
            return True
        after = self._bass_from(range(index + 1, len(self.here)))
        roles = here.moment.roles | here.moment.fallback
        return "approach" in roles and after is not None and 0 < abs(after - pitch) <= STEP

    def _passes(self, here: Here, index: int, pitch: int) -> bool:
        """Whether the bass comes by step and goes on by step, off the chord's beginning."""
        if here.exact and here.moment.change:
            return False
        before = self._bass_from(range(index - 1, -1, -1))
        after = self._bass_from(range(index + 1, len(self.here)))
        return all(
            other is not None and 0 < abs(other - pitch) <= STEP for other in (before, after)
        )

    def _bass_from(self, indexes: range) -> int | None:
        """The next bass note struck that way."""
        for index in indexes:
            here = self.here[index]
            fret = here.frets[0]
            if here.struck[0] and fret is not None:
                return self.subject.instrument.pitch(0, fret)
        return None

    def _hand(self, here: Here) -> Iterator[Finding]:
        instrument, hand = self.subject.instrument, self.subject.hand
        frets = tuple(
            fret if fret is not None and fret >= 0 and instrument.has(course, fret) else -1
            for course, fret in enumerate(here.frets)
        )
        shape = "-".join("x" if fret < 0 else self._label(fret) for fret in frets)
        trouble = hand_trouble(frets, instrument, hand)
        if trouble:
            told = self._found(here, "hand", f"{shape} cannot be fingered: {trouble}")
            yield replace(told, shape=here.frets, typed=here.struck)
            return
        for rule, words in finger_trouble(frets, here.fingers, instrument, hand):
            kind = "order" if rule == "order" else "hand"
            told = self._found(here, kind, f"{shape}: {words}")
            yield replace(told, written_fingers=True)

    def _bass(self, here: Here) -> Iterator[Finding]:
        style, capo = self.subject.style, self.subject.instrument.capo
        sounding = dict(self._sounding(here))
        sings = 0 in sounding and (
            self.subject.instrument.pitch(0, sounding[0]) == here.moment.melody
        )
        if 0 in sounding and sounding[0] > capo + style.bass_ceiling and not sings:
            yield self._found(
                here,
                "bass high",
                f"the bass is at fret {self._label(sounding[0])}, and fret "
                f"{self._label(min(HIGHEST, capo + style.bass_ceiling))} is its ceiling",
                course=0,
            )
        for course, fret in sounding.items():
            if course and fret > capo + style.highest and here.moment.melody is None:
                yield self._found(
                    here,
                    "high",
                    f"the {self._string(course)} is at fret {self._label(fret)}, above fret "
                    f"{self._label(min(HIGHEST, capo + style.highest))}",
                    fault=False,
                )
        if style.bass_lowest and style.texture in ("song", "solo"):
            yield from self._below_the_bass(here, sounding)
        yield from self._bass_role(here, sounding)

    def _below_the_bass(self, here: Here, sounding: dict[int, int]) -> Iterator[Finding]:
        instrument, bass = self.subject.instrument, here.frets[0]
        if bass is None or bass < 0 or not instrument.has(0, bass):
            return
        low = instrument.pitch(0, bass)
        for course, fret in sounding.items():
            pitch = instrument.pitch(course, fret)
            if course and pitch < low:
                yield self._found(
                    here,
                    "bass above",
                    f"the bass string sounds {self._note(low, here.moment)}, above the "
                    f"{self._string(course)} ({self._note(pitch, here.moment)})",
                )

    def _bass_role(self, here: Here, sounding: dict[int, int]) -> Iterator[Finding]:
        """A tone of the chord that the manner does not take there."""
        chord, moment = here.moment.chord, here.moment
        if chord is None or 0 not in sounding or not here.exact or self.tab.form == SHAPES:
            return
        pitch = self.subject.instrument.pitch(0, sounding[0])
        if moment.roles <= {"drone", "melody"} or self.takes(moment, pitch):
            return
        role = next((name for name, pc in chord.degrees.items() if pc == pitch % 12), None)
        if role is not None:
            yield self._found(
                here,
                "bass role",
                f"the bass has the {role} of {chord} here, where the manner "
                f"{self.subject.style.manner} asks for {_roles(moment)}",
                fault=False,
            )

    def _melody(self) -> Iterator[Finding]:
        """In textures that carry the melody: each of its notes is struck, at its pitch."""
        if self.subject.style.texture not in ("solo", "drone"):
            return
        instrument = self.subject.instrument
        there = {(here.at.played, here.at.tick): here for here in self.here}
        firsts = {here.at.played for here in self.here if here.at.first}
        bars = {number: bar for bar, numbers in self.found.played.items() for number in numbers}
        for moment in self.subject.moments:
            if not moment.sings or moment.melody is None or moment.bar not in firsts:
                continue
            here = there.get((moment.bar, moment.offset))
            struck = dict(self._sounding(here)) if here is not None else {}
            pitches = {instrument.pitch(course, fret) for course, fret in struck.items()}
            if moment.melody in pitches:
                continue
            where = self.place(moment.bar, moment.offset)
            bar = bars[moment.bar]
            line = here.at.column.line if here is not None else self.tab.bars[bar].line
            column = here.at.column.column if here is not None else 0
            told = ", ".join(self._note(p, moment) for p in sorted(pitches)) or "nothing"
            yield Finding(
                bar, where, line, column, "melody",
                f"the melody has {self._note(moment.melody, moment)} here, and the tab strikes "
                f"{told}",
                fault=True, tick=moment.offset, moment=moment,
                played=moment.bar,
            )  # fmt: skip

    def _thirds(self) -> Iterator[Finding]:
        if self.subject.style.texture in CHORDAL:
            for here, words in unheard_thirds(self.here, self.subject.instrument):
                yield self._found(here, "third", words, fault=False)


def _lacking(moment: Moment) -> str:
    """That the moment's chord does not have a note, said so that D5 is not taken for a pitch."""
    assert moment.chord is not None
    what = "open fifth" if moment.texture == "drone" else "chord"
    has = ", ".join(tones(moment.chord).values())
    return f"which the {what} {moment.chord} does not have ({has})"


def _roles(moment: Moment) -> str:
    roles = sorted(moment.roles)
    return " or ".join(
        f"the {role}" if role != "slash bass" else "the slash bass" for role in roles
    )
