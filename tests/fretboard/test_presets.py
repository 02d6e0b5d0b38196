"""Presets and players' own files: what is listed, what a file may say, and what is refused."""

from pathlib import Path

import pytest

from fretboard.errors import FretboardError
from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.presets import hand, hands, instrument, instruments, tunings


def labels(strung: Instrument, course: int) -> list[str]:
    return [fret_label(fret) for fret in strung.courses[course].frets]


def extras(strung: Instrument, course: int = 0) -> list[str]:
    return [label for label in labels(strung, course) if label.endswith("+")]


def test_the_lists_name_every_preset_once_and_say_what_it_is() -> None:
    names = [info.name for info in instruments()]
    assert names[0] == "standard"
    assert len(set(names)) == len(names)
    assert set(names) >= {
        "traditional", "1+6+", "1+6+8+13+", "chromatic", "four-equidistant", "baritone", "bass",
    }  # fmt: skip
    for info in instruments():
        assert info.meaning
        assert info.instrument == instrument(info.name)
    assert [info.name for info in hands()] == [
        "small", "beginner", "medium", "noter", "thumb-off-bass", "large",
    ]  # fmt: skip
    for each in hands():
        assert each.meaning
        assert each.hand == hand(each.name)


@pytest.mark.parametrize(
    ("name", "tuning", "extra"),
    [
        # frets of 0 to 14 in semitones: TRADE, "Frets"; tunings: TRADE, "Tunings"
        ("standard", (50, 57, 62), ["6+"]),
        ("traditional", (50, 57, 62), []),
        ("doubled", (50, 57, 62), ["6+"]),
        ("6+13+", (50, 57, 62), ["6+", "13+"]),
        ("1+6+", (50, 57, 62), ["1+", "6+"]),
        ("1+6+8+13+", (50, 57, 62), ["1+", "6+", "8+", "13+"]),
        ("four-equidistant", (50, 57, 62, 62), ["6+"]),
        ("baritone", (45, 52, 57), ["6+"]),
        ("bass", (38, 45, 50), ["6+"]),
    ],
)
def test_a_preset_is_what_its_name_says(
    name: str, tuning: tuple[int, ...], extra: list[str]
) -> None:
    strung = instrument(name)
    assert strung.tuning == tuning
    for course in range(len(tuning)):
        assert extras(strung, course) == extra
        assert [x for x in labels(strung, course) if x not in extra] == [
            str(number) for number in range(1, 15)
        ]


def test_the_standard_instrument_is_the_default() -> None:
    strung = instrument()
    assert strung == instrument("standard") == instrument(" Standard ")
    assert (strung.name, strung.capo, strung.spacing_mm) == ("standard", 0, 16)
    assert strung.scale_mm == pytest.approx(27 * 25.4)
    assert not any(course.doubled for course in strung.courses)
    assert [course.doubled for course in instrument("doubled").courses] == [False, False, True]


def test_chromatic_and_partial_fretboards() -> None:
    assert all(course.frets == tuple(range(1, 25)) for course in instrument("chromatic").courses)
    # "Fret (this time)": 1½ and 8½ are sometimes partial, under the melody course only
    partial = instrument("partial-1+8+")
    assert extras(partial, 0) == extras(partial, 1) == ["6+", "13+"]
    assert extras(partial, 2) == ["1+", "6+", "8+", "13+"]


def test_a_tuning_by_word_stands_on_the_instruments_own_bass_string() -> None:
    assert instrument(tuning="Ionian").tuning == (50, 57, 57)
    assert instrument(tuning="dorian").tuning == (50, 57, 55)
    assert instrument("baritone", tuning="ionian").tuning == (45, 52, 52)
    assert {info.word for info in tunings() if info.word} == {
        "ionian", "dorian", "aeolian", "mixolydian",
    }  # fmt: skip


def test_capo_and_scale_go_on_top() -> None:
    assert instrument(capo=4).capo == instrument(capo="4").capo == 7
    assert instrument(capo="6½").capo == instrument(capo="6+").capo == 11
    for scale in (635, 635.0, "635", "635mm", "63.5 cm", "25in", '25"', "25 IN"):
        assert instrument(scale=scale).scale_mm == pytest.approx(635)


