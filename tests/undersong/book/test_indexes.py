"""Indexes against sorts of another make, as values and as they are printed."""

import re
import unicodedata
from functools import cmp_to_key
from itertools import groupby
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tune.test_abc_music21 import collection
from tests.undersong.book.bound_books import drawn, entry, flat, part, texts
from undersong.book.binding import bind
from undersong.book.bound import Bound
from undersong.book.entry import Entry
from undersong.book.indexes import Index, indexes_of
from undersong.book.words import initial, key_words, sort_key, tuning_words, turned

FILED = (
    "2 Left Boots", "9 Allotments", "10 Allotments", "The 101st Evening", "A Minor Mishap",
    "Água Fria", "Aird's Gate", "Airds Gate Again", "Candle", "The Candle",
    "A Candle for the Back Row", "Candle-Lit Lane", "Candlewick", "An Cat Bán", "Éirí na Gréine",
    "Frost", "Long Way", "The Long Way Round the Green", "Longing", "Øster Hall", "Reel 2",
    "Reel No. 2", "Reel No. 10", "The", "Third Tuesday", "The Vicar's Piano", "Zz",
)  # fmt: skip
"""Titles as a reader expects them: leading articles passed over, marks and case too, numbers before
letters and by their value, word by word ("nothing before something"). The rules are those of the
American Library Association's filing rules of 1980 (from memory), but for the tie of two titles
that differ in their article alone: the one without it first. In "A Minor Mishap" A is a note."""


def place(titles: tuple[str, ...], **of_each: list[object]) -> tuple[list[Entry], Bound]:
    """A tune of one page for each title, from page 11 on."""
    entries = []
    for at, title in enumerate(titles):
        own = {name: values[at] for name, values in of_each.items()}
        entries.append(entry(at + 1, title, **own))
    return entries, Bound(2000, {one.number: (10 + one.number,) for one in entries})


def index(entries: list[Entry], bound: Bound, title: str) -> Index:
    return next(one for one in indexes_of(entries, bound) if one.title == title)


def bare(text: str) -> str:
    """Without case and marks, by another way than the index goes: what Unicode calls a letter
    ``WITH`` something is that letter."""
    found = []
    for letter in unicodedata.normalize("NFC", text):
        name = unicodedata.name(letter, "")
        match = re.match(r"LATIN (?:SMALL|CAPITAL) LETTER ([A-Z]+)(?: WITH .*)?$", name)
        found.append(match.group(1).lower() if match else letter)
    return "".join(found)


def compared(one: str, other: str) -> int:
    """Below 0 where the first title comes first: letter by letter, digits by their value."""

    def parts(title: str) -> list[str]:
        words = [w for w in re.sub(r"['’]", "", bare(title)).split() if re.search(r"\w", w)]
        cut = " ".join(words)
        if len(words) > 1 and words[0] in ("a", "an", "the") and words[1] != "minor":
            cut = " ".join(words[1:])
        return re.findall(r"[0-9]+|[a-z]+", cut)

    for left, right in zip(parts(one), parts(other), strict=False):
        if left == right:
            continue
        if left.isdigit() and right.isdigit():
            if int(left) != int(right):
                return int(left) - int(right)
            continue
        if left.isdigit() != right.isdigit():
            return -1 if left.isdigit() else 1
        return -1 if left < right else 1
    return len(parts(one)) - len(parts(other))


def test_titles_are_in_the_order_in_which_a_reader_looks_for_them() -> None:
    for seed in range(5):
        mixed = list(FILED)
        Random(seed).shuffle(mixed)
        assert sorted(mixed, key=sort_key) == list(FILED)


@pytest.mark.parametrize("name", ["oneills1850", "ryansMammoth"])
def test_real_titles_are_in_the_order_of_another_sort(name: str) -> None:
    """Outside: the titles of collections that the installed music21 carries; the sort compares
    two at a time and finds marks by Unicode's names of letters."""
    found = [re.search(r"^T:\s*(.*\S)", text, re.MULTILINE) for text in collection(name)]
    titles = sorted({match.group(1) for match in found if match})
    assert len(titles) > 900
    assert any(title.startswith("The ") for title in titles)
    told = sorted(titles, key=sort_key)
    other = sorted(titles, key=cmp_to_key(compared))
    apart = [
        (one, two)
        for one, two in zip(told, other, strict=True)
        if one != two and compared(one, two)
    ]
    assert apart == []


