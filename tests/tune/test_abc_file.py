"""Files of many tunes, the choice of one, and the bytes they are read from."""

import io
import time
from pathlib import Path

import pytest

from tests.tune.abc_tune import pitches
from tune.errors import TuneError
from tune.readers.abc import abc_tunes, read_abc
from tune.readers.source import MOST_BYTES, as_text, read_bytes

BOOK = """%abc-2.1
% songs of the Harrow Lane class
M:3/4
L:1/4
C:The class

X:1
T:Kettle Song
T:The Other Kettle
K:G
GGG|

some free text that says nothing of | music

X:2
T:Kettle Song Again
M:4/4
K:C
cccc|
X:12
T:Lamp
C:A guest
K:D
ddd|
"""


def test_listing() -> None:
    assert abc_tunes(BOOK) == (("1", "Kettle Song"), ("2", "Kettle Song Again"), ("12", "Lamp"))


@pytest.mark.parametrize(
    ("choose", "title"),
    [
        ("1", "Kettle Song"),
        ("12", "Lamp"),
        (" 2 ", "Kettle Song Again"),
        ("lamp", "Lamp"),
        ("again", "Kettle Song Again"),
        ("KETTLE SONG", "Kettle Song"),  # the whole title goes before a part of one
        ("other", "Kettle Song"),
    ],
)
def test_choosing(choose: str, title: str) -> None:
    assert read_abc(BOOK, choose=choose).title == title


@pytest.mark.parametrize(
    ("choose", "sentence"),
    [
        (
            None,
            "the file holds 3 tunes; choose one by its number or title: 1 Kettle Song, "
            "2 Kettle Song Again, 12 Lamp",
        ),
        ("kettle", "'kettle' fits 2 tunes; choose one of: 1 Kettle Song, 2 Kettle Song Again"),
        (
            "5",
            "no tune is numbered or titled '5'; there are: 1 Kettle Song, 2 Kettle Song Again, "
            "12 Lamp",
        ),
    ],
)
def test_choosing_in_vain(choose: str | None, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_abc(BOOK, "book.abc", choose)
    assert str(caught.value) == f"book.abc: {sentence}"


def test_a_long_list_is_cut() -> None:
    many = "".join(f"X:{number}\nT:Tune\nK:C\nc|\n\n" for number in range(1, 9))
    with pytest.raises(TuneError, match=r"8 tunes.*: 1 Tune, .*5 Tune, …$"):
        read_abc(many)


def test_the_files_header_holds_for_all_and_a_tune_may_differ() -> None:
    first, second, third = (read_abc(BOOK, choose=number) for number in ("1", "2", "12"))
    assert [str(tune.metre) for tune in (first, second, third)] == ["3/4", "4/4", "3/4"]
    assert [tune.composer for tune in (first, third)] == ["The class", "The class; A guest"]


def test_an_empty_line_ends_a_tune_and_music_after_it_is_told() -> None:
    tune = read_abc("X:1\nT:Try\nM:4/4\nL:1/4\nK:C\ncccc|\n\ndddd|\n")
    assert pitches(tune) == [72] * 4
    assert tune.notices == (
        "an empty line ends a tune, so line 8 is not read; "
        "take the empty line out if it belongs to the tune",
    )


def test_a_comment_line_ends_nothing() -> None:
    text = "X:1\nT:Try\nM:4/4\nL:1/4\n% key\nK:C\ncccc|\n % more\n%%scale 0.7\ndddd|% end\n"
    assert pitches(read_abc(text)) == [72] * 4 + [74] * 4


def test_typeset_text_is_passed_over() -> None:
    text = "X:1\nT:Try\nM:4/4\nL:1/4\nK:C\ncccc|\n%%begintext\n\nno | music\n%%endtext\ndddd|\n"
    assert pitches(read_abc(text)) == [72] * 4 + [74] * 4


def test_any_line_ends_and_a_byte_order_mark() -> None:
    plain = "X:1\nT:Try\nM:4/4\nL:1/4\nK:C\ncccc|\n"
    for end in ("\r\n", "\r"):
        assert read_abc("\ufeff" + plain.replace("\n", end)) == read_abc(plain)


def test_a_tune_without_its_first_lines() -> None:
    tune = read_abc("\nM:4/4\nL:1/4\nK:C\ncccc|\n")
    assert tune.title == "Tune"
    assert tune.notices == ("the tune has no T: line; it is called Tune",)
    assert read_abc("X:9\nM:4/4\nK:C\nc4c4|").title == "Tune 9"


def test_a_tune_without_its_key_line() -> None:
    tune = read_abc("X:1\nT:Try\nM:4/4\nL:1/4\ncccc|\n")
    assert tune.notices == ("the tune has no K: line; its key is taken as C major",)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "X:1\nK:C\n" + "A" * 20_001,
            "line 3: the line is longer than 20000 letters; break it in several",
        ),
        (
            "X:1\nK:C\nA8|\nw:a\n" + "+:abcdefgh\n" * 3000,
            "line 2226: the line is longer than 20000 letters; break it in several",
        ),
        ("X:1\n" * 400_001, "line 400001: there are more than 400000 lines; is it a tune?"),
    ],
)
def test_endless_lines(text: str, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_abc(text)
    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    "line", ["[K:" * 6000, "a[M:4/4]" * 2000, "{a}[P:B]" * 2000, "(3:2:3" * 3000, "[" * 19_000]
)
def test_odd_lines_take_no_time(line: str) -> None:
    """The line's length is what the work grows with, not its square."""
    started = time.process_time()
    with pytest.raises(TuneError):
        read_abc("X:1\nT:Try\nM:4/4\nL:1/8\nK:C\n" + f"{line}\n" * 2 + "Z9999|")
    assert time.process_time() - started < 2


