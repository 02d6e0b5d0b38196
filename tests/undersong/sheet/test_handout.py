"""Handouts read back: what each level teaches and what is new, music, shapes, practice, page
numbers and bookmarks, and levels that cannot be met."""

import re
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import combinations
from pathlib import Path

import cairocffi
import cairosvg
import pytest
from pypdf import PdfReader

from fretboard.hand import CAUTION
from tests.undersong.arranged import chart
from tests.undersong.running import run, snapshot
from tests.undersong.sheet.drawn import boxes
from undersong.levels import Level, LevelSet, levels_for, steps_of
from undersong.session import Session
from undersong.sheet import pdf, write
from undersong.sheet.errors import SheetError
from undersong.sheet.handout import HandoutOptions, handout_pages, handout_pdf
from undersong.sheet.paper import LETTER
from undersong.sheet.used import used_shapes

TUNE = "key: D\nmetre: 4/4\n| D | G | A7 | D |"
HARD = Level(1, "Nothing is stopped at all.", "alternating", fingers=0)


@cache
def some() -> LevelSet:
    """Three levels that come out."""
    return Session(chart(TUNE)).levels(levels_for("song")[1:4])


@cache
def partly() -> LevelSet:
    """Of two levels the first cannot be met: root and fifth of G and A need a stop."""
    return Session(chart(TUNE)).levels((HARD, levels_for("song")[2]))


@cache
def told(found: str, options: HandoutOptions | None = None) -> tuple[str, ...]:
    """What stands on each page of the PDF, its white space made even."""
    sets = {"some": some, "partly": partly}
    file = PdfReader(BytesIO(handout_pdf(sets[found](), options)))
    return tuple(" ".join(page.extract_text().split()) for page in file.pages)


def test_the_first_page_says_what_each_level_teaches_and_what_is_new() -> None:
    cover = told("some")[0]
    assert cover.startswith("Harrow Lane Exercise")
    assert CAUTION in cover
    at = [cover.index(made.level.teaches) for made in some().made]
    assert at == sorted(at)
    steps = steps_of(some())
    assert len(steps) == 2
    for step in steps:
        assert f"New against level {step.lower}:" in cover
        for change in step.changes:
            assert change[0].upper() + change[1:] in cover
    for made in some().met:
        assert made.arrangement is not None
        assert f"{len(used_shapes(made.arrangement))} shapes" in cover
        assert f"{max(made.ratings.values())} %" in cover


def test_pages_are_numbered_through_and_the_first_says_where_each_level_begins() -> None:
    pages = told("some")
    for number, page in enumerate(pages, 1):
        assert re.findall(r"Page \d+ of \d+", page) == [f"Page {number} of {len(pages)}"]
        assert not re.search(r"\b\d+ / \d+", page)
    begins = [int(n) for n in re.findall(r"Page (\d+)\. Hardest", pages[0])]
    assert len(begins) == 3
    for made, begin in zip(some().met, begins, strict=True):
        assert re.search(rf"Level {made.level.number}\b(?!:)", pages[begin - 1])
        assert "Texture" in pages[begin - 1]  # in the head of the music


def test_bookmarks_lead_to_music_shapes_and_practice() -> None:
    file = PdfReader(BytesIO(handout_pdf(some())))
    marks = [(m.title, file.get_destination_page_number(m)) for m in file.outline]
    numbers = [made.level.number for made in some().met]
    assert [title for title, _ in marks] == ["What each level teaches"] + [
        title
        for n in numbers
        for title in (f"Level {n}", f"Level {n}: shapes", f"Level {n}: practice plan")
    ]
    pages = told("some")
    for title, page in marks:
        if ":" in title:
            assert title in pages[page]
    assert [page for _, page in marks] == sorted(page for _, page in marks)
    assert file.metadata is not None
    assert file.metadata.title == "Harrow Lane Exercise: all levels"


def test_of_each_level_the_shapes_are_drawn_that_no_easier_level_has_and_one_count_is_told() -> (
    None
):
    made = handout_pages(some())
    known: set = set()
    marks, cover = dict(made.marks), told("some")[0]
    new = {step.higher: step.changes for step in steps_of(some())}
    for level in some().met:
        assert level.arrangement is not None
        number = level.level.number
        name = f"Level {number}"
        begin, end = marks[f"{name}: shapes"], marks[f"{name}: practice plan"]
        shapes = used_shapes(level.arrangement)
        fresh = [used for used in shapes if used.shape not in known]
        often = [
            box.text
            for sheet in made.pages[begin : end + 1]
            for box in boxes(sheet)
            if re.fullmatch(r"once|\d+ times", box.text)
        ]
        assert often == [f"{u.times} times" if u.times > 1 else "once" for u in fresh]
        captions = [
            box.text
            for sheet in made.pages[begin : end + 1]
            for box in boxes(sheet)
            if re.match(r"(from )?bar \d", box.text)
        ]
        assert len(captions) == len(fresh)
        assert not any("…" in text or "1st time" in text for text in captions)
        counts = [c for c in new.get(number, ()) if "new shape" in c]
        if known and fresh:
            many = f"{len(fresh)} new shape{'s' * (len(fresh) > 1)}"
            assert counts == [f"{many} to learn"]
            assert f"{len(shapes)} shapes, {len(fresh)} of them new." in cover
            assert f"{many} in order of first use" in told("some")[begin]
        else:
            assert counts == []
        known |= {used.shape for used in shapes}


