"""The plain chart: chords, bars and sections as a teacher types them (see undersong/chart.md).

A chart holds no melody. It is read line by line: ``field: value``, ``section NAME, twice``, or
bars between ``|`` lines. Positions in errors are the line and column of the file, from 1.

Public: read_chart, write_chart.
"""

import re
from dataclasses import dataclass, field, replace

from tune.errors import Place, TuneError
from tune.key import Key
from tune.readers.chart import fields as fields
from tune.readers.chart.origin import origin_of, read_origin
from tune.readers.chart.row import Row, Symbol, is_row, read_row, share
from tune.readers.chart.section import Section, close
from tune.readers.chart.write import write_chart
from tune.readers.usual import usual_tempo
from tune.time import Metre, Tempo
from tune.tune import GIVEN, Bar, ChordChange, Tune

__all__ = ["read_chart", "write_chart"]

MOST_CHARACTERS = 1_000_000

_COUNTED = re.compile(r" (?:x ?\d+|\d+ ?x)$", re.IGNORECASE)
_SECTION = re.compile(r"\s*section\b\s*:?(.*)", re.IGNORECASE)
_SECTION_TIMES = re.compile(
    r"[, ]((?:played\s+)?(?:once|twice|thrice|\w+\s+times)(?:\s+with\s+endings)?)$",
    re.IGNORECASE,
)
_OTHER_SPELLINGS = {"meter": "metre", "license": "licence"}


@dataclass
class _Reading:
    """A chart as far as it has been read."""

    said: dict[str, tuple[str, int]] = field(default_factory=dict)
    metre: Metre | None = None
    key: Key | None = None
    opening: Tempo | None = None
    tempo: Tempo | None = None
    bars: list[Bar] = field(default_factory=list)
    section: Section = field(default_factory=Section)
    sections: list[Section] = field(default_factory=list)
    opens: bool = False


def read_chart(text: str, file: str = "", choose: str | None = None) -> Tune:
    """The tune of a chart; ``choose`` must be left out, since a chart holds one tune."""
    reading = _Reading()
    number = 0
    try:
        if choose is not None:
            raise TuneError("a chart holds one tune; leave out the choice")
        if len(text) > MOST_CHARACTERS:
            raise TuneError("the chart is too large for one tune")
        for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1):
            try:
                _read_line(reading, line, number)
            except TuneError as error:
                raise error.at(Place(line=number)) from None
        return _finished(reading)
    except TuneError as error:
        raise error.at(Place(file)) from None


def _read_line(reading: _Reading, line: str, number: int) -> None:
    """One line: nothing, a remark, a section, bars or a field."""
    if not line.strip() or line.lstrip().startswith("#"):
        return
    section = _SECTION.match(line)
    if section is not None and not is_row(line):
        _begin_section(reading, section[1], number)
        return
    if is_row(line):
        _add_row(reading, read_row(line, reading.opens))
        return
    name, colon, value = line.partition(":")
    if not colon:
        raise TuneError(
            "this line cannot be read; write a field such as key: D, a section such as "
            "section A, twice, or bars between | lines",
            Place(column=len(line) - len(line.lstrip()) + 1),
        )
    column = len(line) - len(value.lstrip()) + 1
    try:
        _say(reading, name.strip().lower(), value.strip(), number)
    except TuneError as error:
        raise error.at(Place(column=column)) from None


def _say(reading: _Reading, name: str, value: str, number: int) -> None:
    """A field; key, metre and tempo may change between bars, the others stand once."""
    name = _OTHER_SPELLINGS.get(name, name)
    if name not in fields.FIELDS:
        raise TuneError(
            f"there is no field {fields.short(name)!r}; write one of {', '.join(fields.FIELDS)}",
            Place(column=1),
        )
    if not value:
        raise TuneError(f"the field {name} is empty; write its value or take the line away")
    changes = bool(reading.bars) and name in ("key", "metre", "tempo")
    if name in reading.said and not changes:
        line = reading.said[name][1]
        raise TuneError(f"the {name} is said twice, first in line {line}", Place(column=1))
    if reading.bars and name == "pickup":
        raise TuneError("the pickup must be said before the first bar", Place(column=1))
    reading.said[name] = (value, number)
    if name == "metre":
        reading.metre = fields.read_metre(value)
    elif name == "chords":
        read_origin(value)  # used when all is read; find bad words here
    elif name == "key":
        reading.key = fields.read_key(value)
    elif name == "tempo" and reading.bars and reading.metre is not None:
        reading.tempo = fields.read_tempo(value, reading.metre)
    elif name == "tempo":
        fields.read_tempo(value, Metre(4, 4))  # the metre may follow; find bad words here