def test_a_file_of_ones_own_stands_in_a_presets_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.toml").write_text(
        "meaning = 'the one that Gran left'\n"
        "tuning = 'D-A-A'\nwhole_frets = 17\nextra_frets = [6.5, '13½']\n"
        "scale = '28in'\nspacing = 15.5\ndoubled = 'melody'\n"
        "[partial_frets]\n'1+' = ['melody', 'middle']\n'8.5' = 'melody'\n",
        encoding="utf-8",
    )
    strung = instrument("mine.toml", capo=1)
    assert strung.name == "mine"
    assert strung.tuning == (50, 57, 57)
    assert labels(strung, 0)[-1] == "17"
    assert [extras(strung, course) for course in range(3)] == [
        ["6+", "13+"],
        ["1+", "6+", "13+"],
        ["1+", "6+", "8+", "13+"],
    ]
    assert strung.scale_mm == pytest.approx(711.2)
    assert (strung.spacing_mm, strung.courses[2].doubled, strung.capo) == (15.5, True, 2)
    assert instrument(str(tmp_path / "mine.toml"), capo=1) == strung


def test_an_empty_file_is_the_standard_instrument(tmp_path: Path) -> None:
    (tmp_path / "standard.toml").write_text("")
    assert instrument(str(tmp_path / "standard.toml")) == instrument()


