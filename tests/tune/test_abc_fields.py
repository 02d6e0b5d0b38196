"""ABC's fields: metre, unit, tempo, key, texts; worked by hand from the standard 2.1, §3."""

from fractions import Fraction

import pytest

from tests.tune.abc_tune import names, numbers, read
from tune.errors import TuneError
from tune.key import MODES, Key
from tune.readers.abc import read_abc
from tune.readers.abc.fields import read_metre, read_tempo, read_unit
from tune.readers.abc.key import read_key, read_shift, signature_of
from tune.readers.abc.text import plain_text, without_comment
from tune.readers.usual import usual_tempo
from tune.time import QUARTER, Metre, Tempo


@pytest.mark.parametrize(
    ("text", "metre"),
    [
        ("4/4", Metre(4, 4)),
        (" 6 / 8 ", Metre(6, 8)),
        ("C", Metre(4, 4)),
        ("C|", Metre(2, 2)),
        ("(2+3+2)/8", Metre(7, 8)),
        ("2+2+3/8", Metre(7, 8)),
        ("none", None),
        ("", None),
    ],
)
def test_metres(text: str, metre: Metre | None) -> None:
    assert read_metre(text) == metre


@pytest.mark.parametrize(
    ("text", "unit"), [("1/8", Fraction(1, 2)), ("1/4", 1), ("1", 4), ("1/128", Fraction(1, 32))]
)
def test_units(text: str, unit: Fraction) -> None:
    assert read_unit(text) == unit


@pytest.mark.parametrize(
    ("text", "quarters", "rate"),
    [
        ("1/4=100", 1, 100),
        ("3/8=80", Fraction(3, 2), 80),
        ('"Gently" 1/2 = 60', 2, 60),
        ('1/4=100 "Andante"', 1, 100),
        ("1/4 3/8 1/4 3/8=40", 5, 40),  # the standard's own example, §3.1.8
        ("100", Fraction(1, 2), 100),  # the old form counts unit lengths
        ("C=100", Fraction(1, 2), 100),
        ("C3=100", Fraction(3, 2), 100),
        ("1/4=92.5", 1, 92),
    ],
)
def test_tempi(text: str, quarters: Fraction, rate: int) -> None:
    assert read_tempo(text, Fraction(1, 2)).tempo == Tempo(int(quarters * QUARTER), rate)


def test_a_tempo_in_words_alone_is_told() -> None:
    tune = read("A8|", 'Q:"Gently"')
    assert tune.tempo == usual_tempo(Metre(4, 4))
    assert tune.notices == ("the tempo “Gently” has no number and is not kept",)


@pytest.mark.parametrize(
    ("metre", "beat", "rate"),
    [("4/4", 1, 100), ("6/8", Fraction(3, 2), 72), ("C|", 2, 72), ("3/8", Fraction(1, 2), 120)],
)
def test_the_usual_tempo(metre: str, beat: Fraction, rate: int) -> None:
    """Our own default, no source."""
    assert read("A|", metre=metre).tempo == Tempo(int(beat * QUARTER), rate)


def test_tempo_changes() -> None:
    tune = read("A8|[Q:1/4=60]B8|\nQ:1/4=120\nc8|A4 [Q:1/4=90]A4|", "Q:1/4=100")
    assert tune.tempo == Tempo(QUARTER, 100)
    assert [bar.tempo and bar.tempo.per_minute for bar in tune.bars] == [None, 60, 120, 90]
    assert tune.notices == ("bar 4: a tempo inside a bar counts for the whole bar",)


def test_a_tempo_at_the_very_start_of_the_music_is_the_tunes() -> None:
    tune = read("[Q:1/4=60]A8|B8|")
    assert (tune.tempo.per_minute, tune.bars[0].tempo) == (60, None)


@pytest.mark.parametrize(
    ("text", "tonic", "mode"),
    [
        ("D", "D", "major"),
        ("Dmaj", "D", "major"),
        ("D ionian", "D", "major"),
        ("Em", "E", "minor"),
        ("E Minor", "E", "minor"),
        ("Eaeo", "E", "minor"),
        ("AMix", "A", "mixolydian"),
        ("D mixolydian", "D", "mixolydian"),
        ("Ador", "A", "dorian"),
        ("DDORIAN", "D", "dorian"),
        ("Bphr", "B", "phrygian"),
        ("Glyd", "G", "lydian"),
        ("F#loc", "F#", "locrian"),
        ("Bb", "Bb", "major"),
        ("B♭m", "Bb", "minor"),
        ("C clef=bass", "C", "major"),
        ("Dmix=c", "D", "mixolydian"),
        ("D exp ^f ^c", "D", "major"),
        ("D Phr ^f", "D", "phrygian"),
        ("D exp ^f", "D", "mixolydian"),
    ],
)
def test_keys(text: str, tonic: str, mode: str) -> None:
    """§3.1.14: the first three letters count, in any case."""
    read_field = read_key(text)
    assert read_field is not None
    assert read_field.key == Key(tonic, mode)


@pytest.mark.parametrize("mode", MODES)
def test_all_modes_of_one_signature(mode: str) -> None:
    """The modes on the white keys: no signature at all (any theory primer)."""
    tonics = {"major": "C", "dorian": "D", "phrygian": "E", "lydian": "F", "mixolydian": "G",
              "minor": "A", "locrian": "B"}  # fmt: skip
    read_field = read_key(f"{tonics[mode]} {mode}")
    assert read_field is not None
    assert read_field.signature == {}


