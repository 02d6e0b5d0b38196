"""A comparison as text: bar by bar, one answer under another, so that five fit on a narrow page.

A string that rings on, or that the hand holds without striking it, stands in brackets. A bar that
differs as fretted or heard is marked ``*``, one that differs otherwise ``+``. A bar that every
answer plays alike each time through stands there once, with figures that another time alone has
beneath; a pickup in which nothing sounds does not stand there. Of a bar's cost the dearest terms
stand beside it; the document (``undersong.compare.document``) has them all.

Public: comparison_text.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from solver.result import Arrangement
from tune.bar_names import PICKUP
from undersong.compare import Comparison, Row
from undersong.compare.shown import shown_hands
from undersong.compare.side import Side, Stroke
from undersong.compared import bar_cell, named_bars
from undersong.sheet.asked_words import asked_words
from undersong.sheet.folding import fold
from undersong.sheet.text_signs import plain
from undersong.wording import many, wrap

_NUMBER = 4
_TIED = "\N{NO-BREAK SPACE}"
_TERMS = 3
"""How many of a bar's terms are told, the dearest."""


def comparison_text(
    comparison: Comparison, width: int = 80, only_differing: bool = False, from_capo: bool = False
) -> str:
    """The page, in ASCII. width: columns; only_differing: bars that all play alike are left out;
    from_capo: frets are counted from each answer's capo."""
    if from_capo:
        comparison = replace(
            comparison,
            answers=tuple(
                replace(answer, instrument=answer.instrument.counted(from_capo))
                for answer in comparison.answers
            ),
        )
    lines = [*_head(comparison, width), ""]
    rows = comparison.differing if only_differing else comparison.rows
    for times in _folded_rows(comparison, rows):
        if _silent_pickup(comparison, times):
            continue
        lines += _bar(comparison, times, width, from_capo)
    if rows:
        lines.append("")
    lines += _totals(comparison, width, from_capo)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _head(comparison: Comparison, width: int) -> Iterator[str]:
    title = comparison.answers[0].tune.title
    yield from wrap(plain(f"{title}: {len(comparison.answers)} answers side by side"), width)
    for warning in comparison.warnings:
        yield from _folded(plain(f"WARNING: {warning}"), width, "  ")
    for number, (name, answer) in enumerate(
        zip(comparison.names, comparison.answers, strict=True), 1
    ):
        gap = f", at most {answer.proof.gap} ms above the best" if answer.proof.gap else ""
        yield from _hung(f"{number}", plain(f"{name}: {answer.proof.status}{gap}"), width)
    for setting, words in comparison.settings.items():
        if setting == "conditions":
            asked = (asked_words(answer) for answer in comparison.answers)
            words = tuple("; ".join(each) or "none" for each in asked)
        told = "; ".join(f"{number}: {word}" for number, word in enumerate(words, 1))
        if len(told) + len(setting) < width:
            yield plain(f"{setting} - {told}")
            continue
        yield setting
        for number, word in enumerate(words, 1):
            yield from _hung(f"  {number}", plain(word), width)
    if "weights changed" in comparison.settings:
        yield from _folded("All costs here are counted by the weights of 1.", width, "  ")
    if not comparison.differing:
        yield "All bars are played alike."
    yield from _marks(comparison, width)
    yield from _folded("(3) rings on or is held, not struck", width, "  ")


def _marks(comparison: Comparison, width: int) -> Iterator[str]:
    """What the signs before bars mean, and which bars have them."""
    tune = comparison.answers[0].tune
    apart = [row for row in comparison.rows if row.played_otherwise]
    others = [row for row in comparison.rows if row.differs and not row.played_otherwise]
    if apart:
        bars = named_bars(tune, [row.bar for row in apart])
        yield from _folded(f"* other frets or strokes: {bars}", width, "  ")
    if others:
        bars = named_bars(tune, [row.bar for row in others])
        what = " or ".join(dict.fromkeys(name for row in others for name in row.differs))
        yield from _folded(f"+ the same frets and strokes, but other {what}: {bars}", width, "  ")