def _begin_section(reading: _Reading, words: str, number: int) -> None:
    """A section's name and how often it is played."""
    words = re.sub(r" ?, ?", ",", " ".join(words.split()))
    times = _SECTION_TIMES.search(words)
    played = fields.read_times(times[1]) if times else None
    name = words[: times.start()] if times and played else words
    name = name.strip(" ,")
    if "," in name or _COUNTED.search(name):
        words = fields.short(re.split(r"[, ]", name)[-1])
        raise TuneError(
            f"{words!r} does not say how often the section is played; write twice or 3 times",
            Place(column=1),
        )
    if not name:
        raise TuneError("a section needs a name, as in section A", Place(column=1))
    _end_section(reading)
    reading.section = Section(name, played, number, len(reading.bars))


def _end_section(reading: _Reading) -> None:
    section = reading.section
    if reading.opens:
        raise TuneError("a repeat is opened by |: where no bar follows")
    if section.line and section.first == len(reading.bars):
        raise TuneError(
            f"the section {fields.short(section.name)} has no bars", Place(line=section.line)
        )
    reading.sections.append(section)
    reading.bars[section.first :] = close(section, reading.bars[section.first :])


def _add_row(reading: _Reading, row: Row) -> None:
    """The bars of a line."""
    for cell in row.cells:
        if not reading.bars:
            _open(reading)
        signs = (cell.start, cell.times)
        bar = _bar(reading, cell.symbols, row.endings)
        section = reading.section
        first = section.first == len(reading.bars)
        reading.bars.append(
            replace(
                bar,
                section=section.name if first else "",
                repeat_start=signs[0],
                repeat_times=signs[1],
            )
        )
    reading.opens = row.opens


def _open(reading: _Reading) -> None:
    """Before the first bar: what must have been said, and the pickup."""
    for name, example in (("title", "Harrow Lane"), ("key", "D"), ("metre", "4/4")):
        if name not in reading.said:
            raise TuneError(f"say the {name} before the first bar, as in {name}: {example}")
    assert reading.metre is not None
    tempo = reading.said.get("tempo")
    if tempo is not None:
        try:
            reading.opening = fields.read_tempo(tempo[0], reading.metre)
        except TuneError as error:
            raise error.at(Place(line=tempo[1])) from None
    pickup = reading.said.get("pickup")
    if pickup is not None:
        try:
            reading.bars.append(_pickup(reading, pickup[0]))
        except TuneError as error:
            raise TuneError(error.message, Place(line=pickup[1])) from None
        reading.section.first += 1


def _pickup(reading: _Reading, value: str) -> Bar:
    """The pickup's bar out of ``1/4`` or, with chords, ``1/4 A7``."""
    length, *chords = value.split()
    symbols = [Symbol(f"({length})", 1), *(Symbol(chord, 1) for chord in chords or ["."])]
    bar = _bar(reading, tuple(symbols), ())
    if bar.length >= bar.metre.bar:
        raise TuneError("the pickup is not shorter than a bar; write it as a bar")
    return bar


def _bar(reading: _Reading, symbols: tuple[Symbol, ...], endings: tuple[int, ...]) -> Bar:
    """The next bar, numbered from 1, or 0 for a first bar that is not full."""
    assert reading.metre is not None
    assert reading.key is not None
    before: tuple[ChordChange, ...] = ()
    length_before, number = 0, 1
    if reading.bars:
        last = reading.bars[-1]
        before, length_before, number = last.chords, last.length, last.number + 1
    try:
        length, changes = share(symbols, reading.metre, before, length_before)
        if not reading.bars and length < reading.metre.bar:
            number = 0
        bar = Bar(
            number,
            reading.metre,
            length,
            reading.key,
            changes,
            endings=endings,
            tempo=reading.tempo,
        )
    except TuneError as error:
        raise error.at(Place(bar=number, column=symbols[0].column)) from None
    reading.tempo = None
    return bar


def _finished(reading: _Reading) -> Tune:
    """The whole tune."""
    if not reading.bars:
        _open(reading)
        raise TuneError("the chart has no bars; write chords between | lines")
    _end_section(reading)
    said = {name: value for name, (value, _) in reading.said.items()}
    first = reading.bars[0]
    usual = usual_tempo(first.metre)
    untold = f"no tempo is given; taken as {usual.per_minute} beats a minute"
    return Tune(
        said["title"],
        first.key,
        first.metre,
        reading.opening or usual,
        tuple(reading.bars),
        composer=said.get("composer", ""),
        source=said.get("source", ""),
        licence=said.get("licence", ""),
        notices=() if reading.opening else (untold,),
        chords_are=origin_of(said["chords"], reading.bars, first.key)
        if "chords" in said
        else GIVEN,
    )
