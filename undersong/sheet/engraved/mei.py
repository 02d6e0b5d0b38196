"""The page's music as MEI 5 (https://music-encoding.org), for the engraving library to give places.

The first staff has the notes. The second stands in for the tab: every fret is written as a row of
nines, as wide as its number and finger letter will be, for their places alone; what is printed is
drawn by ``undersong.sheet.engraved.tab``.

Public: mei_of, figure_id, note_id.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil
from xml.sax.saxutils import escape, quoteattr

from tune.time import Metre
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.score import Figure, Score, ScoreBar
from undersong.sheet.engraved.staff import StaffBar
from undersong.sheet.lettering import width
from undersong.sheet.rhythm import Stem, bar_stems

_NINE = 1.44
"""mm of a nine in the tab, as the engraving library sets it."""

_DURATIONS = {1: "1", 2: "2", 4: "4", 8: "8", 16: "16", 32: "32", 64: "64", 128: "128"}
_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>'
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead><fileDesc>'
    "<titleStmt><title/></titleStmt><pubStmt/></fileDesc></meiHead>"
    "<music><body><mdiv><score>"
)


def figure_id(bar: int, tick: int, course: int) -> str:
    return f"f{bar}-{tick}-{course}"


def note_id(bar: int, tick: int) -> str:
    return f"n{bar}-{tick}"


def mei_of(
    score: Score, staff: Sequence[StaffBar], look: Look, breaks: frozenset[int] = frozenset()
) -> str:
    """The whole document; breaks: bars that begin a new line (each line is a page of its own)."""
    parts = [_HEAD, _opening(score), "<section>"]
    metre, key = score.bars[0].bar.metre, score.bars[0].bar.key
    for index, bar in enumerate(score.bars):
        parts.append("<pb/>" if index in breaks else "")
        if bar.bar.metre != metre and score.staff:
            metre = bar.bar.metre
            parts.append(f"<scoreDef>{_metre(metre)}</scoreDef>")
        if bar.bar.key.fifths != key.fifths and score.staff:
            parts.append(f"<scoreDef>{_key(bar.bar.key.fifths)}</scoreDef>")
        key = bar.bar.key
        parts.append("".join(_measure(score, staff[index], index, look)))
    parts.append("</section></score></mdiv></body></music></mei>")
    return "".join(parts)


def _opening(score: Score) -> str:
    bar = score.bars[0].bar
    staffs = ""
    if score.staff:
        clef = '<clef shape="G" line="2"/>' if score.sung else '<clef shape="F" line="4"/>'
        staffs = (
            f'<staffDef n="1" lines="5">{clef}{_key(bar.key.fifths)}{_metre(bar.metre)}</staffDef>'
        )
    strings = "".join(
        f'<course n="{n}" pname="d" oct="{5 - n}"/>' for n in range(1, len(score.courses) + 1)
    )
    staffs += (
        f'<staffDef n="2" lines="{len(score.courses)}" notationtype="tab.guitar">'
        f"<tuning>{strings}</tuning></staffDef>"
    )
    return f"<scoreDef><staffGrp>{staffs}</staffGrp></scoreDef>"


def _metre(metre: Metre) -> str:
    return f'<meterSig count="{metre.beats}" unit="{metre.unit}"/>'


def _key(fifths: int) -> str:
    return f'<keySig sig="{abs(fifths)}{"s" if fifths > 0 else "f" if fifths else ""}"/>'


def _measure(score: Score, staff: StaffBar, index: int, look: Look) -> Iterator[str]:
    bar = score.bars[index]
    left = ' left="rptstart"' if bar.sheet.opens else ""
    last = index + 1 == len(score.bars)
    right = ' right="rptend"' if bar.sheet.closes else ' right="end"' if last else ""
    short = "" if bar.bar.length == bar.bar.metre.bar else ' metcon="false"'
    yield f'<measure n="{index}" xml:id="m{index}"{left}{right}{short}>'
    if score.staff:
        yield f'<staff n="1"><layer n="1">{"".join(_layer(staff, index))}</layer></staff>'
    yield f'<staff n="2"><layer n="1">{"".join(_strokes(score, bar, index, look))}</layer></staff>'
    yield "</measure>"


def _layer(staff: StaffBar, index: int) -> Iterator[str]:
    """The staff's notes, in beams and tuplets."""
    if len(staff.stems) == 1 and staff.stems[0].event is None and staff.stems[0].base == 1:
        yield "<mRest/>"
        return
    pieces = [_note(staff, stem, at, index) for at, stem in enumerate(staff.stems)]
    yield from _grouped(staff.stems, pieces)


def _note(staff: StaffBar, stem: Stem, at: int, index: int) -> str:
    value = f'dur="{_DURATIONS[stem.base]}"' + (f' dots="{stem.dots}"' if stem.dots else "")
    if stem.event is None:
        return f"<rest {value}/>"
    note = staff.notes[stem.event]
    first = at == 0 or staff.stems[at - 1].event != stem.event
    tied = (note.from_ if first else True, stem.ties_on or note.on)
    tie = {(False, True): ' tie="i"', (True, True): ' tie="m"', (True, False): ' tie="t"'}
    graces = "".join(_grace(name, octave) for name, octave in note.graces) if first else ""
    inside = (
        "".join(_verse(n + 1, word, n in note.held) for n, word in enumerate(note.words))
        if first
        else ""
    )
    if first and note.short:
        inside += '<artic artic="stacc"/>'
    ident = note_id(index, stem.tick)
    sign = f' accid="{note.sign}"' if first and note.sign else ""
    head = ' head.mod="paren"' if first and note.over else ""
    return (
        f'{graces}<note xml:id="{ident}" {value} {_pitch(note.name, note.octave)}{sign}'
        f"{head}{tie.get(tied, '')}>{inside}</note>"
    )