def _folded_rows(comparison: Comparison, rows: Sequence[Row]) -> list[list[Row]]:
    """The times through of a bar together in which each answer does the same, or has one bar on
    its page for them."""
    played = comparison.answers[0].tune.played
    on_paper = [
        {number: bar.passes for bar in fold(answer).bars if bar.passes[1:] for number in bar.passes}
        for answer in comparison.answers
    ]
    alike: dict[tuple[object, ...], list[Row]] = {}
    for row in rows:
        hands = tuple(
            passes.get(row.bar, (side.strokes or side.held, side.chords, side.missing, side.fading))
            for side, passes in zip(row.sides, on_paper, strict=True)
        )
        alike.setdefault((played[row.bar - 1].written, row.differs, hands), []).append(row)
    return list(alike.values())


def _silent_pickup(comparison: Comparison, times: Sequence[Row]) -> bool:
    """A pickup of which there is nothing to tell: no chord, no stroke, nothing that is charged."""
    played = comparison.answers[0].tune.played[times[0].bar - 1]
    return comparison.answers[0].tune.bars[played.written].number == PICKUP and not any(
        row.differs or side.cost or set(side.chords) - {"N.C."} or any(map(_struck, side.strokes))
        for row in times
        for side in row.sides
    )


def _struck(stroke: Stroke) -> bool:
    return any(stroke.struck)


def _bar(
    comparison: Comparison, times: Sequence[Row], width: int, from_capo: bool
) -> Iterator[str]:
    row = times[0]
    heading = named_bars(comparison.answers[0].tune, [one.bar for one in times])
    mark = "*" if row.played_otherwise else "+" if row.differs else " "
    chords = " ".join(row.sides[0].chords)
    differs = f"  ({', '.join(row.differs)})" if row.differs else ""
    yield from _folded(plain(f"{mark} {heading}  {chords}{differs}"), width, "    ")
    if not row.differs:
        yield from _side("  ", comparison.answers[0], row.sides[0], width, from_capo, "")
        yield from _other_times(times, 0, width)
        yield from _other_answers(times, width)
        return
    for number, (answer, side) in enumerate(zip(comparison.answers, row.sides, strict=True), 1):
        other = " ".join(side.chords) if side.chords != row.sides[0].chords else ""
        yield from _side(f"  {number}", answer, side, width, from_capo, other)
        yield from _other_times(times, number - 1, width)


def _other_times(times: Sequence[Row], number: int, width: int) -> Iterator[str]:
    """Figures of answer ``number`` that are not those of the first time: what a bar costs hangs on
    where the hand comes from."""
    for row in times[1:]:
        told = _differing(row.sides[number], times[0].sides[number])
        if told:
            yield from _hung("   ", f"{_time(row)}: {'; '.join(told)}", width)


def _other_answers(times: Sequence[Row], width: int) -> Iterator[str]:
    """Figures of the other answers that are not the first's where all play a bar alike: another
    hand is rated otherwise, and what came before may have left it elsewhere."""
    for number in range(1, len(times[0].sides)):
        for row in times:
            told = _differing(row.sides[number], row.sides[0])
            if told:
                time = _time(row) if times[1:] else ""
                name = f"{number + 1}, {time}" if time else f"{number + 1}"
                yield from _hung("   ", f"{name}: {'; '.join(told)}", width)


def _differing(own: Side, other: Side) -> list[str]:
    """Figures of the one that are not the other's."""
    pairs = zip(_figures(own), _figures(other), strict=True)
    return [mine for mine, theirs in pairs if mine != theirs]


def _time(row: Row) -> str:
    """``2nd time``, or nothing."""
    return row.printed.partition("(")[2].rstrip(")")


def _figures(side: Side) -> list[str]:
    return [
        f"{side.cost} ms",
        f"difficulty {side.difficulty} %",
        many(side.shifts, "shift"),
        many(side.barred, "finger laid across", "fingers laid across"),
        f"stretch {side.stretch} %",
        "; ".join(_tones(side)) or "no tone missing or fading",
    ]


