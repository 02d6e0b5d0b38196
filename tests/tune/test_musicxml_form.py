"""Head, key, metre, tempo, sections and parts of MusicXML, worked by hand."""

import pytest

from tests.tune.musicxml_score import (
    COMMON_TIME,
    chord,
    measure,
    note,
    parts,
    score,
    tune_of,
    valid,
)
from tune.errors import TuneError
from tune.readers.musicxml import read_musicxml
from tune.time import QUARTER, Metre, Tempo


def opening(key: str = "", time: str = "", more: str = "") -> str:
    key = key or "<key><fifths>0</fifths><mode>major</mode></key>"
    time = time or "<time><beats>4</beats><beat-type>4</beat-type></time>"
    return (
        f'<attributes><divisions>12</divisions>{key}{time}{more}</attributes><sound tempo="100"/>'
    )


def words(what: str) -> str:
    return f"<direction><direction-type>{what}</direction-type></direction>"


# --- the head ---


def test_the_head_is_kept() -> None:
    head = (
        "<work><work-title>Harrow Lane\n  Waltz</work-title></work>"
        "<movement-title>something else</movement-title>"
        '<identification><creator type="lyricist">M. Holt</creator>'
        '<creator type="composer">the Tuesday class</creator>'
        "<rights>CC0</rights><rights>share it</rights>"
        "<source>class notebook, page 4</source></identification>"
    )
    tune = tune_of(measure(note("D4", 48)), head=head)
    assert tune.title == "Harrow Lane Waltz"
    assert tune.composer == "the Tuesday class"
    assert tune.licence == "CC0; share it"
    assert tune.source == "class notebook, page 4"


def test_a_title_may_stand_only_among_the_printed_words() -> None:
    credit = (
        '<credit page="1"><credit-type>title</credit-type>'
        "<credit-words>Wet Boots</credit-words></credit>"
    )
    assert tune_of(measure(note("D4", 48)), head=credit).title == "Wet Boots"


def test_without_any_title_the_file_gives_its_name() -> None:
    tune = tune_of(measure(note("D4", 48)), head="")
    assert tune.title == "harrow"
    assert tune.notices == ("no title is given; called 'harrow'",)


# --- key, metre, tempo ---


@pytest.mark.parametrize(
    ("fifths", "mode", "key"),
    [
        (2, "major", "D major"),
        (-3, "minor", "C minor"),
        (1, "mixolydian", "D mixolydian"),
        (0, "dorian", "D dorian"),
        (1, "ionian", "G major"),
        (1, "aeolian", "E minor"),
        (-7, "lydian", "Fb lydian"),
        (7, "locrian", "B# locrian"),
    ],
)
def test_signature_and_mode_give_the_tonic(fifths: int, mode: str, key: str) -> None:
    said = f"<key><fifths>{fifths}</fifths><mode>{mode}</mode></key>"
    tune = tune_of(measure(opening(said) + note("D4", 48)))
    assert str(tune.key) == key
    assert tune.key.fifths == fifths
    assert tune.notices == ()


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("", "no mode is given with the key signature; taken as G major"),
        (
            "<mode>none</mode>",
            "the mode 'none' is unknown with the key signature; taken as G major",
        ),
    ],
)
def test_a_key_without_a_mode_is_taken_as_major_and_told(said: str, told: str) -> None:
    tune = tune_of(measure(opening(f"<key><fifths>1</fifths>{said}</key>") + note("D4", 48)))
    assert str(tune.key) == "G major"
    assert tune.notices == (f"bar 1: {told}",)


def test_a_key_of_free_signs_is_told() -> None:
    said = "<key><key-step>B</key-step><key-alter>-1</key-alter></key>"
    tune = tune_of(measure(opening(said) + note("D4", 48)))
    assert tune.notices == ("bar 1: a key signature of free signs ignored; taken as C major",)


@pytest.mark.parametrize(
    ("time", "metre"),
    [
        ("<beats>6</beats><beat-type>8</beat-type>", "6/8"),
        ("<beats>3+2</beats><beat-type>8</beat-type>", "5/8"),
        (
            "<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>",
            "7/8",
        ),
    ],
)
def test_metres_may_be_sums(time: str, metre: str) -> None:
    tune = tune_of(measure(opening(time=f"<time>{time}</time>") + note("D4", 12)))
    assert str(tune.metre) == metre


def test_key_and_metre_change_between_bars() -> None:
    change = (
        "<attributes><key><fifths>1</fifths><mode>major</mode></key>"
        "<time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
    )
    tune = tune_of(
        measure(note("D4", 48)), measure(change + note("D4", 36), "2"),
        measure(note("D4", 36), "3"),
    )  # fmt: skip
    assert [(str(bar.key), str(bar.metre)) for bar in tune.bars] == [
        ("D major", "4/4"),
        ("G major", "3/4"),
        ("G major", "3/4"),
    ]


def test_a_key_at_the_end_of_a_bar_is_a_warning_for_the_next() -> None:
    change = "<attributes><key><fifths>1</fifths><mode>major</mode></key></attributes>"
    tune = tune_of(measure(note("D4", 48) + change), measure(note("D4", 48), "2"))
    assert [str(bar.key) for bar in tune.bars] == ["D major", "G major"]


def test_what_is_missing_at_the_start_is_assumed_and_told() -> None:
    bare = "<attributes><divisions>12</divisions></attributes>"
    tune = tune_of(measure(bare + note("D4", 48)))
    assert (str(tune.key), str(tune.metre), tune.tempo) == (
        "C major",
        "4/4",
        Tempo(QUARTER, 100),
    )
    assert tune.notices == (
        "bar 1: no time signature at the start; taken as 4/4",
        "bar 1: no key signature at the start; taken as C major",
        "no tempo is given; taken as 100 beats a minute",
    )


