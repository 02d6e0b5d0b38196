"""Files that mean harm or are broken: nothing but TuneError comes out, in bounded memory.

The attacks are the ones that the defusedxml documentation lists ("Attack vectors"): exponential
and quadratic entity expansion, external entities, decompression bombs; and headers that lie.
"""

import io
import struct
import time
import tracemalloc
import zipfile
from collections.abc import Callable
from xml.etree.ElementTree import Element, tostring

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.tune.musicxml_score import chord, measure, note, score, valid
from tune.errors import TuneError
from tune.readers.musicxml import mxl, read_musicxml
from tune.readers.musicxml.mxl import read_mxl, unpack
from tune.readers.musicxml.tree import MOST_BYTES, MOST_MARKS, parse

GOOD = valid(
    score(
        measure(chord("D") + note("D4", 24) + note("F#4", 24)),
        measure(
            chord("A", "dominant") + note("E4", 48)
            + '<barline location="right"><repeat direction="backward"/></barline>', "2",
        ),
    )
)  # fmt: skip
CONTAINER = (
    '<?xml version="1.0"?><container><rootfiles><rootfile full-path="harrow.xml"/>'
    "</rootfiles></container>"
)
QUICK = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)


def packed(*members: tuple[str, bytes | str], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", how) as archive:
        for name, data in members:
            archive.writestr(name, data)
    return stream.getvalue()


ARCHIVE = packed(("META-INF/container.xml", CONTAINER), ("harrow.xml", GOOD))


def refused(data: bytes, read: Callable[..., object] = read_musicxml) -> str:
    """The sentence, and proof that refusing took little memory and time."""
    tracemalloc.start()
    begun = time.perf_counter()
    try:
        with pytest.raises(TuneError) as caught:
            read(data, "bad.mxl")
        assert tracemalloc.get_traced_memory()[1] < 60_000_000 + 2 * len(data)
    finally:
        tracemalloc.stop()
    assert time.perf_counter() - begun < 10
    return str(caught.value)


# --- XML ---

ENTITIES = (
    "bad.mxl: the file defines entities of its own, which no music needs; save it again from a "
    "notation program"
)


def test_an_ordinary_doctype_is_accepted() -> None:
    assert b"<!DOCTYPE" in GOOD
    assert len(read_musicxml(GOOD).bars) == 2


def test_entities_that_multiply_are_refused() -> None:
    levels = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))
    bomb = (
        f'<!DOCTYPE x [<!ENTITY a0 "dulcimer">{levels}]>'
        "<score-partwise><part>&a9;</part></score-partwise>"
    )
    assert refused(bomb.encode()) == ENTITIES


def test_one_long_entity_many_times_is_refused() -> None:
    bomb = f'<!DOCTYPE x [<!ENTITY a "{"a" * 50_000}">]><score-partwise>{"&a;" * 50_000}'
    assert refused(f"{bomb}</score-partwise>".encode()) == ENTITIES


@pytest.mark.parametrize(
    "declared",
    [
        '<!ENTITY a SYSTEM "file:///etc/passwd">',
        '<!ENTITY a SYSTEM "http://127.0.0.1:9/x">',
        '<!ENTITY % a SYSTEM "file:///etc/passwd"> %a;',
    ],
)
def test_nothing_outside_the_file_is_fetched(declared: str) -> None:
    document = f"<!DOCTYPE x [{declared}]><score-partwise>&a;</score-partwise>"
    assert refused(document.encode()) == ENTITIES


TOO_LARGE = "bad.mxl: the MusicXML is too large for a tune; save one part or one song alone"


def test_too_many_bytes_are_refused_before_they_are_parsed() -> None:
    assert refused(b"<score-partwise>" + b" " * MOST_BYTES) == TOO_LARGE


@pytest.mark.parametrize("mark", [b"<a/>", b"<a b=''/>"])
def test_too_many_tags_are_refused_before_they_are_parsed(mark: bytes) -> None:
    assert refused(b"<score-partwise>" + mark * MOST_MARKS) == TOO_LARGE


def test_too_many_attributes_are_refused_before_they_are_parsed() -> None:
    many = b" ".join(b'a%d=""' % n for n in range(MOST_MARKS))
    assert refused(b"<score-partwise " + many + b"/>") == TOO_LARGE


def test_tags_nested_deeply_end_in_a_sentence() -> None:
    depth = MOST_MARKS // 2 - 10
    deep = b"<score-partwise>" + b"<a>" * depth + b"</a>" * depth + b"</score-partwise>"
    with pytest.raises(TuneError, match="holds no part"):
        read_musicxml(deep)


# --- .mxl ---


def test_an_archive_is_read() -> None:
    assert read_mxl(ARCHIVE) == read_musicxml(GOOD)


