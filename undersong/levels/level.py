"""One level: what it teaches, how the bass goes, and the caps that the hand keeps within.

Levels are TOML, the easiest first, one table ``[[level]]`` each; a teacher's own file is read as
the bundled ones are. Common practice, no source: what is taught first differs from class to class.

Public: Level, read_levels, levels_for, MOST_LEVELS, KEYS.
"""

from dataclasses import dataclass, replace
from importlib import resources
from pathlib import Path

from fretboard.errors import FretboardError
from fretboard.frets import HIGHEST_SEMITONE, fret_label, fret_semitones
from fretboard.hand import FINGERS
from fretboard.instrument import Instrument
from fretboard.reading import Table, read_toml
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.pinned import FingerDown
from solver.conditions.pins import Pin
from solver.errors import ArrangeError
from solver.righthand import RightHand, right_hand
from solver.style import TEXTURES, Style
from undersong.wording import many

MOST_LEVELS = 9

KEYS = (
    "teaches", "texture", "bass", "right-hand", "fingers", "reach", "time", "highest", "shifts",
    "barred", "unused", "one-fingering",
)  # fmt: skip
"""What a level may say."""


@dataclass(frozen=True)
class Level:
    """number: from 1, the easiest; teaches: one sentence for a teacher; bass: a bass manner;
    texture, right_hand: None where the player's own holds. The caps, None for none: fingers: down
    at once; reach: percent of the hand's greatest stretch; time: percent of its time that a move
    may need; highest: fret of any string, counted from the capo where there is one
    (``Instrument.fret_of``), in the semitones of that number from the nut; shifts: of the hand in
    each bar; barred: whether a finger may lie across strings; unused: letters of fingers that stay
    up; one_fingering: a shape has the same fingers wherever it comes, where that can be met
    (``undersong.levels.fingerings``)."""

    number: int
    teaches: str
    bass: str
    texture: str | None = None
    right_hand: RightHand | None = None
    fingers: int | None = None
    reach: int | None = None
    time: int | None = None
    highest: int | None = None
    shifts: int | None = None
    barred: bool = True
    unused: tuple[str, ...] = ()
    one_fingering: bool = False

    def conditions(self, conditions: Conditions) -> Conditions:
        """What is asked of the version besides: that fingers which are not used stay up."""
        pins = tuple(Pin(WHOLE, FingerDown(FINGERS.index(f)), forbid=True) for f in self.unused)
        return replace(conditions, pins=(*conditions.pins, *pins)) if pins else conditions

    def style(self, style: Style, instrument: Instrument) -> Style:
        """The player's style with what the level says; StyleError where both do not go together."""
        top = self.top(instrument)
        highest = HIGHEST_SEMITONE if top is None else top - instrument.capo
        return replace(
            style,
            bass_ceiling=min(style.bass_ceiling, highest),
            highest=min(style.highest, highest),
            melody_highest=min(style.melody_highest, highest),
            manner=self.bass,
            texture=self.texture or style.texture,
            right_hand=self.right_hand or style.right_hand,
        )

    def top(self, instrument: Instrument) -> int | None:
        """The highest fret in semitones above the nut: as many frets past the capo."""
        return None if self.highest is None else instrument.up_to(fret_label(self.highest))

    def limits(self, instrument: Instrument, bars: tuple[BarLimit, ...] = ()) -> Limits | None:
        """The caps that moments hold by themselves, with those of single bars."""
        return self._limits(self.top(instrument), bars)

    def _limits(self, fret: int | None, bars: tuple[BarLimit, ...] = ()) -> Limits | None:
        return Limits.of(self.fingers, self.reach, self.time, fret, self.barred, bars)

    @property
    def caps(self) -> str:
        """The caps in words, ``no limits`` where there are none."""
        limits = self._limits(self.highest)
        words = [] if limits is None else [str(limits)]
        if self.shifts is not None:
            words.append(f"at most {many(self.shifts, 'shift')} of the hand a bar")
        if self.unused:
            words.append(f"without {' '.join(self.unused)}")
        if self.one_fingering:
            words.append("one fingering for each shape")
        return ", ".join(words) or "no limits"


def read_levels(file: Path, shown: str) -> tuple[Level, ...]:
    """The levels of a file; ``shown`` is how messages call it.

    Raises FretboardError, one sentence with the file, the level and the key.
    """
    top = read_toml(file, shown, "level")
    tables = top.tables("level", *KEYS)
    if not 1 <= len(tables) <= MOST_LEVELS:
        raise FretboardError(
            f"{shown}: there are {len(tables)} levels; write 1 to {MOST_LEVELS} of them, the "
            "easiest first, each under a line [[level]]"
        )
    return tuple(_level(number, table) for number, table in enumerate(tables, 1))


def levels_for(texture: str) -> tuple[Level, ...]:
    """The bundled levels for a texture."""
    name = f"{texture}.toml"
    with resources.as_file(resources.files("undersong.levels").joinpath("data", name)) as file:
        return read_levels(file, name)


def _level(number: int, table: Table) -> Level:
    teaches = " ".join(table.text("teaches", "").split())
    if not teaches:
        raise FretboardError(
            f"{table.where}: say what it teaches, in one sentence, such as "
            'teaches = "The bass walks."'
        )
    bass, texture = table.text("bass", ""), table.text("texture", "")
    if not bass:
        raise FretboardError(f'{table.where}: say how the bass goes, such as bass = "roots"')
    if texture and texture not in TEXTURES:
        raise table.error("texture", f"one of {', '.join(TEXTURES)}")
    try:
        pattern = right_hand(table.text("right-hand", "")) if "right-hand" in table.values else None
        Style(manner=bass, texture=texture or ("bass" if bass == "figure" else "song"))
    except ArrangeError as error:
        raise FretboardError(f"{table.where}: {error}") from None
    barred, one_fingering = table.flag("barred", True), table.flag("one-fingering", False)
    texts = [text.strip().upper() for text in table.texts("unused")]
    unused = tuple("".join(texts))  # "RP" as in a hand's file is as good as ["R", "P"]
    if not all(texts) or not set(unused) <= set(FINGERS) or len(set(unused)) < len(unused):
        raise table.error("unused", f"a list of fingers, each once, out of {' '.join(FINGERS)}")
    return Level(
        number=number,
        teaches=teaches,
        bass=bass,
        texture=texture or None,
        right_hand=pattern,
        fingers=_whole(table, "fingers", 0, 5),
        reach=_whole(table, "reach", 0, 1000),
        time=_whole(table, "time", 0, 1000),
        highest=_fret(table),
        shifts=_whole(table, "shifts", 0, 1000),
        barred=barred,
        unused=unused,
        one_fingering=one_fingering,
    )


def _whole(table: Table, key: str, low: int, high: int) -> int | None:
    if key not in table.values:
        return None
    value = table.whole(key, 0)
    if not low <= value <= high:
        raise table.error(key, f"a whole number from {low} to {high}")
    return value


def _fret(table: Table) -> int | None:
    if "highest" not in table.values:
        return None
    value = table.values["highest"]
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise table.error("highest", 'a fret, such as 7 or "6+"')
    try:
        return fret_semitones(str(value))
    except FretboardError as error:
        raise FretboardError(f"{table.where}: highest: {error}") from None
