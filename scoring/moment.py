"""The moment: a place in the tune where a string is struck or the hand must be somewhere.

A moment says what is asked (chord, beat, which strings the right hand may strike, which notes the
bass may take); a choice (``scoring.choice``) says what is done there.

Bass roles: a degree of the chord (``root``, ``third``, ``fifth``, …), ``slash bass`` for the note
after a chord symbol's slash, ``alternate fourth`` in the manner that swings between root and
fourth, ``octave`` for the root an octave above the lowest, and the notes foreign to the chord:
``passing``, ``neighbour``, ``approach``. Where the instrument plays the melody too: ``drone`` for
the open bass string whatever the chord, ``melody`` for a melody note that the bass string carries.

Public: Moment, Strokes, ROLES, FOREIGN.
"""

from dataclasses import dataclass

from tune.chord import Chord
from tune.time import QUARTER

FOREIGN = ("passing", "neighbour", "approach")
ROLES = (
    "root",
    "slash bass",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "ninth",
    "alternate fourth",
    "octave",
    *FOREIGN,
    "drone",
    "melody",
)

Strokes = tuple[bool, ...]
"""Which courses are struck, bass first."""


@dataclass(frozen=True)
class Moment:
    """What is asked at one moment.

    bar: the played bar's number; written: the written bar's index; offset: ticks from the start
    of the bar; length: ticks to the next moment; ms: the same in milliseconds at the tune's
    tempo. chord: None for silence; change: the chord begins here; downbeat: first beat of a bar;
    strong: a beat where the bass may not take a note foreign to the chord; half_bar: the second
    of two beats or the third of four; moves: the bass is expected to move on here; run: part of a
    run into the next root; runs_to: the pitch class of that root, where this is a note of the run
    before it; keeps: a bass string struck again here repeats its note; rings: the
    bass must sound on; leads: the next bass note may begin a new chord; judged: the chord's
    completeness is judged here; damped: the bass note is damped soon after; strikes: the right
    hand's choices, as asked first; plays: courses that this right hand plays at all; roles: what
    the bass may be when struck; fallback: what it may be instead, at a price; scale: pitch
    classes that foreign notes are taken from. texture: what the player is doing
    (``solver.style.TEXTURES``); melody: the pitch of the melody note that sounds throughout, None
    for none or where the instrument does not play it; sings: that note begins here; breath: the
    bass should fall silent here; climbs: part of a figure, which climbs from its lowest root to
    the octave.
    """

    bar: int
    written: int
    offset: int
    length: int
    ms: int
    chord: Chord | None
    change: bool
    downbeat: bool
    strong: bool
    half_bar: bool
    moves: bool
    run: bool
    keeps: bool
    rings: bool
    leads: bool
    judged: bool
    damped: bool
    strikes: tuple[Strokes, ...]
    plays: Strokes
    roles: frozenset[str]
    fallback: frozenset[str] = frozenset()
    scale: frozenset[int] = frozenset()
    texture: str = "song"
    melody: int | None = None
    sings: bool = False
    breath: bool = False
    climbs: bool = False
    runs_to: int | None = None

    @property
    def eighths(self) -> int:
        """The length in eighth notes, counted up."""
        return -(-self.length * 2 // QUARTER)

    @property
    def quiet(self) -> bool:
        """Whether nothing sounds here: no chord, and no melody of the instrument's own."""
        return self.chord is None and self.melody is None

    @property
    def takes_bass(self) -> bool:
        """Whether a bass note may be struck here for its own sake, not for the melody's."""
        asked = self.strikes[0]
        return asked[0] or self.strikes[1:2] == ((True, *asked[1:]),)

    @property
    def begins_anew(self) -> bool:
        """Whether a chord begins with a bass note, whatever sounded before."""
        return self.change and all(struck[0] for struck in self.strikes)

    def role_pitch_class(self, role: str) -> int | None:
        """The pitch class of a role that belongs to the chord; None for foreign notes."""
        if self.chord is None or role in (*FOREIGN, "drone", "melody"):
            return None
        if role == "octave":
            return self.chord.degrees["root"]
        if role == "slash bass":
            return self.chord.bass_pitch_class
        if role == "alternate fourth":
            return (self.chord.degrees["root"] + 5) % 12
        return self.chord.degrees.get(role)