def test_the_container_says_which_member_is_the_score() -> None:
    other = GOOD.replace(b"Harrow Lane", b"Other")
    archive = packed(
        ("first.xml", other), ("META-INF/container.xml", CONTAINER), ("harrow.xml", GOOD)
    )
    assert read_mxl(archive).title == "Harrow Lane"


def test_a_container_may_list_a_printed_page_first() -> None:
    container = CONTAINER.replace(
        "<rootfiles>",
        '<rootfiles><rootfile full-path="page.pdf" media-type="application/pdf"/>',
    )
    archive = packed(
        ("META-INF/container.xml", container), ("page.pdf", b"%PDF"), ("harrow.xml", GOOD)
    )
    assert read_mxl(archive).title == "Harrow Lane"


def test_without_a_container_the_first_score_is_read() -> None:
    assert read_mxl(packed(("cover.png", b"x"), ("harrow.musicxml", GOOD))).title == "Harrow Lane"


def test_an_archive_under_a_plain_name_is_still_read() -> None:
    assert read_musicxml(ARCHIVE) == read_musicxml(GOOD)


DAMAGED = "bad.mxl: the .mxl archive is damaged or no zip archive; save it again, or as .musicxml"
FAR_TOO_MUCH = "bad.mxl: the .mxl archive unpacks to far more than a tune; it was not read"
TOO_BIG = "bad.mxl: the .mxl archive is too large for a tune; save one song alone"