@given(st.lists(st.text(min_size=1, max_size=20), max_size=12, unique=True))
def test_any_titles_have_one_order_only_and_a_letter_to_stand_under(titles: list[str]) -> None:
    told = sorted(titles, key=sort_key)
    backwards = titles[::-1]
    assert sorted(backwards, key=sort_key) == told
    initials = [initial(title) for title in told]
    runs = [letter for letter, _ in groupby(initials)]
    assert len(runs) == len(set(runs))
    assert all(initials)


def test_the_index_by_title_has_every_tune_once_under_its_letter() -> None:
    mixed = tuple(Random(1).sample(FILED, len(FILED)))
    entries, bound = place(mixed)
    made = index(entries, bound, "Index by title")
    assert [line.words for group in made.groups for line in group.lines] == [
        turned(title) for title in FILED
    ]
    pages = {turned(one.title): 10 + one.number for one in entries}
    for group in made.groups:
        for line in group.lines:
            assert line.pages == (pages[line.words],)
    assert [group.heading for group in made.groups] == [
        "0–9", "A", "C", "E", "F", "L", "O", "R", "T", "V", "Z",
    ]  # fmt: skip
    under = {line.words: group.heading for group in made.groups for line in group.lines}
    assert under["Vicar's Piano, The"] == "V"
    assert under["Éirí na Gréine"] == "E"
    assert under["Øster Hall"] == "O"
    assert under["The"] == "T"
    assert under["A Minor Mishap"] == "A"


def test_keys_go_by_letter_then_flat_natural_sharp_then_major_minor_modes() -> None:
    keys = ["A mixolydian", "Bb major", "A minor", "F# minor", "B minor", "F major", "A major",
            "A dorian", "Ab major", "D major"]  # fmt: skip
    entries, bound = place(tuple(f"Tune {at}" for at in range(len(keys))), key=list(keys))
    made = index(entries, bound, "Index by key")
    assert [group.heading for group in made.groups] == [
        "A♭ major", "A major", "A minor", "A dorian", "A mixolydian", "B♭ major", "B minor",
        "D major", "F major", "F♯ minor",
    ]  # fmt: skip
    for group in made.groups:
        (line,) = group.lines
        number = next(one.number for one in entries if one.title == line.words)
        assert key_words(keys[number - 1]) == group.heading


def test_tunings_stand_apart_by_their_capo_and_have_their_tunes_by_title() -> None:
    random = Random(4)
    titles = tuple(f"{random.choice('ABCDEF')} Tune of the {at}th Hall" for at in range(60))
    tunings = [random.choice(["D3 A3 D4", "D3 A3 C4", "Bb2 F3 Bb3"]) for _ in titles]
    capos = [random.choice(["0", "1", "3", "10"]) for _ in titles]
    entries, bound = place(titles, tuning=list(tunings), capo=list(capos))
    made = index(entries, bound, "Index by tuning")
    want: dict[tuple[str, int], list[tuple[str, int]]] = {}
    for at, title in enumerate(titles):
        want.setdefault((tunings[at], int(capos[at])), []).append((title, 11 + at))
    headings = [
        tuning_words(tuning, str(capo)) for tuning, capo in sorted(want, key=lambda one: one)
    ]
    assert [group.heading for group in made.groups] == headings
    assert "D3-A3-D4" in headings
    assert "D3-A3-D4, capo at 1" in headings
    assert headings.index("D3-A3-D4, capo at 3") < headings.index("D3-A3-D4, capo at 10")
    for (_, tunes), group in zip(sorted(want.items()), made.groups, strict=True):
        tunes.sort(key=cmp_to_key(lambda a, b: compared(a[0], b[0])))
        assert [(line.words, line.pages) for line in group.lines] == [
            (turned(title), (page,)) for title, page in tunes
        ]


def test_levels_have_their_versions_the_easiest_first() -> None:
    random = Random(5)
    entries, begins, page = [], {}, 11
    for at in range(1, 41):
        levels = sorted(random.sample(range(1, 6), random.randint(1, 5)))
        parts = [part(level=one, hardest=random.randint(20, 200)) for one in levels]
        entries.append(entry(at, f"Tune {at}", parts))
        begins[at] = tuple(range(page, page + len(parts)))
        page += len(parts)
    made = index(entries, Bound(page, begins), "Index by level")
    assert [group.heading for group in made.groups] == [f"Level {at}" for at in range(1, 6)]
    found = 0
    for level, group in enumerate(made.groups, 1):
        want = [
            (one.hardest, whole.number, begins[whole.number][at])
            for whole in entries
            for at, one in enumerate(whole.parts)
            if one.level == level
        ]
        told = [
            (
                int(line.detail.removesuffix(" %")),
                int(line.words.removeprefix("Tune ")),
                *line.pages,
            )
            for line in group.lines
        ]
        assert told == sorted(want)
        found += len(told)
    assert found == sum(len(one.parts) for one in entries)