def test_signatures() -> None:
    assert signature_of(Key("A")) == {"F": 1, "C": 1, "G": 1}
    assert signature_of(Key("Eb")) == {"B": -1, "E": -1, "A": -1}
    assert len(signature_of(Key("C#"))) == len(signature_of(Key("Cb"))) == 7


def test_explicit_accidentals() -> None:
    """§3.1.14's example: K:D Phr ^f is K:D exp _b _e ^f; neither is a mode of D."""
    by_mode, by_hand = read_key("D Phr ^f"), read_key("D exp _b _e ^f")
    assert by_mode is not None
    assert by_hand is not None
    assert dict(by_mode.signature) == dict(by_hand.signature) == {"B": -1, "E": -1, "F": 1}
    assert "none of D's modes" in by_mode.remark
    assert names(read("B E F |", key="D Phr ^f")) == ["Bb", "Eb", "F#"]


@pytest.mark.parametrize(
    ("key", "notice", "spelled"),
    [
        ("HP", "K:HP (bagpipe) is read as A mixolydian", ["F#", "C#", "G"]),
        ("Hp", "K:Hp (bagpipe) is read as A mixolydian", ["F#", "C#", "G"]),
        ("none", "no key is given; the notes are read as in C major", ["F", "C", "G"]),
        ("", "no key is given; the notes are read as in C major", ["F", "C", "G"]),
        ("EM", "K:EM is read as E minor", ["F#", "C", "G"]),
    ],
)
def test_keys_that_need_a_word(key: str, notice: str, spelled: list[str]) -> None:
    tune = read("F c G |", key=key)
    assert tune.notices == (notice,)
    assert names(tune) == spelled


def test_a_key_change_counts_from_where_it_stands() -> None:
    tune = read("F8|[K:D]F8|\nK:Dm\nB8|F4 [K:G]F4|F8|", key="C")
    assert names(tune) == ["F", "F#", "Bb", "F", "F#", "F#"]
    assert [str(bar.key) for bar in tune.bars] == [
        "C major",
        "D major",
        "D minor",
        "D minor",
        "G major",
    ]


def test_a_clef_alone_changes_no_key() -> None:
    assert names(read("F8|\nK:clef=bass\nF8|[K:bass]F8|", key="D")) == ["F#"] * 3
    assert read_shift("Am transpose=-2 octave=1")[0] is not None


def test_a_metre_change() -> None:
    tune = read("A8|[M:3/4]A6|\nM:6/8\nA6|A2 [M:C]A6|")
    assert [str(bar.metre) for bar in tune.bars] == ["4/4", "3/4", "6/8", "4/4"]
    assert numbers(tune) == [1, 2, 3, 4]
    assert tune.notices == ("bar 4: the metre C inside a bar counts for the whole bar",)


def test_free_metre_keeps_its_bars() -> None:
    """§3.1.6: no M: is free metre."""
    tune = read_abc("X:1\nT:Try\nL:1/4\nK:C\nA3|A6|A5|\n")
    assert [bar.length // QUARTER for bar in tune.bars] == [3, 6, 5]
    assert tune.notices == ("no metre is given; the bars are counted in 4/4 as they come",)


def test_texts() -> None:
    tune = read_abc(
        "X:4\nT:First Title\nT:Second\nC:A. Player\nC:B. Player\nO:Nowhere\nS:Harrow Lane\n"
        "B:A book\nZ:typed by C.\nZ:licence CC BY 4.0\n%%abc-copyright 2020 A. Player\n"
        "N:x\nR:reel\nH:long ago\nM:4/4\nK:D\nA8|\n"
    )
    assert tune.title == "First Title"
    assert tune.composer == "A. Player; B. Player"
    assert tune.source == "Harrow Lane; A book; Nowhere; typed by C."
    assert tune.licence == "2020 A. Player; licence CC BY 4.0"
    assert tune.notices == ()


@pytest.mark.parametrize(
    ("written", "read_as"),
    [
        (r"Se\'an", "Seán"),
        (r"f\"ur \ss \/o \aa", "für ß ø å"),
        ("caf&eacute; &amp; &copy;", "café & ©"),
        (r"\u00e9\u266f", "é♯"),
        (r"50\% of \\", "50% of \\"),
        (r"\~n \`a \,c \vc", "ñ à ç č"),
        (r"kept \- \ud800", r"kept \- \ud800"),
    ],
)
def test_special_letters(written: str, read_as: str) -> None:
    """§8.2, its tables."""
    assert plain_text(written) == read_as


def test_comments() -> None:
    assert without_comment("A B % c") == "A B"
    assert without_comment(r"T:50\% off % c") == r"T:50\% off"


def test_field_continuation() -> None:
    """§3.3: +: goes on with the field before it."""
    tune = read_abc("X:1\nT:A long\n+:title\nK:C\nM:4/4\nA B\nw: a\n+:b\n")
    assert tune.title == "A long title"
    assert [n.lyrics for n in tune.bars[0].notes] == [("a",), ("b",)]


def test_a_wrong_directive_is_named() -> None:
    with pytest.raises(TuneError, match="pitch, octave or not"):
        read("A8|", "I:propagate-accidentals sometimes")
