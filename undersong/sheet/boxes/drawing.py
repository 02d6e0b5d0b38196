"""One shape diagram: a piece of the fretboard as it lies on the lap.

What the player sees when she looks down: the bass string far away at the top, the nut at her left
(for a left-handed player, whose instrument is strung the other way round, at her right; common
practice, no source). Frets stand as far apart as on the instrument. A finger's letter lies on its
string just behind the fret, where the finger goes; a finger laid across strings is one long mark.
At the nut stands what the tab says for each string; a string that is silent is broken. Above it
stand the tab's numbers, the chords and how often the shape comes; beneath it the notes that sound,
bass to melody, and where it comes first. The drawing is our own.

Public: diagram, BESIDE, SPACE.
"""

from collections.abc import Collection
from dataclasses import dataclass

from fretboard.grip import Grip
from solver.result import Arrangement
from tune.key import pitch_in
from undersong.compared import named_bars
from undersong.sheet.boxes.options import DiagramOptions
from undersong.sheet.boxes.stretch import Stretch
from undersong.sheet.engraved.signs import signed, signed_width
from undersong.sheet.flow import Block
from undersong.sheet.lettering import POINT, number, rule, shortened, width, words
from undersong.sheet.used import UsedShape

LABELS = 6.5
"""mm at the nut for what the tab says."""

BEYOND = 2.5
"""mm that the strings go on after the last fret."""

SPACE = 5.5
"""mm between two columns of diagrams."""

BESIDE = LABELS + BEYOND + SPACE

_STRING = 5.4
"""mm from string to string at the most: wider than on the instrument, or letters would meet."""

_CLEAR = 1.1
"""mm between two fingers' marks on neighbouring strings at the least, where strings are closer."""

_WOOD, _WIRE, _FAINT = "#f2ece0", "#777", "#999"
_THICK = {3: (0.75, 0.45, 0.35), 4: (0.75, 0.45, 0.35, 0.35)}


@dataclass(frozen=True)
class Drawing:
    """What one diagram is made from."""

    arrangement: Arrangement
    options: DiagramOptions
    stretch: Stretch
    grip: Grip

    @property
    def k(self) -> float:
        return self.options.enlarged

    @property
    def apart(self) -> float:
        """mm from string to string: closer where the marks of fingers are small."""
        return min(_STRING * self.k, self.stretch.dot + _CLEAR * self.k)

    @property
    def wide(self) -> float:
        """mm from the labels at the nut to the end of the strings."""
        return self.k * (LABELS + BEYOND) + self.stretch.length

    @property
    def rows(self) -> list[int]:
        """Courses from the top line down."""
        count = len(self.arrangement.instrument.courses)
        return list(range(count)) if self.options.bass_on_top else list(range(count))[::-1]

    @property
    def told(self) -> list[int]:
        """Courses that the tab has a line for: of a bass part its own."""
        return [0] if self.arrangement.style.texture == "bass" else self.rows

    def x(self, along: float) -> float:
        """From the left edge, for mm along the fretboard from the nut or capo."""
        here = self.k * LABELS + along
        return self.wide - here if self.options.left_handed else here

    def y(self, course: int) -> float:
        """From the top line's own place."""
        return self.rows.index(course) * self.apart


def diagram(
    arrangement: Arrangement,
    options: DiagramOptions,
    stretch: Stretch,
    used: UsedShape,
    order: int,
) -> Block:
    """The block of one shape; order: its number on the sheet."""
    drawing = Drawing(arrangement, options, stretch, used.grip)
    k = drawing.k
    head, small = 10.5 * POINT * k, 8 * POINT * k
    top = head * 1.2 + small * 1.25 + drawing.apart / 2
    """From the block's top to the first string."""
    last = (len(drawing.rows) - 1) * drawing.apart
    beneath = top + last + drawing.apart / 2 + small * 1.35

    def draw(left: float, above: float) -> str:
        parts = [_head(drawing, used, order, left, above + head)]
        parts += [_board(drawing, left, above + top), _strings(drawing, left, above + top)]
        parts += [_labels(drawing, left, above + top, small)]
        parts += [_fingers(drawing, left, above + top)]
        parts += [_beneath(drawing, used, left, above + beneath, small)]
        return "".join(parts)

    return Block(beneath + 1.0 * k, draw)