def _tones(side: Side) -> list[str]:
    return [*(f"no {tone}" for tone in side.missing), *(f"{tone} fading" for tone in side.fading)]


def _side(
    lead: str, answer: Arrangement, side: Side, width: int, from_capo: bool, chords: str
) -> Iterator[str]:
    shapes = [shown_hands(answer, s.frets, s.fingers, s.struck, from_capo) for s in side.strokes]
    yield from _hung(lead, ", ".join(shapes) or "rings on", width)
    told = [chords] if chords else []
    told.append(f"bass {' '.join(side.bass)}" if side.bass else "no bass note")
    dearest = sorted(side.terms.items(), key=lambda term: -term[1][1])[:_TERMS]
    costs = ", ".join(f"{name} {ms}" for name, (_, ms) in dearest if ms)
    told.append(f"{side.cost} ms" + (f" ({costs})" if costs else ""))
    told.append(f"difficulty {side.difficulty} %")
    told.append(many(side.shifts, "shift"))
    if side.barred:
        told.append(many(side.barred, "finger laid across", "fingers laid across"))
    told.append(f"stretch {side.stretch} %")
    told += _tones(side)
    yield from _hung(" " * len(lead), "; ".join(told), width)


def _totals(comparison: Comparison, width: int, from_capo: bool) -> Iterator[str]:
    tune = comparison.answers[0].tune
    numbers = range(len(comparison.answers))
    rows: list[tuple[str, Sequence[str]]] = [
        ("", [str(number + 1) for number in numbers]),
        ("work in all, ms", [str(bill.total) for bill in comparison.bills]),
    ]
    if any(answer.asked_cost != answer.cost for answer in comparison.answers):
        owed = [answer.asked_cost - answer.cost for answer in comparison.answers]
        rows.append(("charged by conditions, ms", [str(ms) for ms in owed]))
    terms = [bill.terms for bill in comparison.bills]
    for name in terms[0]:
        costs = [each[name][1] for each in terms]
        if any(costs):
            mark = "*" if len(set(costs)) > 1 else " "
            rows.append((f"{mark} {name}, ms", [str(ms) for ms in costs]))
    counted = comparison.figures
    rows += [
        ("shapes to learn", [str(each.shapes) for each in counted]),
        ("shifts", [str(each.shifts) for each in counted]),
        ("fingers laid across", [str(each.barred) for each in counted]),
        ("lowest fret stopped", _frets(comparison, [c.lowest for c in counted], from_capo)),
        ("highest fret stopped", _frets(comparison, [c.highest for c in counted], from_capo)),
        ("hardest bar", [bar_cell(tune, (comparison.hardest(n)[0],)) for n in numbers]),
        ("  its difficulty, %", [str(comparison.hardest(n)[1]) for n in numbers]),
        ("median difficulty, %", [str(comparison.median(n)) for n in numbers]),
    ]
    label = max(len(name) for name, _ in rows)
    cell = max(len(word) for _, words in rows for word in words) + 2
    for name, words in rows:
        if label + cell * len(numbers) <= width:
            yield name.ljust(label) + "".join(word.rjust(cell) for word in words)
        elif name:
            yield name
            told = ", ".join(f"{number}: {word}" for number, word in enumerate(words, 1))
            yield from _folded(f"    {told}", width, "    ")


def _frets(comparison: Comparison, frets: list[int | None], from_capo: bool) -> list[str]:
    return [
        "-" if fret is None else answer.instrument.label(fret, from_capo)
        for answer, fret in zip(comparison.answers, frets, strict=True)
    ]


def _hung(lead: str, text: str, width: int) -> list[str]:
    """The text after its lead, further lines beneath the text."""
    indent = max(_NUMBER, len(lead) + 1)
    whole = text.replace(" %", _TIED + "%")
    lines = wrap(
        whole, width, initial_indent=lead.ljust(indent), subsequent_indent=" " * (indent + 2)
    )
    return [line.replace(_TIED, " ") for line in lines]


def _folded(text: str, width: int, indent: str) -> list[str]:
    return wrap(text, width, subsequent_indent=indent, drop_whitespace=True)