def test_a_shape_of_the_level_before_last_is_not_new() -> None:
    """Levels 1, 2 and 3 of three tunes' worth of hands: the third goes back to the first's."""
    first, second, third = some().met
    again = replace(
        third, arrangement=replace(third.arrangement, choices=first.arrangement.choices)
    )
    steps = steps_of(replace(some(), made=(first, second, again)))
    assert not any("new shape" in change for change in steps[1].changes)


def test_the_usual_caution_stands_at_one_place_at_the_head_of_the_first_page() -> None:
    for options in (
        HandoutOptions(),
        HandoutOptions(large=True),
        HandoutOptions(paper=LETTER.turned),
    ):
        pages = told("some", options)
        assert 0 < pages[0].index(CAUTION) < pages[0].index(some().made[0].level.teaches)
        for page in pages:  # none holds nothing else
            assert len(page.replace(CAUTION, "")) > 120


def test_a_handout_of_short_levels_has_two_pages_a_level() -> None:
    """Three bars: a page of music, and one of shapes and practice; two pages before."""
    made = handout_pages(some())
    assert len(made.pages) <= 2 + 2 * len(some().met)


def test_large_print_enlarges_the_foot_too() -> None:
    for options, size in ((HandoutOptions(), 8), (HandoutOptions(large=True), 12)):
        made = handout_pages(some(), options)
        page = dict(made.marks)["Level 2: shapes"]
        (foot,) = re.findall(r'font-size="([0-9.]+)"[^>]*>Page ', made.pages[page])
        assert float(foot) == pytest.approx(size * 25.4 / 72, abs=0.01)


def test_a_level_that_cannot_be_met_is_told_and_the_others_are_printed() -> None:
    pages = told("partly")
    (not_met, met) = partly().made
    assert not_met.arrangement is None
    assert met.arrangement is not None
    assert HARD.teaches in pages[0]
    assert f"Cannot be met: {not_met.why}" in pages[0]
    assert any("practice plan" in page for page in pages[1:])
    assert "1 of 2 levels. " in pages[0]
    assert "3 levels, the easiest first. " in told("some")[0]


def test_where_no_level_came_out_there_is_nothing_to_print() -> None:
    found = Session(chart(TUNE)).levels((HARD,))
    with pytest.raises(SheetError, match="none of the levels can be met"):
        handout_pages(found)


@pytest.mark.parametrize(
    "options",
    [
        HandoutOptions(),
        HandoutOptions(paper=LETTER.turned, left_handed=True, contrast=True),
        HandoutOptions(large=True, bass_on_top=False, from_capo=True),
    ],
)
def test_no_words_of_the_first_page_and_the_shapes_meet_and_no_page_is_empty(
    options: HandoutOptions,
) -> None:
    made = handout_pages(some(), options)
    marks = dict(made.marks)
    drawn = {marks["What each level teaches"]} | {
        page
        for title, begin in made.marks
        if title.endswith("shapes")
        for page in range(begin, marks[title.replace("shapes", "practice plan")] + 1)
    }
    for page in drawn:
        words = boxes(made.pages[page])
        assert [(a.text, b.text) for a, b in combinations(words, 2) if a.meets(b)] == []
        assert max(box.right for box in words) <= options.paper.width_mm - 12 + 0.01
    for svg in made.pages:
        png = cairosvg.svg2png(bytestring=svg.encode(), output_width=300)
        surface = cairocffi.ImageSurface.create_from_png(BytesIO(png))
        grey = bytes(surface.get_data())[::4]
        assert 0.001 < sum(value < 128 for value in grey) / len(grey) < 0.3


def test_the_same_levels_give_the_same_bytes() -> None:
    assert handout_pdf(some()) == handout_pdf(some())