def test_a_file_from_a_word_processors_hands_is_read(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_bytes("\ufeffwhole_frets = 7\r\n".encode())
    assert labels(instrument(str(tmp_path / "mine.toml")), 0)[-1] == "7"


def test_four_courses_may_have_partial_frets_under_their_own_names(tmp_path: Path) -> None:
    (tmp_path / "four.toml").write_text(
        "tuning = 'D-A-d-d'\n[partial_frets]\n'1+' = ['melody', 'inner melody']\n"
    )
    strung = instrument(str(tmp_path / "four.toml"))
    assert [("1+" in extras(strung, course)) for course in range(4)] == [False, False, True, True]


BAD_INSTRUMENTS = [
    ("wood = 'cherry'", "there is no key 'wood'; the keys are meaning, tuning, whole_frets"),
    ("tuning = 5", "tuning must be text in quotes, not 5"),
    ("tuning = 'D-A'", "the tuning 'D-A' has 2 pitches; write three or four"),
    ("tuning = 'D3 A3 H4'", "'H4' is no pitch"),
    ("meaning = ['x']", "meaning must be text in quotes"),
    ("whole_frets = '14'", "whole_frets must be a whole number, not '14'"),
    ("whole_frets = 14.5", "whole_frets must be a whole number, not 14.5"),
    ("whole_frets = true", "whole_frets must be a whole number, not True"),
    ("whole_frets = 3", "whole_frets must be 7 to 21, not 3"),
    ("whole_frets = 22", "whole_frets must be 7 to 21, not 22"),
    ("extra_frets = ['7']", "extra_frets: 7 is a whole-number fret"),
    ("extra_frets = ['2+']", "extra_frets: there is no fret 2+"),
    ("extra_frets = ['13+']\nwhole_frets = 10", "fret 13+ lies past the last whole fret, 10"),
    ("extra_frets = 'many'", 'or "chromatic" for all'),
    ("extra_frets = [true]", "extra_frets must be a list of texts in quotes, not [True]"),
    ("extra_frets = [['6+']]", "extra_frets must be a list of texts in quotes"),
    ("scale = '27 feet'", "scale must be a length, such as 205, '205mm' or '27in', not '27 feet'"),
    ("scale = 27", "a scale length of 27 mm cannot be; write 400 to 1200 mm"),
    ("scale = -686", "scale must be a length"),
    ("scale = nan", "scale must be a length"),
    ("scale = inf", "scale must be a length"),
    ("spacing = 2", "the courses lie 5 to 40 mm apart"),
    ("spacing = true", "spacing must be a length"),
    ("doubled = ['treble']", "doubled must be courses out of bass, middle, melody"),
    ("partial_frets = ['1+']", "partial_frets must be a table that begins with the line"),
    ("[partial_frets]\n'1+' = ['bas']", "[partial_frets]: 1+ must be courses out of bass, middle"),
    ("[partial_frets]\n'6+' = ['melody']", "fret 6+ runs under every course already"),
    ("[partial_frets]\n'3' = ['melody']", "3 is a whole-number fret"),
    ("[partial_frets]\n1+ = ['melody']", "is no valid TOML: "),
    ("scale = 686\nscale = 700", "is no valid TOML: "),
    ("tuning = D-A-d", "is no valid TOML: "),
    ("x = " + "[" * 5000, "the file nests too deep"),
]


@pytest.mark.parametrize(("text", "says"), BAD_INSTRUMENTS)
def test_a_bad_instrument_file_is_refused_in_one_sentence(
    text: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.toml").write_text(text)
    with pytest.raises(FretboardError) as caught:
        instrument("mine.toml")
    message = str(caught.value)
    assert message.startswith("mine.toml")
    assert message.count("mine.toml") == 1
    assert says in message
    assert len(message.splitlines()) == 1


BAD_HANDS = [
    ("spam = 5", "there is no key 'spam'; the keys are meaning, span, may_bar, not_used"),
    ("meaning = 5", "meaning must be text in quotes, not 5"),
    ("span = 'wide'", "span must be a length"),
    ("span = 20", "a hand spans 120 to 320 mm"),
    ("may_bar = 5", "may_bar must be text in quotes, not 5"),
    ("may_bar = 'index'", "may_bar takes letters out of T I M R P"),
    ("not_used = 'TIMRP'", "leaves no finger to play with"),
    ("movement = 5", "movement must be a table that begins with the line [movement]"),
    ("[movement]\nspeed = 5", "[movement]: there is no key 'speed'; the keys are hand_a, hand_b"),
    ("[movement]\nhand_a = 'fast'", "[movement]: hand_a must be a whole number, not 'fast'"),
    ("[movement]\nhand_a = 9000", "[movement]: the hand's hand_a must lie between 0 and 2000"),
    ("[greatest]\n'I-T' = 90", "[greatest]: there is no key 'I-T'; the keys are T-I, T-M"),
    ("[greatest]\n'T-I' = 'far'", "[greatest]: T-I must be a length"),
    ("[comfortable]\n'T-I' = 200", "the hand's comfortable T-I exceeds its greatest"),
    ("[greatest]\n'T-I' = 90", "the hand's comfortable T-I exceeds its greatest"),
]


@pytest.mark.parametrize(("text", "says"), BAD_HANDS)
def test_a_bad_hand_file_is_refused_in_one_sentence(
    text: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.toml").write_text(text)
    with pytest.raises(FretboardError) as caught:
        hand("mine.toml")
    message = str(caught.value)
    assert message.startswith("mine.toml")
    assert message.count("mine.toml") == 1
    assert says in message
    assert len(message.splitlines()) == 1


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ({"name_or_file": "zither"}, "there is no instrument 'zither'; choose 1+6+, 1+6+8+13+"),
        ({"name_or_file": ""}, "there is no instrument ''; choose"),
        ({"name_or_file": "nowhere.toml"}, "nowhere.toml: there is no such file in "),
        ({"name_or_file": "nowhere/mine"}, "nowhere/mine: there is no such file in "),
        ({"name_or_file": "./"}, "./: the file cannot be read"),
        ({"tuning": "x"}, "has 1 pitch; write three or four"),
        ({"tuning": "locrian"}, "or a word: mixolydian, ionian, aeolian, dorian"),
        ({"tuning": "D-A-d-d"}, "the tuning has 4 pitches, but standard has 3 courses"),
        ({"capo": "2+"}, "capo 2+: there is no fret 2+"),
        ({"capo": -1}, "'-1' is no fret number"),
        ({"capo": "1+"}, "a capo cannot sit at fret 1+"),
        ({"capo": "15"}, "a capo cannot sit at fret 15: the frets end at 14; put it at fret 13"),
        ({"capo": 14}, "leaves no fret to play"),
        ({"scale": "long"}, "the scale length must be such as 686, 686mm or 27in"),
        ({"scale": 27}, "a scale length of 27 mm cannot be"),
    ],
)
def test_a_bad_choice_of_instrument_is_refused(settings: dict[str, object], says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        instrument(**settings)  # type: ignore[arg-type]
    assert says in str(caught.value)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (
            "huge",
            "there is no hand 'huge'; choose beginner, large, medium, noter, small, "
            "thumb-off-bass, write a",
        ),
        ("span=wide", "there is no hand 'span=wide'"),
        ("190 feet", "the span of a hand must be such as 205, 205mm or 8in"),
        ("20", "a hand spans 120 to 320 mm from thumb to little finger, not 20"),
        (-190, "there is no hand '-190'"),
        ("1.toml", "1.toml: there is no such file in "),
    ],
)
def test_a_bad_choice_of_hand_is_refused(typed: str | int, says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        hand(typed)
    assert says in str(caught.value)


def test_a_file_that_is_no_text_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(FretboardError, match="the file is no text; save it as UTF-8"):
        instrument(str(tmp_path / "mine.toml"))
