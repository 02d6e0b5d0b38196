"""What both parts share: the bars in printed order, their numbers, lines, repeats and endings.

Public: Frame, framed, open_bar, close_bar, signature, divisions_of.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import gcd
from xml.etree.ElementTree import Element

from solver.result import Arrangement
from tune.key import Key
from tune.time import QUARTER, Metre
from tune.tune import Bar, Tune
from undersong.sheet.folding import Folding, SheetBar
from undersong.sheet.musicxml.elements import add
from undersong.sheet.rhythm import Stem, bar_stems
from undersong.sheet.verses import sung_words


@dataclass(frozen=True)
class Frame:
    """One printed bar.

    sheet, bar: what it stands for, with the verses that are sung in it; before: the bar printed
    before it; divisions: of a quarter note in this document; opens_ending, closes_ending: times
    that an ending begins or stops here for; last: the last bar of all.
    """

    sheet: SheetBar
    bar: Bar
    before: "Frame | None"
    divisions: int
    opens_ending: tuple[int, ...] = ()
    closes_ending: tuple[int, ...] = ()
    last: bool = False

    def length(self, ticks: int) -> int:
        """Ticks in divisions."""
        whole, over = divmod(ticks * self.divisions, QUARTER)
        assert over == 0, "divisions are as fine as every place needs"
        return whole

    def stems(self, spans: Sequence[tuple[int, int]]) -> tuple[Stem, ...]:
        """The written values of what sounds; SheetError with the bar where there are none."""
        return bar_stems(spans, self.bar, self.sheet.lead)


def framed(arrangement: Arrangement, folding: Folding) -> tuple[Frame, ...]:
    """The bars to print."""
    bars = arrangement.tune.bars
    divisions = divisions_of(_places(bars[sheet.written], sheet) for sheet in folding.bars)
    frames: list[Frame] = []
    inside: tuple[int, ...] = ()
    for index, sheet in enumerate(folding.bars):
        after = folding.bars[index + 1] if index + 1 < len(folding.bars) else None
        inside = sheet.endings or inside
        goes_on = (
            after is not None
            and not sheet.closes
            and not after.endings
            and bars[after.written].endings == inside
        )
        frames.append(
            Frame(
                sheet,
                _with_words(arrangement.tune, folding, sheet),
                frames[-1] if frames else None,
                divisions,
                sheet.endings,
                () if goes_on else inside,
                after is None,
            )
        )
        inside = inside if goes_on else ()
    return tuple(frames)


def _with_words(tune: Tune, folding: Folding, sheet: SheetBar) -> Bar:
    """The bar as written, with the verses that are sung this time."""
    bar = tune.bars[sheet.written]
    notes = (replace(n, lyrics=sung_words(tune, folding, sheet, n.lyrics)) for n in bar.notes)
    return replace(bar, notes=tuple(notes))


def _places(bar: Bar, sheet: SheetBar) -> list[int]:
    """Every tick that has to be a whole number of divisions."""
    edges = [end for note in bar.notes for end in (note.tick, note.tick + note.length)]
    chords = [change.tick for change in bar.chords]
    return [bar.length, sheet.lead, bar.metre.bar, *edges, *chords, *(s.offset for s in sheet.seen)]


def divisions_of(places: Iterable[Sequence[int]]) -> int:
    """Divisions of a quarter note that make every place whole, a sixteenth at least.

    Notes are cut at places no finer, but at the edges of tuplets: where there are any, a 128th is
    whole too.
    """
    step = QUARTER // 4
    for some in places:
        step = gcd(step, *some)
    divisions = QUARTER // step
    if divisions & (divisions - 1):
        step = gcd(step, QUARTER // 32)
    return QUARTER // step


def signature(attributes: Element, frame: Frame) -> None:
    """Key and metre where they change."""
    before = frame.before.bar if frame.before else None
    if before is None or before.key != frame.bar.key:
        _key(attributes, frame.bar.key)
    if before is None or before.metre != frame.bar.metre:
        _time(attributes, frame.bar.metre)


def _key(attributes: Element, key: Key) -> None:
    element = add(attributes, "key")
    add(element, "fifths", key.fifths)
    add(element, "mode", key.mode)


def _time(attributes: Element, metre: Metre) -> None:
    element = add(attributes, "time")
    add(element, "beats", metre.beats)
    add(element, "beat-type", metre.unit)


def open_bar(part: Element, frame: Frame) -> Element:
    """A new measure with its left line."""
    number = frame.bar.number
    more: dict[str, str] = {}
    odd = frame.bar.length != frame.bar.metre.bar
    if number == 0 or (odd and frame.before is not None):
        more["implicit"] = "yes"
    measure = add(part, "measure", number=str(number), **more)
    opens = frame.sheet.opens and (frame.before is not None or frame.bar.repeat_start)
    if opens or frame.opens_ending:
        line = add(measure, "barline", location="left")
        if opens:
            add(line, "bar-style", "heavy-light")
        if frame.opens_ending:
            add(line, "ending", number=_times(frame.opens_ending), type="start")
        if opens:
            add(line, "repeat", direction="forward")
    return measure


def close_bar(measure: Element, frame: Frame) -> None:
    """The measure's right line, where it is none of the usual ones."""
    closes = frame.sheet.closes
    if not (closes or frame.closes_ending or frame.last):
        return
    line = add(measure, "barline", location="right")
    if closes or frame.last:
        add(line, "bar-style", "light-heavy")
    if frame.closes_ending:
        kind = "stop" if closes else "discontinue"
        add(line, "ending", number=_times(frame.closes_ending), type=kind)
    if closes:
        more: dict[str, str] = {}
        if frame.sheet.times > 2 and not frame.closes_ending:
            more["times"] = str(frame.sheet.times)
        add(line, "repeat", direction="backward", **more)


def _times(times: tuple[int, ...]) -> str:
    return ", ".join(map(str, times))