@pytest.fixture
def tune(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "tune.chart"
    file.write_text(f"title: Harrow Lane Exercise\ntempo: 100\n{TUNE}")
    return file


def test_the_command_writes_the_file(tune: Path) -> None:
    options = ("--only", "2-3", "--spots", "1", "--rounds", "4", "--left-handed")
    ended = run("handout", "tune.chart", "--to", "out.pdf", *options)
    assert ended.code == 0
    assert "in 2 versions" in ended.told
    pages = [" ".join(p.extract_text().split()) for p in PdfReader("out.pdf").pages]
    practice = [page for page in pages if re.search(r"Level \d: practice plan", page)]
    assert len(practice) == 2
    for page in practice:
        assert "Each tempo 4 times" in page
        assert "2. Bars" not in page[page.index("practice plan") :]
    assert any("the nut at the right" in page for page in pages)


def test_the_command_says_what_would_save_pages(tune: Path) -> None:
    tune.write_text(
        "title: Round\nkey: D\nmetre: 4/4\n|: D | G A7 | Bm | Em A7 | D | G | A7 | D :|"
    )
    ended = run("handout", "tune.chart", "--to", "out.pdf", "--only", "3")
    free = "--alike repeats asks for the same hands, and makes fewer pages"
    out = "Each time is written out" in " ".join(
        page.extract_text() for page in PdfReader("out.pdf").pages
    )
    assert (free in ended.told) == out
    ended = run("handout", "tune.chart", "--to", "out.pdf", "--only", "3", "--alike", "repeats")
    assert free not in ended.told
    text = " ".join(page.extract_text() for page in PdfReader("out.pdf").pages)
    assert "--alike" not in text


def test_the_command_tells_a_level_that_cannot_be_met(tune: Path) -> None:
    tune.with_name("own.toml").write_text(
        '[[level]]\nteaches = "No finger at all."\nbass = "alternating"\nfingers = 0\n'
        '[[level]]\nteaches = "Root and fifth."\nbass = "alternating"\n'
    )
    ended = run("handout", "tune.chart", "--to", "out.pdf", "--levels", "own.toml")
    assert ended.code == 1
    assert "level 1 cannot be met" in ended.told
    assert "Cannot be met" in PdfReader("out.pdf").pages[0].extract_text()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ((), "--to: name the file"),
        (("--to", "out.svg"), "end it in .pdf"),
        (("--to", "nowhere/out.pdf"), "make it first"),
        (("--to", "out.pdf", "--paper", "a5"), "--paper: there is no paper 'a5'"),
        (("--to", "out.pdf", "--bass", "walking"), "--bass: each level has"),
        (("--to", "out.pdf", "--only", "4-9"), "--only: write one of the 5 levels"),
        (("--to", "out.pdf", "--spots", "0"), "--spots"),
        (("--to", "out.pdf", "--levels", "none.toml"), "none.toml"),
    ],
)
def test_bad_options_get_one_sentence_and_change_no_file(
    tune: Path, options: tuple[str, ...], says: str
) -> None:
    tune.with_name("out.pdf").write_bytes(b"old")
    before = snapshot(tune.parent)
    ended = run("handout", "tune.chart", *options)
    assert ended.code == 2
    assert len(ended.lines) >= 1
    assert says in ended.told
    assert "Traceback" not in ended.told
    assert snapshot(tune.parent) == before


def test_a_finished_answer_is_refused() -> None:
    ended = run("handout", "answer.json", "--to", "out.pdf")
    assert ended.code == 2
    assert "name the tune instead" in ended.told


def test_nothing_is_written_where_no_level_comes_out(tune: Path) -> None:
    tune.with_name("own.toml").write_text(
        '[[level]]\nteaches = "No finger at all."\nbass = "alternating"\nfingers = 0\n'
    )
    tune.with_name("out.pdf").write_bytes(b"old")
    ended = run("handout", "tune.chart", "--to", "out.pdf", "--levels", "own.toml")
    assert ended.code == 1
    assert "nothing was written" in ended.told
    assert tune.with_name("out.pdf").read_bytes() == b"old"


def test_a_full_disk_and_a_missing_library_leave_the_old_file(
    tune: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tune.with_name("out.pdf")
    made.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(write.os, "fsync", full)
        ended = run("handout", "tune.chart", "--to", "out.pdf", "--only", "2")
    assert ended.code == 2
    assert "No space left on device" in ended.told

    def missing(_: str) -> bytes:
        raise SheetError("install libcairo2")

    monkeypatch.setattr(pdf, "_drawn", missing)
    ended = run("handout", "tune.chart", "--to", "out.pdf", "--only", "2")
    assert (ended.code, ended.told) == (2, "undersong: --to: install libcairo2\n")
    assert snapshot(tune.parent).keys() == {"tune.chart", "out.pdf"}
    assert made.read_bytes() == b"old"