def _head(drawing: Drawing, used: UsedShape, order: int, left: float, base: float) -> str:
    """Number, what the tab says, the chords; at the right how often."""
    k, options = drawing.k, drawing.options
    large, small = 10.5 * POINT * k, 8.5 * POINT * k
    instrument = drawing.arrangement.instrument
    frets = [used.grip.frets[course] for course in sorted(drawing.told)]  # as shapes are typed
    tab = "-".join("x" if f < 0 else instrument.label(f, options.from_capo) for f in frets)
    title = f"{order}.  {tab}"
    often = "once" if used.times == 1 else f"{used.times} times"
    end = left + drawing.wide
    room = drawing.wide - width(title, large, True) - width(often, small) - 5 * k
    names = ", ".join(chord.pretty for chord in used.chords)
    chords = shortened(names, room, small) if room > 4 * k else ""
    parts = [words(left, base, title, large, bold=True)]
    if chords:
        x = left + width(title, large, True) + 2.5 * k
        parts.append(signed(x, base, chords, small, kind="chord"))
    parts.append(words(end, base, often, small, anchor="end"))
    return "".join(parts)


def _board(drawing: Drawing, left: float, top: float) -> str:
    """The wood, the nut or capo, and the wires under the courses that they run under."""
    k, instrument = drawing.k, drawing.arrangement.instrument
    edge = drawing.apart * 0.5
    bottom = (len(drawing.rows) - 1) * drawing.apart + edge
    stretch, contrast = drawing.stretch, drawing.options.contrast
    start, end = sorted((drawing.x(0), drawing.x(stretch.length + BEYOND * k)))
    parts = [
        f'<rect x="{number(left + start)}" y="{number(top - edge)}" width="{number(end - start)}" '
        f'height="{number(bottom + edge)}" fill="{"#fff" if contrast else _WOOD}"/>'
    ]
    for y in (-edge, bottom):
        parts.append(rule(left + start, top + y, left + end, top + y, 0.15 * k, ink=_WIRE))
    for fret in stretch.frets:
        x = left + drawing.x(stretch.at(fret))
        for course in drawing.rows:
            if fret in instrument.courses[course].frets:
                y = top + drawing.y(course)
                parts.append(rule(x, y - edge, x, y + edge, 0.4 * k, ink=_ink(drawing, _WIRE)))
    x = left + drawing.x(0)
    thick = (1.9 if instrument.capo else 1.1) * k
    parts.append(rule(x, top - edge - 0.3 * k, x, top + bottom + 0.3 * k, thick, ink="#222"))
    return "".join(parts)


def _ink(drawing: Drawing, grey: str) -> str:
    return "#000" if drawing.options.contrast else grey


def _strings(drawing: Drawing, left: float, top: float) -> str:
    """A line a string, two for a pair, broken where it is silent."""
    k, instrument = drawing.k, drawing.arrangement.instrument
    start = left + drawing.x(0)
    end = left + drawing.x(drawing.stretch.length + BEYOND * k)
    parts = []
    for course in drawing.rows:
        y = top + drawing.y(course)
        silent = drawing.grip.frets[course] < 0
        thick = _THICK[len(drawing.rows)][course] * k
        dash = f"{number(0.8 * k)} {number(1.0 * k)}" if silent else ""
        ink = _ink(drawing, _FAINT) if silent else "#000"
        pair = (-0.4 * k, 0.4 * k) if instrument.courses[course].doubled else (0.0,)
        for apart in pair:
            parts.append(
                rule(start, y + apart, end, y + apart, thick / len(pair) ** 0.5, dash=dash, ink=ink)
            )
    return "".join(parts)


def _labels(drawing: Drawing, left: float, top: float, size: float) -> str:
    """The frets' numbers above them, and at the nut what the tab says for each string."""
    k, options = drawing.k, drawing.options
    instrument = drawing.arrangement.instrument
    above = top - drawing.apart * 0.5 - size * 0.35
    small = size * 0.85
    stopped = {
        fret
        for fret, finger in zip(drawing.grip.frets, drawing.grip.fingers, strict=True)
        if finger >= 0
    }
    parts = []
    for fret, x in _numbered(drawing, stopped, small).items():
        held = fret in stopped
        ink = "#000" if held else _ink(drawing, "#666")
        label = instrument.label(fret, options.from_capo)
        parts.append(words(left + x, above, label, small, bold=held, anchor="middle", fill=ink))
    if instrument.capo:
        x = left + drawing.x(-LABELS * k * 0.5)
        parts.append(words(x, above, "capo", small, anchor="middle", fill=_ink(drawing, "#666")))
    for course in drawing.told:
        fret = drawing.grip.frets[course]
        label = "x" if fret < 0 else instrument.label(fret, options.from_capo)
        x = left + drawing.x(-LABELS * k * 0.5)
        parts.append(
            words(
                x,
                top + drawing.y(course) + size * 0.36,
                label,
                size * 1.1,
                bold=fret >= 0,
                anchor="middle",
            )
        )
    return "".join(parts)


