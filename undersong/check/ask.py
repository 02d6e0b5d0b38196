"""What is asked at one tick, worked out for the checker alone.

Bass notes are named by role (see ``scoring.moment``).

Public: Ask, Bass, Strings.
"""

from dataclasses import dataclass

from undersong.check.clock import BarTime, ChordTime

Strings = tuple[bool, ...]
"""Which strings are struck, bass first."""


@dataclass(frozen=True)
class Bass:
    """A new bass note: roles that it should have; instead: those that may stand in, at a price;
    optional: it may be left out; climbs: it belongs to a figure, up from its lowest root."""

    roles: frozenset[str]
    instead: frozenset[str] = frozenset()
    optional: bool = False
    run: bool = False
    moves: bool = False
    climbs: bool = False


@dataclass(frozen=True)
class Ask:
    """Something begins at ``tick``. bass: a new bass note or None; pattern: the strings that the
    right hand strikes besides; again: the bass repeats its note; run: it belongs to a run.

    melody: the pitch of the melody note that the instrument sounds here; sings: it begins here;
    breath: the bass should fall silent; sets: every set of strings that may be struck, the one
    asked for first; judged: the chord should be complete here.
    """

    tick: int
    bar: BarTime
    time: ChordTime
    bass: Bass | None
    pattern: Strings
    run: bool = False
    melody: int | None = None
    sings: bool = False
    breath: bool = False
    sets: tuple[Strings, ...] = ()
    judged: bool = False

    @property
    def manner(self) -> str:
        """The bass manner in force: that of the bar where the chord began."""
        return self.time.manner

    @property
    def first(self) -> bool:
        """A chord begins here."""
        return self.time.chord is not None and self.tick == self.time.start

    @property
    def strong(self) -> bool:
        return self.time.chord is None or self.tick in self.bar.strong

    @property
    def again(self) -> bool:
        return self.bass is None and self.pattern[0]

    @property
    def strikes(self) -> tuple[Strings, ...]:
        """Every set of strings that may be struck, the one asked for first; in a song an optional
        bass note may be added, and the melody string left out of a full strum."""
        if self.sets:
            return self.sets
        new = self.bass is not None and not self.bass.optional
        asked = (new or self.pattern[0], *self.pattern[1:])
        sets = [asked]
        if self.bass is not None and self.bass.optional and not self.pattern[0]:
            sets.append((True, *asked[1:]))
        if all(asked[1:]):
            sets += [(*strings[:-1], False) for strings in sets]
        return tuple(sets)