def test_without_levels_difficulty_comes_in_bands_whose_edges_belong_below() -> None:
    hardest = [50, 51, 75, 76, 100, 101, 7, 400]
    entries, bound = place(tuple(f"Tune {at}" for at in hardest), hardest=list(hardest))
    made = index(entries, bound, "Index by difficulty")
    assert {group.heading: [line.detail for line in group.lines] for group in made.groups} == {
        "Hardest bar up to 50 %": ["7 %", "50 %"],
        "Hardest bar 51 to 75 %": ["51 %", "75 %"],
        "Hardest bar 76 to 100 %": ["76 %", "100 %"],
        "Hardest bar beyond 100 %": ["101 %", "400 %"],
    }


def test_textures_are_told_apart_where_there_are_several() -> None:
    parts = [part(texture="song", hardest=90), part(texture="solo", hardest=70)]
    made = index([entry(1, "Frost", parts)], Bound(9, {1: (4, 6)}), "Index by difficulty")
    assert [line.words for group in made.groups for line in group.lines] == [
        "Frost (solo)",
        "Frost (song)",
    ]


def test_first_shapes_go_up_the_fretboard_and_open_strings_come_last() -> None:
    shapes = ["10-0-0 T", "", "2-0-0 T", "6+-0-0 I", "6-0-0 I", "0-3-0 M", "0-0-7 T", "2-0-0 I"]
    entries, bound = place(
        tuple(f"Tune {at}" for at in range(len(shapes))), first_shape=list(shapes)
    )
    made = index(entries, bound, "Index by first shape")
    assert [group.heading for group in made.groups] == [
        "0-0-7 T", "0-3-0 M", "2-0-0 I", "2-0-0 T", "6-0-0 I", "6+-0-0 I", "10-0-0 T",
        "Open strings alone",
    ]  # fmt: skip


def test_a_tune_has_one_line_under_a_heading_with_the_pages_of_its_versions_there() -> None:
    parts = [
        part(level=1, first_shape="0-0-2 T"),
        part(level=2, first_shape="3-0-2 TM", tuning="D3 A3 C4"),
        part(level=3, first_shape="0-0-2 T"),
    ]
    entries = [entry(1, "The Frost", parts)]
    bound = Bound(20, {1: (4, 6, 9)})

    def lines(title: str) -> dict[str, list[tuple[str, tuple[int, ...]]]]:
        made = index(entries, bound, title)
        return {g.heading: [(line.words, line.pages) for line in g.lines] for g in made.groups}

    assert lines("Index by first shape") == {
        "0-0-2 T": [("Frost, The", (4, 9))],
        "3-0-2 TM": [("Frost, The", (6,))],
    }
    assert lines("Index by tuning") == {
        "D3-A3-C4": [("Frost, The", (6,))],
        "D3-A3-D4": [("Frost, The", (4, 9))],
    }
    assert lines("Index by key") == {"D major": [("Frost, The", (4,))]}  # all begin on page 4


def test_what_has_no_page_is_in_no_index() -> None:
    entries = [entry(1, "Frost"), entry(2, "Candle")]
    made = indexes_of(entries, Bound(5, {2: (4,)}))
    assert len(made) == 5
    told = [line.words for one in made for group in one.groups for line in group.lines]
    assert told == ["Candle"] * 5
    assert indexes_of(entries, Bound(5, {})) == ()


def test_the_printed_indexes_have_the_pages_on_which_the_titles_stand(tmp_path: Path) -> None:
    titles = tuple(Random(2).sample(FILED, len(FILED)))
    entries = [
        entry(at, title, key=("D major", "F# minor")[at % 2], pages=1 + at % 2)
        for at, title in enumerate(titles, 1)
    ]
    drawn(tmp_path, entries)
    bound = bind(entries, tmp_path, "Tunes of the Hall")
    pages = [flat(text) for text in texts(tmp_path)]
    back = " ".join(page for page in pages if page.startswith("Index"))
    for one in entries:
        page = bound.begins[one.number][0]
        assert pages[page - 1].startswith(one.title)
        assert len(re.findall(rf"(?<!\S){re.escape(turned(one.title))} {page}\b", back)) == 4
        assert f"{one.title} 80 % {page}" in back