def lying(size: int) -> bytes:
    """An archive whose headers say that its 40 MB member holds ``size`` bytes."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("harrow.xml", b" " * 40_000_000)
    data = bytearray(stream.getvalue())
    struct.pack_into("<I", data, data.index(b"PK\x03\x04") + 22, size)
    struct.pack_into("<I", data, data.index(b"PK\x01\x02") + 24, size)
    return bytes(data)


@pytest.mark.parametrize(
    ("archive", "sentence"),
    [
        (b"no zip at all", DAMAGED),
        (ARCHIVE[:-30], DAMAGED),
        (packed(("a.txt", b"x")), "bad.mxl: the .mxl archive holds no score; save it again, or as "
         ".musicxml"),
        (packed(("harrow.xml", b" " * (MOST_BYTES + 1)), how=zipfile.ZIP_STORED), TOO_BIG),
        (packed(("harrow.xml", b" " * (MOST_BYTES + 1))), FAR_TOO_MUCH),
        (packed(("harrow.xml", b" " * 2_000_000)), FAR_TOO_MUCH),
        (packed(*((f"{n}.xml", b"") for n in range(mxl.MOST_MEMBERS + 1))), TOO_BIG),
        (packed(*((f"{n}.xml", b" " * 11_000_000) for n in range(6))), TOO_BIG),
        (lying(70_000_000), TOO_BIG),
        (lying(40_000_000), FAR_TOO_MUCH),
        (
            packed(("harrow.xml", GOOD), how=zipfile.ZIP_LZMA),
            "bad.mxl: the .mxl archive is packed in a way that the format does not allow; save it "
            "again",
        ),
        (
            packed(("META-INF/container.xml", "<container"), ("harrow.xml", GOOD)),
            "bad.mxl: the archive's META-INF/container.xml cannot be read; save it again, or as "
            ".musicxml",
        ),
        (
            packed(
                ("META-INF/container.xml", '<!DOCTYPE c [<!ENTITY a "b">]><c>&a;</c>'),
                ("harrow.xml", GOOD),
            ),
            "bad.mxl: the archive's META-INF/container.xml cannot be read; save it again, or as "
            ".musicxml",
        ),
        (packed(("META-INF/container.xml", b" " * 90_000), ("harrow.xml", GOOD)), FAR_TOO_MUCH),
    ],
)  # fmt: skip
def test_bad_archives_are_refused_in_little_memory(archive: bytes, sentence: str) -> None:
    assert refused(archive, read_mxl) == sentence


def test_a_header_that_says_too_little_yields_no_more_than_it_says() -> None:
    refused(lying(1_000), read_mxl)  # the checksum over the first 1000 bytes is wrong: damaged
    with pytest.raises(TuneError):
        unpack(lying(1_000))


def test_an_encrypted_member_is_refused() -> None:
    data = bytearray(ARCHIVE)
    for signature, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        start = 0
        while (start := data.find(signature, start)) >= 0:
            data[start + at] |= 1
            start += 4
    assert refused(bytes(data), read_mxl) == DAMAGED


# --- anything at all ---


def only_tune_errors(read: Callable[..., object], data: bytes) -> None:
    """Reading gives a tune or a TuneError of one short line."""
    sentence = ""
    try:
        read(data, "fuzz")
    except TuneError as error:
        sentence = str(error)
    assert "\n" not in sentence
    assert len(sentence) < 400


def mutated(data: bytes, edits: list[tuple[int, int, bytes]]) -> bytes:
    """``data`` with stretches cut out and others put in."""
    for at, cut, put in edits:
        place = at % (len(data) + 1)
        data = data[:place] + put + data[place + cut :]
    return data


EDITS = st.lists(
    st.tuples(st.integers(0, 10_000), st.integers(0, 40), st.binary(max_size=6)),
    min_size=1,
    max_size=4,
)


@QUICK
@given(EDITS)
def test_musicxml_with_bytes_changed(edits: list[tuple[int, int, bytes]]) -> None:
    only_tune_errors(read_musicxml, mutated(GOOD, edits))


@QUICK
@given(EDITS)
def test_an_archive_with_bytes_changed(edits: list[tuple[int, int, bytes]]) -> None:
    only_tune_errors(read_mxl, mutated(ARCHIVE, edits))


@QUICK
@given(st.binary(max_size=200))
def test_bytes_of_any_kind(data: bytes) -> None:
    only_tune_errors(read_musicxml, data)
    only_tune_errors(read_mxl, data)


WORDS = st.sampled_from(
    ["", "0", "-1", "1", "3", "99999999", "1e9", "0.5", "x", "G", "none", "yes", "1, 2", "٣", "½"]
)


@QUICK
@given(st.lists(st.tuples(st.integers(0, 500), WORDS), min_size=1, max_size=3), st.booleans())
def test_well_formed_musicxml_with_other_words(
    changes: list[tuple[int, str]], attributes: bool
) -> None:
    root = parse(FULL)
    places = list(root.iter())
    for at, word in changes:
        element = places[at % len(places)]
        if attributes and element.attrib:
            element.set(sorted(element.attrib)[at % len(element.attrib)], word)
        else:
            element.text = word
    only_tune_errors(read_musicxml, _written(root))


@QUICK
@given(st.lists(st.tuples(st.integers(0, 500), st.integers(0, 500)), min_size=1, max_size=4))
def test_well_formed_musicxml_with_elements_moved_and_taken_away(
    moves: list[tuple[int, int]],
) -> None:
    root = parse(FULL)
    for source, target in moves:
        parents = [element for element in root.iter() if len(element)]
        if not parents:
            break
        parent = parents[source % len(parents)]
        child = parent[target % len(parent)]
        parent.remove(child)
        inside = set(child.iter())
        hosts = [element for element in root.iter() if element not in inside]
        if target % 3:
            hosts[target % len(hosts)].append(child)
    only_tune_errors(read_musicxml, _written(root))


def _written(root: Element) -> bytes:
    return bytes(tostring(root))


def _ending(number: str, sign: str = "") -> str:
    """A bar that is all of one ending."""
    first, last = (f'<ending number="{number}" type="{kind}"/>' for kind in ("start", "stop"))
    return measure(
        f'<barline location="left">{first}</barline>'
        + note("D4", 48)
        + f'<barline location="right">{last}{sign}</barline>',
        str(int(number) + 1),
    )


FULL = valid(
    score(
        measure(
            "<attributes><divisions>12</divisions><key><fifths>2</fifths><mode>major</mode></key>"
            "<time><beats>4</beats><beat-type>4</beat-type></time><transpose><diatonic>-1"
            "</diatonic><chromatic>-2</chromatic></transpose></attributes>"
            "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>90"
            '</per-minute></metronome></direction-type><sound tempo="90"/></direction>'
            + note("A3", 12, tail="<lyric><text>O</text></lyric>"), "0", ' implicit="yes"',
        ),
        measure(
            chord("D", "major", "<bass><bass-step>F</bass-step><bass-alter>1</bass-alter></bass>"
                  "<degree><degree-value>9</degree-value><degree-alter>0</degree-alter>"
                  "<degree-type>add</degree-type></degree><offset>12</offset>")
            + "".join(
                note(name, 12, tail="<notations><technical><fingering>1</fingering></technical>"
                     "</notations>")
                for name in ("D4", "E4", "F#4")
            )
            + "<backup><duration>12</duration></backup><forward><duration>24</duration></forward>",
        ),
        _ending("1", '<repeat direction="backward"/>'),
        _ending("2"),
    )
)  # fmt: skip


def test_the_tune_that_is_fuzzed_is_good() -> None:
    tune = read_musicxml(FULL)
    assert [one.written for one in tune.played] == [0, 1, 2, 0, 1, 3]
    assert [str(change.chord) for change in tune.bars[1].chords] == ["Cadd9/E"]
