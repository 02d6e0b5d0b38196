"""Every way to play one moment while only some of the demands are kept.

The rules are those of ``solver.shapes``, each under the demand that it belongs to. Where nothing
that is kept speaks of fingers, they are not looked at: five fingers in order can stop any frets of
three or four strings. Where nothing speaks of a string above the bass, it is silent or open.

Public: Row, Rows, TooMuch.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from fretboard.fingering import fingerings
from fretboard.grip import Grip
from fretboard.hand import FINGERS, Hand
from scoring.choice import NO_ROLE, ROLE_CODE, Shapes
from scoring.moment import Moment, Strokes
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.pinned import Hands, OneString, Shape
from solver.conditions.wording import SILENT
from solver.demands import Wanted
from solver.held import by_themselves
from solver.layers import Labels, Layer
from solver.loose_asked import AskedAt
from solver.loose_melody import tuneful_rows
from solver.pin_masks import holds, knows
from solver.pinning import only_known
from solver.roles import bass_roles
from solver.singing import TUNEFUL

UNBOUND = 100_000
"""Tenths of a mm: further than any fretboard is long."""

MOST_ROWS = 150_000
"""Shapes that one moment may have before looking is given up."""

NAMELESS = "free"
"""The role of a bass note that nothing asks anything of."""


class TooMuch(Exception):  # noqa: N818  what it is
    """There is too much to look at once these demands are left out."""


@dataclass(frozen=True)
class Row:
    """One way to play a moment; role: of a bass note struck, else empty."""

    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    struck: Strokes
    role: str
    pitch: int


class Rows:
    """The ways to play moments of what is wanted."""

    def __init__(self, wanted: Wanted) -> None:
        self.wanted = wanted

    @property
    def learned(self) -> tuple[LearnedShape, ...]:
        """The shapes known, if only those may be used."""
        return only_known(self.wanted.conditions) or ()

    def of(self, moment: Moment, asked: AskedAt) -> list[Row]:
        """Every row that holds what is asked; raises TooMuch."""
        courses, kinds = len(self.wanted.instrument.courses), asked.kinds
        if moment.quiet:
            return [Row((SILENT,) * courses, (-1,) * courses, (False,) * courses, "", -1)]
        if moment.texture in TUNEFUL:
            return self._filtered(self._with_melody(moment, asked), moment, asked)
        if self._refused(moment, kinds):
            return []
        hand = self._hand(kinds)
        stops = {shape.frets for shape in self.learned} if "known" in kinds else None
        rows: list[Row] = []
        for struck in self._strokes(moment, kinds):
            options = [self._frets(moment, c, struck, asked) for c in range(courses)]
            for frets in product(*options):
                if "lowest" in kinds and not self._bass_is_lowest(frets):
                    continue
                if stops is not None and not self._may_be_known(frets, stops):
                    continue
                roles = self._roles(moment, frets[0], struck[0], kinds)
                self._add(rows, frets, struck, roles, hand, asked)
        return self._filtered(rows, moment, asked)

    def _with_melody(self, moment: Moment, asked: AskedAt) -> list[Row]:
        hand = self._hand(asked.kinds)
        rows: list[Row] = []
        for struck, frets, roles in tuneful_rows(moment, asked.kinds, self.wanted):
            self._add(rows, frets, struck, roles, hand, asked)
        return rows

    def _add(
        self,
        rows: list[Row],
        frets: tuple[int, ...],
        struck: Strokes,
        roles: Iterable[str],
        hand: Hand,
        asked: AskedAt,
    ) -> None:
        """Every fingering of the frets, in every role, up to as many rows as can be looked at."""
        pitch = self._pitch(0, frets[0]) if frets[0] >= 0 else -1
        named = tuple(roles)
        rows += [
            Row(frets, fingers, struck, role, pitch)
            for fingers in self._fingers(frets, hand, asked.fingers)
            for role in named
        ]
        if len(rows) > MOST_ROWS:
            raise TooMuch("there are too many ways to play it")

    def _may_be_known(self, frets: tuple[int, ...], stops: set[tuple[int | None, ...]]) -> bool:
        capo = self.wanted.instrument.capo
        stopped = tuple(fret if fret > capo else None for fret in frets)
        return not any(stopped) or stopped in stops

    def _pitch(self, course: int, fret: int) -> int:
        return self.wanted.instrument.pitch(course, fret)

    def _limit(self, course: int, kinds: frozenset[str]) -> int:
        style, capo = self.wanted.style, self.wanted.instrument.capo
        if course == 0:
            return capo + style.bass_ceiling if "ceiling" in kinds else 64
        return capo + style.highest if "highest" in kinds else 64

    def _there(self, course: int, kinds: frozenset[str]) -> list[int]:
        limit = self._limit(course, kinds)
        return [fret for fret in self.wanted.instrument.frets(course) if fret <= limit]

    def _refused(self, moment: Moment, kinds: frozenset[str]) -> bool:
        """Whether a chord that begins is refused outright, as ``solver.refusal`` does."""
        chord = moment.chord
        if not moment.change:
            return False
        assert chord is not None
        classes = [
            {self._pitch(course, fret) % 12 for fret in self._there(course, kinds)}
            for course in range(len(self.wanted.instrument.courses))
        ]
        if "bass" in kinds and chord.bass_pitch_class not in classes[0]:
            return True
        body = {
            pc
            for name, pc in chord.degrees.items()
            if name in ("third", "second", "fourth", "fifth")
        }
        return "body" in kinds and all(body.isdisjoint(each) for each in classes)

    def _strokes(self, moment: Moment, kinds: frozenset[str]) -> tuple[Strokes, ...]:
        if "strokes" in kinds:
            return moment.strikes
        count = len(moment.plays)
        asked = [any(struck[course] for struck in moment.strikes) for course in range(count)]
        options = [(True, False) if on else (False,) for on in asked[1:]]
        basses = dict.fromkeys(struck[0] for struck in moment.strikes)
        return tuple((bass, *upper) for bass in basses for upper in product(*options))

    def _frets(
        self,
        moment: Moment,
        course: int,
        struck: Strokes,
        asked: AskedAt,
    ) -> list[int]:
        kinds = asked.kinds
        there = self._there(course, kinds)
        if course == 0:
            found = self._bass_frets(moment, there, struck[0], kinds)
        else:
            found = self._upper_frets(moment, course, there, struck, kinds)
            if asked.easy(course):
                return found[:1]
        for demand in asked.own:
            shape = demand.asked
            if isinstance(shape, Hands):  # can only be fixed, and is just as it says
                fret = shape.shape.frets[course]
                found = [f for f in found if fret in (None, f)]
            elif not demand.forbid and isinstance(shape, Shape | OneString):
                fret = shape.frets[course]
                found = [f for f in found if fret is None or f in (fret, SILENT)]
        return found

    def _bass_frets(
        self, moment: Moment, there: list[int], struck: bool, kinds: frozenset[str]
    ) -> list[int]:
        sounding = [fret for fret in there if self._roles(moment, fret, True, kinds)]
        if struck:
            return sounding
        if moment.damped or not moment.plays[0]:
            return [SILENT]
        ringing = sounding if "bass" in kinds else there
        return ringing if moment.rings and "bass" in kinds else [SILENT, *ringing]

    def _upper_frets(
        self,
        moment: Moment,
        course: int,
        there: list[int],
        struck: Strokes,
        kinds: frozenset[str],
    ) -> list[int]:
        assert moment.chord is not None
        tones = moment.chord.pitch_classes if "chord" in kinds else frozenset(range(12))
        sounding = [fret for fret in there if self._pitch(course, fret) % 12 in tones]
        if struck[course]:
            return sounding
        left_out = moment.strikes[0][course]
        if not moment.plays[course] or (left_out and "strokes" in kinds):
            return [SILENT]
        capo = self.wanted.instrument.capo
        return [SILENT, *([] if capo in sounding else [capo]), *sounding]

    def _roles(self, moment: Moment, fret: int, struck: bool, kinds: frozenset[str]) -> list[str]:
        """What a bass note may be when struck; [""] where it is not struck."""
        if not struck:
            return [""]
        chord, pitch = moment.chord, self._pitch(0, fret)
        assert chord is not None
        roles = bass_roles(moment, pitch, self.wanted.instrument)
        if "bass" in kinds:
            return roles
        own = [name for name, pc in chord.degrees.items() if pc == pitch % 12]
        if chord.bass and chord.bass_pitch_class == pitch % 12:
            own.append("slash bass")
        if not own and "chord" not in kinds:
            own = [NAMELESS]
        return list(dict.fromkeys([*roles, *own]))

    def _bass_is_lowest(self, frets: tuple[int, ...]) -> bool:
        if frets[0] < 0:
            return True
        bass = self._pitch(0, frets[0])
        return all(f < 0 or self._pitch(c, f) >= bass for c, f in enumerate(frets))

    def _hand(self, kinds: frozenset[str]) -> Hand:
        hand = self.wanted.hand
        if "reach" not in kinds:
            hand = replace(hand, greatest=dict.fromkeys(hand.greatest, UNBOUND))
        if "bars" not in kinds:
            hand = replace(hand, may_bar=FINGERS)
        return hand if "unused" in kinds else replace(hand, not_used="", thumb_on_bass=True)

    def _fingers(self, frets: tuple[int, ...], hand: Hand, look: bool) -> Iterator[tuple[int, ...]]:
        """Every fingering; where fingers are not looked at, the first finger for all."""
        capo = self.wanted.instrument.capo
        if not look or all(fret <= capo for fret in frets):
            yield tuple(0 if fret > capo else -1 for fret in frets)
        else:
            yield from (grip.fingers for grip in fingerings(frets, self.wanted.instrument, hand))

    def _filtered(self, rows: list[Row], moment: Moment, asked: AskedAt) -> list[Row]:
        """The rows that hold the pins and have known shapes only."""
        own = asked.own
        known = self.learned if "known" in asked.kinds else None
        if not rows or not (own or known is not None):
            return rows
        instrument, hand = self.wanted.instrument, self.wanted.hand
        shapes = Shapes.of(
            [(Grip(row.frets, row.fingers, 0), row.struck) for row in rows], instrument, hand
        )
        layer = _as_layer(shapes, rows, moment)
        left = np.ones(len(rows), np.bool_)
        for demand in own:
            left &= holds(layer, demand)
        if known is not None:
            left &= knows(shapes, known)
        return [row for row, there in zip(rows, left.tolist(), strict=True) if there]


def _as_layer(shapes: Shapes, rows: list[Row], moment: Moment) -> Layer:
    """The rows as far as a pin looks at a layer: its shapes and the bass notes' roles."""
    role = np.array([ROLE_CODE.get(row.role, NO_ROLE) for row in rows], np.int32)
    nothing = np.zeros(len(rows), np.int32)
    every = np.arange(len(rows), dtype=np.intp)
    labels = Labels(role, nothing, nothing, nothing)
    return Layer(moment, by_themselves(shapes), labels, nothing[:, None], every, every, every, {})