def test_a_flood_of_notices_is_cut() -> None:
    signs = "".join(f"!sign{number}!" for number in range(200))
    notices = read_abc(f"X:1\nT:Try\nM:4/4\nL:1/8\nK:C\n{signs}A8|\n").notices
    assert len(notices) == 51
    assert notices[-1] == "there is more that could not be used"


# -- bytes -------------------------------------------------------------------------------------


def test_a_file_and_standard_input(tmp_path: Path) -> None:
    path = tmp_path / "try.abc"
    path.write_bytes(b"X:1\n")
    assert read_bytes(path) == read_bytes(str(path)) == b"X:1\n"
    assert read_bytes("-", io.BytesIO(b"X:2\n")) == b"X:2\n"


def test_text() -> None:
    assert as_text("T:Caf\u00e9".encode()) == ("T:Café", ())
    assert as_text(b"\xef\xbb\xbfX:1") == ("X:1", ())
    assert as_text("T:Café".encode("utf-16")) == ("T:Café", ())
    text, notices = as_text("T:Café".encode("latin-1"))
    assert text == "T:Café"
    assert notices == ("the file is not UTF-8 and was read as Latin-1; check its accented letters",)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"X:1\0", "try.abc: this is no text file"),
        (b"\xff\xfeX", "try.abc: the file is broken UTF-16 text; save it as UTF-8"),
    ],
)
def test_no_text(data: bytes, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        as_text(data, "try.abc")
    assert str(caught.value) == sentence


def test_what_cannot_be_read(tmp_path: Path) -> None:
    empty = tmp_path / "empty.abc"
    empty.write_bytes(b" \n")
    large = tmp_path / "large.abc"
    large.write_bytes(b"x" * (MOST_BYTES + 1))
    cases = [
        (tmp_path / "none.abc", "there is no such file; check the name and the folder"),
        (tmp_path, "this is a folder; name a file in it"),
        (empty, "the file is empty"),
        (large, "the file is larger than 8 megabytes; is it a tune?"),
    ]
    for path, sentence in cases:
        with pytest.raises(TuneError) as caught:
            read_bytes(path)
        assert str(caught.value) == f"{path}: {sentence}"
    with pytest.raises(TuneError, match="standard input: the file is empty"):
        read_bytes("-", io.BytesIO(b""))
    with pytest.raises(TuneError, match="could not be read"):
        read_bytes("nul\0byte")


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(TuneError, match="may not be read; change its permissions"):
        read_bytes(tmp_path / "try.abc")
