"""Shape diagrams read back from the drawing: frets against the formula of equal temperament, every
shape once with what belongs to it, and no words that meet."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import combinations

import cairocffi
import cairosvg
import pytest
from pypdf import PdfReader

from fretboard.hand import CAUTION, Hand
from fretboard.presets import instrument
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import chart, found
from tests.undersong.sheet.drawn import Box, boxes
from tests.undersong.test_shapes_used import one_shape
from undersong.sheet.boxes import DiagramOptions, shape_leaves, shapes_pdf, shapes_svg
from undersong.sheet.boxes.stretch import DOT, stretch_for
from undersong.sheet.paper import LETTER
from undersong.sheet.used import used_shapes

_SVG = "{http://www.w3.org/2000/svg}"
TUNE = "key: G\nmetre: 3/4\n| G | C | D7 | G | Em | Am | D7 | G |"
PLAIN, MIRRORED = DiagramOptions(), DiagramOptions(left_handed=True)


@cache
def made(strings: str = "standard", capo: str = "0", texture: str = "song") -> Arrangement:
    style = Style(texture=texture, manner="alternating")
    return found(chart(TUNE), style, instrument(strings, capo=capo))


CASES = [
    pytest.param(made(), PLAIN, id="three strings"),
    pytest.param(made("four-equidistant"), PLAIN, id="four strings"),
    pytest.param(made("chromatic"), PLAIN, id="chromatic"),
    pytest.param(made("doubled"), DiagramOptions(bass_on_top=False), id="a pair, melody on top"),
    pytest.param(made(capo="3"), PLAIN, id="capo"),
    pytest.param(made(capo="3"), DiagramOptions(from_capo=True), id="counted from the capo"),
    pytest.param(made("bass", texture="bass"), PLAIN, id="bass part"),
    pytest.param(made("partial-1+8+"), MIRRORED, id="left-handed"),
    pytest.param(made("chromatic"), DiagramOptions(large=True, contrast=True), id="large"),
    pytest.param(made(), DiagramOptions(paper=LETTER.turned, large=True), id="letter, on its side"),
]


def pages(arrangement: Arrangement, options: DiagramOptions) -> list[str]:
    return [leaf.svg for leaf in shape_leaves(arrangement, options)]


def read(arrangement: Arrangement, options: DiagramOptions) -> list[Box]:
    return [box for page in pages(arrangement, options) for box in boxes(page)]


def upright(svg: str, ink: str, thick: float) -> list[float]:
    """Where upright lines of that ink stand, in the order in which they are drawn."""
    return [
        float(line.attrib["x1"])
        for line in ET.fromstring(svg).iter(f"{_SVG}line")
        if line.attrib["x1"] == line.attrib["x2"]
        and line.get("stroke") == ink
        and float(line.attrib["stroke-width"]) == thick
    ]


def test_frets_stand_where_equal_temperament_has_them() -> None:
    # nut to fret n: scale · (1 − 2^(−n/12)), the textbook formula; 5 semitones (G) are the highest
    # stop of the shape, so four frets are shown: 2, 4, 5 and 7 semitones, the printed 1 to 4
    arrangement = one_shape((5, 2, 0), (0, 1, -1))
    (page,) = pages(arrangement, PLAIN)
    (nut,) = upright(page, "#222", 1.1)
    wires = sorted(set(upright(page, "#777", 0.4)))
    long = {n: 686 * (1 - 2 ** (-n / 12)) for n in (2, 4, 5, 7)}
    share = (wires[-1] - nut) / long[7]
    assert [wire - nut for wire in wires] == [
        pytest.approx(mm * share, abs=0.04) for mm in long.values()
    ]
    assert f"at {100 * share:.0f} % of the size" in " ".join(box.text for box in boxes(page))


def test_frets_stand_as_far_from_the_capo_as_on_the_instrument() -> None:
    arrangement = made("chromatic", capo="3")
    page = pages(arrangement, PLAIN)[0]
    capo = upright(page, "#222", 1.9)[0]
    wires = sorted({x for x in upright(page, "#777", 0.4) if capo < x < capo + 95})
    share = stretch_for(
        arrangement.instrument, used_shapes(arrangement), 186 + 5.5, 14.5, 1.0
    ).share
    # fret 3 is 5 semitones; the wires are 6, 7, 8 … semitones above the nut
    first = [686 * share * (2 ** (-5 / 12) - 2 ** (-n / 12)) for n in range(6, 10)]
    assert [wire - capo for wire in wires[:4]] == [pytest.approx(x, abs=0.05) for x in first]


def test_a_shape_by_hand() -> None:
    # bass fret 3 with the thumb, middle fret 1 with the index: G3 B3 D4 by the handbook's table
    (page,) = pages(one_shape((5, 2, 0), (0, 1, -1)), PLAIN)
    words = boxes(page)
    texts = [box.text for box in words]
    assert "1.  3-1-0" in texts
    assert [box.text for box in words if box.kind == "fact"] == ["G3", "B3", "D4"]
    assert [box.text for box in words if box.kind == "chord"] == ["G"]
    wires = sorted(set(upright(page, "#777", 0.4)))
    (nut,) = upright(page, "#222", 1.1)
    thumb, index = (next(box for box in words if box.text == name) for name in "TI")
    assert wires[1] < thumb.left < thumb.right < wires[2]  # just behind the third wire
    assert nut < index.left < index.right < wires[0]
    at_the_nut = [box for box in words if box.right < nut and re.fullmatch(r"[\dx]+", box.text)]
    assert [box.text for box in at_the_nut] == ["3", "1", "0"]
    for label, letter in zip(at_the_nut, (thumb, index), strict=False):
        assert label.bottom == pytest.approx(letter.bottom, abs=0.5)


def test_for_a_left_handed_player_the_nut_is_at_the_right() -> None:
    (page,) = pages(one_shape((5, 2, 0), (0, 1, -1)), MIRRORED)
    wires = sorted(set(upright(page, "#777", 0.4)), reverse=True)
    (nut,) = upright(page, "#222", 1.1)
    words = boxes(page)
    thumb, index = (next(box for box in words if box.text == name) for name in "TI")
    assert wires[0] < nut
    assert wires[2] < thumb.left < thumb.right < wires[1]
    assert wires[0] < index.left < index.right < nut
    assert min(box.left for box in words if box.text == "0") > nut
    assert "the nut at the right" in " ".join(box.text for box in words)


def test_a_finger_across_strings_is_one_mark_with_its_letter_on_each() -> None:
    (page,) = pages(one_shape((9, 9, -1), (1, 1, -1)), PLAIN)
    marks = [r for r in ET.fromstring(page).iter(f"{_SVG}rect") if r.get("fill") == "#111"]
    assert [float(mark.attrib["width"]) for mark in marks] == [DOT]
    assert float(marks[0].attrib["height"]) == pytest.approx(DOT + 5.4)
    assert [box.text for box in boxes(page)].count("I") == 2
    dashes = [
        line for line in ET.fromstring(page).iter(f"{_SVG}line") if line.get("stroke-dasharray")
    ]
    assert len(dashes) == 1  # the silent string


def test_notes_are_spelled_in_the_key() -> None:
    # the bass string's fret 4+ of a chromatic fretboard, 8 semitones above D: B♭ in F, A♯ in B
    for key, name in (("F", "B♭3"), ("B", "A♯3")):
        plain = found(chart(f"key: {key}\nmetre: 4/4\n| {key} |"), None, instrument("chromatic"))
        choices = tuple(
            replace(choice, grip=replace(choice.grip, frets=(8, -1, -1), fingers=(0, -1, -1)))
            for choice in plain.choices
        )
        words = read(replace(plain, choices=choices), PLAIN)
        assert [box.text for box in words if box.kind == "fact"] == [name]


@pytest.mark.parametrize(("arrangement", "options"), CASES)
def test_every_shape_comes_once_in_order_with_its_count_letters_and_notes(
    arrangement: Arrangement, options: DiagramOptions
) -> None:
    shapes: dict[tuple, int] = {}  # counted anew: what is held, and how often it is taken up
    first: dict[tuple, tuple[int, ...]] = {}
    before = None
    for choice in arrangement.choices:
        grip = choice.grip
        held = tuple(
            (f, n) if n >= 0 else None for f, n in zip(grip.frets, grip.fingers, strict=True)
        )
        if any(held):
            shapes[held] = shapes.get(held, 0) + (held != before)
            first.setdefault(held, grip.frets)
        before = held
    strung, bass = arrangement.instrument, arrangement.style.texture == "bass"
    tabs = []
    for number, frets in enumerate(first.values(), 1):
        labels = [
            "x" if f < 0 else strung.label(f, options.from_capo)
            for f in (frets[:1] if bass else frets)
        ]
        tabs.append(f"{number}.  {'-'.join(labels)}")
    words = read(arrangement, options)
    assert [box.text for box in words if re.match(r"\d+\.  ", box.text)] == tabs
    often = [box.text for box in words if re.fullmatch(r"once|\d+ times", box.text)]
    assert often == ["once" if n == 1 else f"{n} times" for n in shapes.values()]
    letters = [box.text for box in words if re.fullmatch("[TIMRP]", box.text)]
    hand = Hand()
    assert sorted(letters) == sorted(
        hand.letter(each[1]) for held in shapes for each in held if each is not None
    )
    # each note's letter and octave against the pitch, whatever its sign
    notes = [box.text for box in words if box.kind == "fact"]
    sounding = [
        strung.pitch(course, fret)
        for frets in first.values()
        for course, fret in enumerate(frets[:1] if bass else frets)
        if fret >= 0
    ]
    assert [_midi(note) for note in notes] == sounding


def _midi(note: str) -> int:
    """The pitch of a name with its octave: C4 is 60 (scientific pitch notation)."""
    sign = note.count("♯") - note.count("♭")
    return (
        12 * (int(note[-1]) + 1)
        + {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[note[0]]
        + sign
    )


@pytest.mark.parametrize(("arrangement", "options"), CASES)
def test_no_words_meet_and_none_leave_the_paper(
    arrangement: Arrangement, options: DiagramOptions
) -> None:
    margin, wide = options.paper.margin_mm, options.paper.width_mm
    for page in pages(arrangement, options):
        words = boxes(page)
        meeting = [(a.text, b.text) for a, b in combinations(words, 2) if a.meets(b)]
        assert meeting == []
        assert min(box.left for box in words) >= margin - 0.01
        assert max(box.right for box in words) <= wide - margin + 0.01


@pytest.mark.parametrize(("arrangement", "options"), CASES)
def test_pages_are_drawn_and_neither_empty_nor_black(
    arrangement: Arrangement, options: DiagramOptions
) -> None:
    for page in pages(arrangement, options):
        png = cairosvg.svg2png(bytestring=page.encode(), output_width=400)
        surface = cairocffi.ImageSurface.create_from_png(BytesIO(png))
        grey = bytes(surface.get_data())[::4]  # the blue of each dot
        dark = sum(value < 128 for value in grey) / len(grey)
        assert 0.001 < dark < 0.25


def test_where_every_string_is_open_the_sheet_says_so() -> None:
    page = pages(one_shape((0, 0, 0), (-1, -1, -1)), PLAIN)[0]
    assert "None: every string is open." in [box.text for box in boxes(page)]


def test_the_files() -> None:
    arrangement = made("chromatic")
    assert shapes_svg(arrangement, PLAIN) == shapes_svg(arrangement, PLAIN)
    file = shapes_pdf(arrangement, PLAIN)
    assert file == shapes_pdf(arrangement, PLAIN)
    pdf = PdfReader(BytesIO(file))
    assert pdf.metadata is not None
    assert pdf.metadata.title == "Harrow Lane Exercise: shapes"
    assert [mark.title for mark in pdf.outline] == ["Shapes"]
    assert len(pdf.pages) == len(pages(arrangement, PLAIN))
    told = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    assert CAUTION in told
    assert f"{len(used_shapes(arrangement))} shapes in order of first use" in told
