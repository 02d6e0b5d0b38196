"""A tune's chords written as a chart that ``read_chart`` reads back.

Kept: head, where the chords come from, bars, chords, sections, repeats, endings, changes of key,
metre and tempo. Bars are numbered afresh when they are read. A melody cannot be kept, and the
chart says so in a remark.

Public: write_chart.
"""

from tune.errors import Place, TuneError
from tune.readers.chart.fields import length_text
from tune.readers.chart.origin import origin_line
from tune.readers.chart.row import may_share
from tune.time import Metre, Tempo
from tune.tune import GIVEN, Bar, Tune

BARS_A_LINE = 4
MOST_SYMBOLS = 64
"""Symbols in one bar; a chord that needs more stands too far off the beat to be typed."""


def write_chart(tune: Tune) -> str:
    """The chart of ``tune``; TuneError where a chord change lies too far off the beat."""
    lines = [f"title: {_plain(tune.title)}"]
    for name, value in (
        ("composer", tune.composer),
        ("source", tune.source),
        ("licence", tune.licence),
    ):
        if _plain(value):
            lines.append(f"{name}: {_plain(value)}")
    first = tune.bars[0]
    lines += [
        f"key: {first.key}",
        f"metre: {first.metre}",
        f"tempo: {_tempo(tune.tempo, first.metre)}",
    ]
    if tune.chords_are != GIVEN:
        lines.append(f"chords: {origin_line(tune.chords_are, tune.bars)}")
    if any(note.midi is not None for bar in tune.bars for note in bar.notes):
        lines.append("# The melody is left out: a chart holds chords alone.")
    last, row = first, ""
    cells = 0
    for index, bar in enumerate(tune.bars):
        heads = _heads(bar, last, index == 0)
        if row and (heads or cells == BARS_A_LINE or bar.endings != last.endings):
            lines.append(row)
            row = ""
        lines += heads
        if not row:
            cells = 0
            numbers = ", ".join(map(str, bar.endings))
            row = (f"{numbers}. " if numbers else "") + ("" if bar.repeat_start else "|")
        row += _cell(bar, row)
        cells += 1
        last = bar
        if bar.repeat_times > 2:
            lines.append(f"{row} {bar.repeat_times} times")
            row = ""
    if row:
        lines.append(row)
    return "\n".join(lines) + "\n"


def _heads(bar: Bar, last: Bar, first: bool) -> list[str]:
    """The lines that go before a bar: changes, and the name of a section."""
    heads = []
    if bar.key != last.key:
        heads.append(f"key: {bar.key}")
    if bar.metre != last.metre:
        heads.append(f"metre: {bar.metre}")
    if bar.tempo is not None and not first:
        heads.append(f"tempo: {_tempo(bar.tempo, None)}")
    name = _plain(bar.section.replace(",", " "))
    if name:
        heads += ["", f"section {name}"]
    return heads


def _cell(bar: Bar, row: str) -> str:
    """A bar with the bar line at its right, and a repeat sign in place of the one at its left."""
    start = ("|:" if not row.endswith("|") else ":") if bar.repeat_start else ""
    end = ":|" if bar.repeat_times > 1 else "|"
    length = "" if bar.length == bar.metre.bar else f"({length_text(bar.length)}) "
    return f"{start} {length}{' '.join(_symbols(bar))} {end}"


def _symbols(bar: Bar) -> list[str]:
    """The fewest symbols that put every chord of the bar in its place."""
    for count in range(1, MOST_SYMBOLS + 1):
        if not may_share(count, bar.length, bar.metre):
            continue
        each = bar.length // count
        if all(change.tick % each == 0 for change in bar.chords):
            symbols = ["."] * count
            for change in bar.chords:
                symbols[change.tick // each] = str(change.chord or "N.C.")
            return symbols
    raise TuneError(
        "a chord stands too far off the beat for a chart; move it", Place(bar=bar.number)
    )


def _tempo(tempo: Tempo, metre: Metre | None) -> str:
    """Beats a minute, with the beat where it is not the metre's own."""
    if metre is not None and tempo.beat == metre.beat:
        return str(tempo.per_minute)
    return f"{length_text(tempo.beat)} = {tempo.per_minute}"


def _plain(words: str) -> str:
    """Words on one line."""
    return " ".join(words.split())