def _grace(name: str, octave: int) -> str:
    return f'<note grace="unacc" dur="8" {_pitch(name, octave)}/>'


def _pitch(name: str, octave: int) -> str:
    bent = "s" * name.count("#") + "f" * name.count("b")
    gestural = f' accid.ges="{bent}"' if bent else ""
    return f'pname="{name[0].lower()}" oct="{octave}"{gestural}'


def _verse(number: int, word: str, held: bool) -> str:
    """A syllable; one that goes on ends in a hyphen, one that is held has a line after it."""
    text = word.strip()
    if not text:
        return ""
    goes_on = text.endswith("-")
    text = text.rstrip("-_").strip() if len(text) > 1 else text
    con = ' con="d" wordpos="i"' if goes_on else ' con="u"' if held else ""
    return f'<verse n="{number}"><syl{con}>{escape(text)}</syl></verse>' if text else ""


def _grouped(values: Sequence[Stem], pieces: Sequence[str]) -> Iterator[str]:
    """The pieces within their beams and tuplets, whichever is the wider outside; a beam that would
    cross a tuplet's edge is left out."""
    tuplets = _runs([value.tuplet_starts for value in values], [v.tuplet_ends for v in values])
    beams = _beams(values)
    inner = [b for b in beams if all(_nested(b, t) for t in tuplets)]
    opens: dict[int, list[tuple[int, str, str]]] = {}
    for start, end in tuplets:
        actual, normal = values[start].tuplet or (1, 1)
        opens.setdefault(start, []).append(
            (end, f'<tuplet num="{actual}" numbase="{normal}" bracket.visible='
             f'"{str(not _beamed(start, end, inner)).lower()}">', "</tuplet>")
        )  # fmt: skip
    for start, end in inner:
        opens.setdefault(start, []).append((end, "<beam>", "</beam>"))
    closing: list[tuple[int, str]] = []
    for at, piece in enumerate(pieces):
        for end, tag, close in sorted(opens.get(at, ()), key=lambda one: -one[0]):
            yield tag
            closing.append((end, close))
        yield piece
        while closing and closing[-1][0] == at:
            yield closing.pop()[1]


def _beamed(start: int, end: int, beams: Sequence[tuple[int, int]]) -> bool:
    return any(first <= start and end <= last for first, last in beams)


def _nested(one: tuple[int, int], other: tuple[int, int]) -> bool:
    apart = one[1] < other[0] or other[1] < one[0]
    return apart or (one[0] <= other[0] and other[1] <= one[1]) or (
        other[0] <= one[0] and one[1] <= other[1]
    )  # fmt: skip


def _runs(starts: Sequence[bool], ends: Sequence[bool]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    first = 0
    for at, (opens, closes) in enumerate(zip(starts, ends, strict=True)):
        first = at if opens else first
        if closes:
            found.append((first, at))
    return found


def _beams(values: Sequence[Stem]) -> list[tuple[int, int]]:
    places: dict[int, list[int]] = {}
    for at, value in enumerate(values):
        if value.beam is not None:
            places.setdefault(value.beam, []).append(at)
    return [(at[0], at[-1]) for at in places.values() if len(at) > 1]


def _strokes(score: Score, bar: ScoreBar, index: int, look: Look) -> Iterator[str]:
    """Each hit at its place: nines for its figures, an empty space for what strikes nothing."""
    ends = [hit.tick for hit in bar.hits[1:]] + [bar.bar.length]
    spans = [(hit.tick, end - hit.tick) for hit, end in zip(bar.hits, ends, strict=True)]
    values = bar_stems(spans, bar.bar, bar.sheet.lead)
    pieces = []
    for at, value in enumerate(values):
        spelled = f'dur="{_DURATIONS[value.base]}"' + (
            f' dots="{value.dots}"' if value.dots else ""
        )
        first = value.event is not None and (at == 0 or values[at - 1].event != value.event)
        figures = bar.hits[value.event].figures if first and value.event is not None else ()
        if not figures or not score.tab:
            pieces.append(f"<space {spelled}/>")
            continue
        notes = "".join(
            f"<note xml:id={quoteattr(figure_id(index, value.tick, figure.course))} "
            f'tab.course="{score.courses.index(figure.course) + 1}" '
            f'tab.fret="{"9" * _nines(figure, look)}"/>'
            for figure in figures
        )
        pieces.append(f"<tabGrp {spelled}>{notes}</tabGrp>")
    yield from _grouped([replace(value, beam=None) for value in values], pieces)


def _nines(figure: Figure, look: Look) -> int:
    """How many nines take the room of the number and its letter. The number stands in the middle
    of them, and the figure before it may have a letter where this one has none."""
    number = width(figure.label, look.figure, bold=True)
    letter = width(figure.letter, look.letter, bold=True) if figure.letter else 0.0
    return max(2, ceil((number + letter + 1.8) / _NINE))
