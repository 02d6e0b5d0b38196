"""Every sequence of choices for some moments, written down straight from the rules of the game, one
moment after another.

``RuledBook`` has code of its own for what may be struck, ring, be called and be heard. It uses the
grips of ``fretboard.fingering``, and nothing of the solver's layers, labels, links, tables, passes
or pruning. What sequences cost and which are cheapest is for ``tests.solver.oracles``.

The rules, as ``scoring.moment`` and the modules of the solver state them:

* the right hand makes one of the strokes asked for; a string struck sounds a tone of the chord,
  the bass string one of the moment's roles, within the highest frets that the style allows;
* a string not struck is silent, or still sounds what it sounded, fret and finger kept; a string
  above the bass may ring on a chord tone or open, the bass on one of the moment's roles; it must
  where the moment says so, and cannot when damped; a string that a stroke left out is silent;
* nothing sounds below the bass unless the style lets it;
* a passing note comes from a bass note one or two semitones away, and the next bass note lies one
  or two further the same way, however many strums are between; a neighbour comes by such a step
  and goes straight back; an approach note goes to the next chord's root or slash bass by such a
  step; none of them follows another, leads into a rest, begins the tune, or ends it;
* a manner's fallback is one of the moment's roles, at a price;
* a bass string struck again under ``keeps`` repeats the last bass note, or carries the melody;
* with a melody to keep, shapes go by ``tests.solver.melody_rules``, and a bass string that carries
  it, or still sounds in a rest, is where the bass line is;
* a chord is refused outright where the bass string has no root (or slash bass) for it, or no
  string any of its third (second, fourth) and fifth.

Public: RuledBook, Standing, TooMany, choice_key, NOTHING_OWED.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from fretboard.fingering import fingerings, open_places
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import NO_ROLE, ROLE_CODE, Choice
from scoring.moment import ROLES, Moment
from scoring.weights import Weights
from solver.style import Style
from tests.solver.melody_rules import bass_names, carries_bass, near, shape_allowed

FOREIGN_ROLES = ("passing", "neighbour", "approach")
NOTHING_OWED = (frozenset(), False)


@dataclass(frozen=True)
class Standing:
    """Where a sequence has come to: choice; line: the last bass note, None before one and in a
    rest; heard: the chord's degrees heard since it began; owed: the notes of which the bass must
    strike one at the next moment, and whether that must begin a chord with its root."""

    choice: Choice
    line: int | None
    heard: frozenset[str]
    owed: tuple[frozenset[int], bool]


def choice_key(choice: Choice) -> tuple[object, ...]:
    """By what equal answers are told apart: frets, fingers, place, strokes, role."""
    code = NO_ROLE if choice.role is None else ROLE_CODE[choice.role]
    grip = choice.grip
    return grip.frets, grip.fingers, grip.place, choice.struck, code


class TooMany(Exception):  # noqa: N818  a word for what it is
    """There are more sequences than anybody wants to write down."""


class RuledBook:
    """All sequences of choices for some moments.

    standings[i]: the standings that some beginning reaches at moment i; onward[i]: from each of
    them the standings at i + 1 that may follow, by number.
    """

    def __init__(
        self,
        moments: tuple[Moment, ...],
        instrument: Instrument,
        hand: Hand,
        style: Style,
        weights: Weights,
        most: int | None = None,
    ) -> None:
        """most: TooMany is raised where there are more beginnings than that."""
        self.moments = moments
        self.instrument, self.hand, self.style, self.weights = instrument, hand, style, weights
        self.standings: list[list[Standing]] = []
        self.onward: list[list[list[int]]] = []
        self._write(most)

    def _refused(self) -> bool:
        """Whether some chord is refused outright; never where there is a melody to keep."""
        if self.style.texture in ("solo", "drone"):
            return False
        limits = [self.style.bass_ceiling] + [self.style.highest] * len(self.instrument.courses)
        there = [
            {
                self.instrument.pitch(course, fret) % 12
                for course in courses
                for fret in self.instrument.frets(course)
                if fret - self.instrument.capo <= limits[course]
            }
            for courses in ((0,), range(len(self.instrument.courses)))
        ]
        body = ("second", "third", "fourth", "fifth")
        return any(
            chord.bass_pitch_class not in there[0]
            or (
                self.style.texture != "bass"
                and there[1].isdisjoint(pc for name, pc in chord.degrees.items() if name in body)
            )
            for chord in {moment.chord for moment in self.moments if moment.chord is not None}
        )

    def _write(self, most: int | None) -> None:
        if self._refused():
            self.standings = [[] for _ in self.moments]
            self.onward = [[] for _ in self.moments[1:]]
            return
        for index, moment in enumerate(self.moments):
            moment, rows = self._rows(moment)
            if index == 0:
                first = [s for row in rows for s in self._begin(moment, *row)]
                self.standings.append(sorted(first, key=lambda s: choice_key(s.choice)))
                beginnings = [1] * len(first)
                continue
            known: dict[Standing, int] = {}
            ways = []
            for before in self.standings[-1]:
                after = [s for row in rows for s in self._follow(moment, before, *row)]
                after.sort(key=lambda s: choice_key(s.choice))
                ways.append([known.setdefault(standing, len(known)) for standing in after])
            self.standings.append(list(known))
            self.onward.append(ways)
            reached = [0] * len(known)
            for count, heads in zip(beginnings, ways, strict=True):
                for head in heads:
                    reached[head] += count
            beginnings = reached
            if most is not None and sum(beginnings) > most:
                raise TooMany(f"more than {most} ways to begin")

    def _rows(self, moment: Moment) -> tuple[Moment, list[tuple[Grip, tuple[bool, ...]]]]:
        """The shapes that the moment allows whatever came before, with their strokes; the moment
        with its fallback roles among its own."""
        if self.style.texture in ("solo", "drone"):
            return moment, list(self._tuneful_shapes(moment))
        moment = replace(moment, roles=moment.roles | moment.fallback)
        return moment, list(self._shapes(moment))

    def _shapes(self, moment: Moment) -> Iterator[tuple[Grip, tuple[bool, ...]]]:
        instrument = self.instrument
        waiting = open_places(instrument, instrument.capo + self.style.bass_ceiling)
        for struck in moment.strikes:
            strings = [
                [f for f in (-1, *instrument.frets(c)) if self._may_sound(moment, struck, c, f)]
                for c in range(len(instrument.courses))
            ]
            for frets in product(*strings):
                pitches = [instrument.pitch(c, f) for c, f in enumerate(frets) if f >= 0]
                bass_sounds = frets[0] >= 0
                if self.style.bass_lowest and bass_sounds and min(pitches) < pitches[0]:
                    continue
                if any(fret > instrument.capo for fret in frets):
                    grips = fingerings(frets, instrument, self.hand)
                else:
                    grips = tuple(Grip(frets, (-1,) * len(frets), at) for at in waiting)
                yield from ((grip, struck) for grip in grips)

    def _tuneful_shapes(self, moment: Moment) -> Iterator[tuple[Grip, tuple[bool, ...]]]:
        instrument = self.instrument
        waiting = open_places(instrument, instrument.capo + self.style.bass_ceiling)
        for struck in moment.strikes:
            every = [
                (
                    -1,
                    *(f for f in instrument.frets(c) if near(moment, c, f, instrument, self.style)),
                )
                for c in range(len(instrument.courses))
            ]
            for frets in product(*every):
                if not shape_allowed(moment, frets, struck, instrument, self.style):
                    continue
                if any(fret > instrument.capo for fret in frets):
                    grips = fingerings(frets, instrument, self.hand)
                else:
                    grips = tuple(Grip(frets, (-1,) * len(frets), at) for at in waiting)
                yield from ((grip, struck) for grip in grips)

    def _may_sound(self, moment: Moment, struck: tuple[bool, ...], course: int, fret: int) -> bool:
        """Whether a string may have that fret, -1 for silence, as far as it alone can tell."""
        if fret < 0:
            must_ring = course == 0 and moment.rings and moment.plays[0] and not moment.damped
            return not struck[course] and not must_ring
        style, instrument = self.style, self.instrument
        if fret - instrument.capo > (style.highest if course else style.bass_ceiling):
            return False
        pitch = instrument.pitch(course, fret)
        if course == 0:
            if struck[0]:
                return bool(self._roles(moment, pitch))
            return bool(self._roles(moment, pitch)) and moment.plays[0] and not moment.damped
        tone = moment.chord is not None and pitch % 12 in moment.chord.degrees.values()
        if struck[course]:
            return tone
        left_out = moment.strikes[0][course]
        return moment.plays[course] and not left_out and (tone or fret == instrument.capo)

    def _own_role(self, moment: Moment, pitch: int) -> str | None:
        """The chord's own role among those asked for that the pitch has."""
        if moment.chord is None:
            return None
        classes = dict(moment.chord.degrees)
        classes["slash bass"] = moment.chord.bass_pitch_class
        classes["alternate fourth"] = (moment.chord.degrees["root"] + 5) % 12
        own = [r for r in ROLES if r in moment.roles and classes.get(r) == pitch % 12]
        if "octave" in moment.roles and pitch - 12 == self._lowest(classes["root"]):
            return "octave"
        if moment.climbs:
            lowest = self._lowest(classes["root"])
            own = [
                role
                for role in own
                if (role == "fifth" and lowest is not None and 0 < pitch - lowest < 12)
                or (role in ("root", "slash bass") and pitch == self._lowest(classes[role]))
            ]
        return own[0] if own else None

    def _lowest(self, pitch_class: int) -> int | None:
        """The lowest pitch of that class on the bass string, None where it has none."""
        pitches = [self.instrument.pitch(0, fret) for fret in self.instrument.frets(0)]
        return min((pitch for pitch in pitches if pitch % 12 == pitch_class), default=None)

    def _roles(self, moment: Moment, pitch: int) -> list[str]:
        """What a bass note of that pitch may be called when struck."""
        own = self._own_role(moment, pitch)
        if own is not None:
            return [own]
        if moment.chord is None or pitch % 12 in moment.chord.degrees.values():
            return []
        in_scale = pitch % 12 in moment.scale
        return [role for role in FOREIGN_ROLES if in_scale and role in moment.roles]

    def _named(self, moment: Moment, grip: Grip, struck: tuple[bool, ...]) -> list[str]:
        """What the bass note struck may be called."""
        pitch = self.instrument.pitch(0, grip.frets[0])
        if self.style.texture not in ("solo", "drone"):
            return self._roles(moment, pitch)
        if carries_bass(moment, grip.frets, struck, self.instrument):
            return ["melody"]
        return bass_names(moment, pitch, grip.frets[0] == self.instrument.capo)

    def _heard(self, moment: Moment, grip: Grip, before: frozenset[str]) -> frozenset[str]:
        """The degrees heard by now, but for the fifth, which nobody misses."""
        if moment.chord is None:
            return frozenset()
        sounding = {self.instrument.pitch(c, f) % 12 for c, f in enumerate(grip.frets) if f >= 0}
        now = {
            degree
            for degree, pc in moment.chord.degrees.items()
            if pc in sounding and degree != "fifth"
        }
        return frozenset(now if moment.change else before | now)

    def _begin(self, moment: Moment, grip: Grip, struck: tuple[bool, ...]) -> Iterator[Standing]:
        if any(fret >= 0 and not hit for fret, hit in zip(grip.frets, struck, strict=True)):
            return
        heard = self._heard(moment, grip, frozenset())
        if not struck[0]:
            yield Standing(Choice(grip, struck, None), None, heard, NOTHING_OWED)
            return
        pitch = self.instrument.pitch(0, grip.frets[0])
        for role in self._named(moment, grip, struck):
            if role not in FOREIGN_ROLES:
                yield Standing(Choice(grip, struck, role), pitch, heard, NOTHING_OWED)

    def _follow(
        self, moment: Moment, before: Standing, grip: Grip, struck: tuple[bool, ...]
    ) -> Iterator[Standing]:
        old = before.choice.grip
        for course, fret in enumerate(grip.frets):
            rings_on = fret >= 0 and not struck[course]
            kept = (fret, grip.fingers[course]) == (old.frets[course], old.fingers[course])
            if rings_on and not kept:
                return
        heard = self._heard(moment, grip, before.heard)
        owed, to_a_root = before.owed
        if not struck[0]:
            if moment.chord is not None:
                yield Standing(Choice(grip, struck, None), before.line, heard, before.owed)
            elif not owed:
                line = before.line if grip.frets[0] >= 0 else None
                yield Standing(Choice(grip, struck, None), line, heard, NOTHING_OWED)
            return
        pitch, line = self.instrument.pitch(0, grip.frets[0]), before.line
        if owed and pitch not in owed:
            return
        for role in self._named(moment, grip, struck):
            if moment.keeps and pitch != line and role != "melody":
                continue
            if to_a_root and not (moment.change and role in ("root", "slash bass")):
                continue
            if role not in FOREIGN_ROLES:
                yield Standing(Choice(grip, struck, role), pitch, heard, NOTHING_OWED)
            elif not owed:
                owes = self._owes(moment, role, line, pitch)
                if owes is not None:
                    yield Standing(Choice(grip, struck, role), pitch, heard, owes)

    def _owes(
        self, moment: Moment, role: str, line: int | None, pitch: int
    ) -> tuple[frozenset[int], bool] | None:
        """What a foreign note must go on to, None where it may not stand."""
        if role == "approach":
            near = frozenset(pitch + by for by in (-2, -1, 1, 2))
            return (near, True) if moment.leads else None
        if line is None or abs(pitch - line) not in (1, 2):
            return None
        if role == "neighbour":
            return frozenset({line}), False
        way = 1 if pitch > line else -1
        return frozenset({pitch + way, pitch + 2 * way}), False