def metronome(unit: str, number: str, dots: int = 0) -> str:
    return words(
        f"<metronome><beat-unit>{unit}</beat-unit>{'<beat-unit-dot/>' * dots}"
        f"<per-minute>{number}</per-minute></metronome>"
    )


@pytest.mark.parametrize(
    ("said", "tempo"),
    [
        (metronome("quarter", "96"), Tempo(QUARTER, 96)),
        (metronome("quarter", "72", 1), Tempo(QUARTER * 3 // 2, 72)),
        (metronome("half", "c. 60-66"), Tempo(2 * QUARTER, 60)),
        (metronome("eighth", "120.4"), Tempo(QUARTER // 2, 120)),
        ('<sound tempo="88"/>', Tempo(QUARTER, 88)),
        (
            metronome("half", "44").replace("</direction>", '<sound tempo="88"/></direction>'),
            Tempo(2 * QUARTER, 44),
        ),
    ],
)
def test_a_tempo_is_kept_with_its_beat(said: str, tempo: Tempo) -> None:
    start = opening().replace('<sound tempo="100"/>', "")
    assert tune_of(measure(start + said + note("D4", 48))).tempo == tempo


def test_a_tempo_may_change_and_inside_a_bar_it_is_told() -> None:
    tune = tune_of(
        measure(note("D4", 48)),
        measure('<sound tempo="60"/>' + note("D4", 48), "2"),
        measure(note("D4", 24) + '<sound tempo="80"/>' + note("D4", 24), "3"),
    )
    assert [bar.tempo for bar in tune.bars] == [None, Tempo(QUARTER, 60), Tempo(QUARTER, 80)]
    assert tune.notices == ("bar 3: a tempo inside the bar taken from the start of the bar",)


def test_a_metronome_mark_of_words_is_told() -> None:
    tune = tune_of(measure(metronome("quarter", "briskly") + note("D4", 48)))
    assert tune.notices == ("bar 1: metronome mark without a number ignored",)


# --- sections, words, other things ---


@pytest.mark.parametrize(
    ("said", "section"),
    [
        ("<rehearsal>A</rehearsal>", "A"),
        ("<words>Chorus:</words>", "Chorus"),
        ("<words>Verse 2</words>", "Verse 2"),
        ("<words>B</words>", "B"),
        ("<words>Intro</words></direction-type><direction-type><rehearsal>C</rehearsal>", "C"),
    ],
)
def test_rehearsal_marks_and_words_name_sections(said: str, section: str) -> None:
    tune = tune_of(measure(words(said) + note("D4", 48)))
    assert tune.bars[0].section == section
    assert tune.notices == ()


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("<words>with a lilt</words>", "the words 'with a lilt' ignored"),
        ("<segno/>", "segno ignored"),
        ('<wedge type="crescendo"/>', "wedge ignored"),
        ("<dynamics><mf/></dynamics>", "dynamics ignored"),
    ],
)
def test_other_directions_are_told(said: str, told: str) -> None:
    tune = tune_of(measure(words(said) + note("D4", 48)))
    assert tune.bars[0].section == ""
    assert tune.notices == (f"bar 1: {told}",)


def test_what_is_only_layout_is_passed_over_without_a_word() -> None:
    tune = tune_of(
        measure(
            '<print new-system="yes"/>' + words('<octave-shift type="down" size="8"/>')
            + note("D4", 48, tail="<stem>up</stem>")
        )
    )  # fmt: skip
    assert tune.notices == ()


# --- parts ---

TWO = {
    "P1": measure(COMMON_TIME + note("D4", 48)),
    "P2": measure(COMMON_TIME + chord("G") + note("G3", 48)),
}


def test_the_first_part_is_read_and_the_others_are_told() -> None:
    tune = read_musicxml(valid(parts(TWO)))
    assert [n.midi for n in tune.bars[0].notes] == [62]
    assert tune.notices[0] == "part 2 'P2 voice', with its chord symbols, ignored"


@pytest.mark.parametrize("choose", ["2", "P2", "p2 VOICE"])
def test_a_part_can_be_chosen_by_number_id_or_name(choose: str) -> None:
    tune = read_musicxml(valid(parts(TWO)), choose=choose)
    assert [n.midi for n in tune.bars[0].notes] == [55]
    assert tune.has_chords


def test_a_part_that_is_not_there_is_an_error_that_lists_those_that_are() -> None:
    with pytest.raises(TuneError) as caught:
        read_musicxml(valid(parts(TWO)), "two.xml", "flute")
    assert str(caught.value) == (
        "two.xml: there is no part 'flute'; choose one of 1 'P1 voice', 2 'P2 voice'"
    )


def test_the_metre_object_is_the_one_the_bars_have() -> None:
    tune = read_musicxml(valid(score(measure(note("D4", 48)))))
    assert tune.metre == tune.bars[0].metre == Metre(4, 4)


def test_a_file_of_many_strange_things_yields_a_short_list() -> None:
    strange = "".join(f"<thing{n}{'x' * 300}/>" for n in range(200))
    tune = read_musicxml(score(measure(strange + note("D4", 48))))
    assert len(tune.notices) == 61
    assert tune.notices[-1] == "other things ignored (140 in all)"
    assert max(map(len, tune.notices)) < 140