def _numbered(drawing: Drawing, stopped: Collection[int], size: float) -> dict[int, float]:
    """Frets and where their numbers stand, from the left edge: those that are stopped, pushed apart
    where they would meet, and of the others those that there is room for."""
    instrument, stretch = drawing.arrangement.instrument, drawing.stretch
    air = 0.3 * drawing.k
    placed: dict[int, float] = {}
    halves = {
        fret: width(
            instrument.label(fret, drawing.options.from_capo), size, bold=fret in stopped
        ) / 2
        for fret in stretch.frets
    }  # fmt: skip
    order = sorted(stopped, key=lambda fret: drawing.x(stretch.at(fret)))
    free = 0.0
    for fret in order:
        placed[fret] = max(drawing.x(stretch.at(fret)), free + halves[fret])
        free = placed[fret] + halves[fret] + air
    free = drawing.wide
    for fret in reversed(order):
        placed[fret] = min(placed[fret], free - halves[fret])
        free = placed[fret] - halves[fret] - air
    for fret in stretch.frets:
        x, half = drawing.x(stretch.at(fret)), halves[fret]
        room = half <= x <= drawing.wide - half
        if room and all(abs(x - at) >= half + halves[o] + air for o, at in placed.items()):
            placed[fret] = x
    return placed


def _fingers(drawing: Drawing, left: float, top: float) -> str:
    """A mark for each finger, long where it lies across strings, its letter on every string."""
    grip, hand, stretch = drawing.grip, drawing.arrangement.hand, drawing.stretch
    dot = stretch.dot
    size = dot * 0.78
    parts = []
    for finger in sorted(grip.down):
        courses = [course for course, on in enumerate(grip.fingers) if on == finger]
        x = left + drawing.x(stretch.at(grip.frets[courses[0]]) - dot / 2 - 0.35 * drawing.k)
        ys = sorted(top + drawing.y(course) for course in courses)
        parts.append(
            f'<rect x="{number(x - dot / 2)}" y="{number(ys[0] - dot / 2)}" width="{number(dot)}" '
            f'height="{number(ys[-1] - ys[0] + dot)}" rx="{number(dot / 2)}" fill="#111"/>'
        )
        for y in ys:
            parts.append(
                words(
                    x,
                    y + size * 0.36,
                    hand.letter(finger),
                    size,
                    bold=True,
                    anchor="middle",
                    fill="#fff",
                )
            )
    return "".join(parts)


def _beneath(drawing: Drawing, used: UsedShape, left: float, base: float, size: float) -> str:
    """The notes that sound, bass to melody, and where the shape comes first."""
    tune = drawing.arrangement.tune
    bar = named_bars(tune, (used.bar,)).removesuffix(" (1st time)")  # the first use of all
    firsts = (f"from {bar}", bar, bar.replace(" time", ""))
    start, end = left + drawing.k * LABELS, left + drawing.wide
    if drawing.options.left_handed:
        start, end = left, left + drawing.wide - drawing.k * LABELS
    parts = []
    for note in _notes(drawing, used):
        parts.append(signed(start, base, note, size, bold=True, kind="fact"))
        start += signed_width(note, size, bold=True) + 0.6 * size
    room = end - start - 1.5 * drawing.k
    first = next((each for each in firsts if width(each, size) <= room), firsts[-1])
    parts.append(words(end, base, shortened(first, room, size), size, anchor="end"))
    return "".join(parts)


def _notes(drawing: Drawing, used: UsedShape) -> list[str]:
    """Bass to melody, spelled in the key of the bar where the shape comes first."""
    instrument = drawing.arrangement.instrument
    notes = []
    for course in sorted(drawing.told):
        if used.grip.frets[course] >= 0:
            pitch = instrument.pitch(course, used.grip.frets[course])
            notes.append(_pretty(pitch_in(pitch, used.key)))
    return notes


def _pretty(name: str) -> str:
    """With real signs."""
    return name[0] + name[1:].replace("#", "♯").replace("b", "♭")
