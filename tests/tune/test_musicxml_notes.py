"""Notes of MusicXML, worked by hand; every document satisfies the published schema."""

import pytest

from tests.tune.musicxml_score import measure, note, pitch, score, tune_of, valid
from tune.readers.musicxml import read_musicxml
from tune.time import QUARTER
from tune.tune import Note


def heard(*measures: str) -> list[tuple[int | None, int, int]]:
    """(pitch, onset, length) of the first bar, in twelfths of a quarter."""
    twelfth = QUARTER // 12
    bar = tune_of(*measures).bars[0]
    return [(n.midi, n.tick // twelfth, n.length // twelfth) for n in bar.notes]


def first(content: str) -> Note:
    return tune_of(measure(content)).bars[0].notes[0]


@pytest.mark.parametrize(
    ("name", "midi"),
    [("C4", 60), ("D3", 50), ("F#4", 66), ("Bb3", 58), ("B#3", 60), ("Cb4", 59), ("A4", 69)],
)
def test_pitch_is_the_midi_number_and_keeps_its_spelling(name: str, midi: int) -> None:
    # C4 = 60, A4 = 69: the MIDI 1.0 specification; octave 4 starts at middle C: MusicXML "octave"
    got = first(note(name, 48))
    assert (got.midi, got.name) == (midi, name[:-1])


def test_double_sharp_keeps_both_its_signs() -> None:
    got = first(
        "<note><pitch><step>F</step><alter>2</alter><octave>4</octave></pitch>"
        "<duration>48</duration><voice>1</voice></note>"
    )
    assert (got.midi, got.name) == (67, "F##")


def test_notes_and_rests_follow_each_other() -> None:
    bar = measure(note("D4", 24) + note("rest", 12) + note("A4", 6) + note("G4", 6))
    assert heard(bar) == [(62, 0, 24), (None, 24, 12), (69, 36, 6), (67, 42, 6)]


def test_divisions_may_change_inside_a_tune() -> None:
    second = measure(
        "<attributes><divisions>2</divisions></attributes>"
        + note("D4", 2) + note("E4", 6), "2"
    )  # fmt: skip
    notes = tune_of(measure(note("D4", 48)), second).bars[1].notes
    assert [(n.tick, n.length) for n in notes] == [(0, QUARTER), (QUARTER, 3 * QUARTER)]


def test_a_triplet_is_exact_and_marked() -> None:
    change = (
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
        "</time-modification>"
    )
    triplet = "".join(
        f"<note>{pitch('D4')}<duration>4</duration><voice>1</voice><type>eighth</type>{change}"
        "</note>"
        for _ in range(3)
    )
    notes = tune_of(measure(triplet + note("G4", 36))).bars[0].notes
    assert [n.tick for n in notes] == [0, QUARTER // 3, 2 * QUARTER // 3, QUARTER]
    assert [n.tuplet for n in notes] == [(3, 2)] * 3 + [None]


def test_a_tie_joins_two_notes_over_the_bar_line() -> None:
    tune = tune_of(
        measure(note("D4", 48, ties='<tie type="start"/>')),
        measure(note("D4", 24, ties='<tie type="stop"/>') + note("E4", 24), "2"),
    )
    assert [n.tied for bar in tune.bars for n in bar.notes] == [True, False, False]
    assert tune.notices == ()


def test_a_tie_to_another_pitch_is_taken_away_and_told() -> None:
    tune = tune_of(measure(note("D4", 24, ties='<tie type="start"/>') + note("E4", 24)))
    assert not tune.bars[0].notes[0].tied
    assert tune.notices == ("bar 1: a tie that leads nowhere ignored",)


def test_a_tie_into_an_ending_is_left_alone() -> None:
    def ending(number: str, kind: str) -> str:
        return f'<ending number="{number}" type="{kind}"/>'

    back = (
        f'<barline location="right">{ending("1", "stop")}<repeat direction="backward"/></barline>'
    )
    tune = tune_of(
        measure(note("D4", 48, ties='<tie type="start"/>')),
        measure(
            f'<barline location="left">{ending("1", "start")}</barline>' + note("E4", 48) + back,
            "2",
        ),
        measure(
            f'<barline location="left">{ending("2", "start")}</barline>'
            + note("D4", 48, ties='<tie type="stop"/>')
            + f'<barline location="right">{ending("2", "stop")}</barline>',
            "3",
        ),
    )
    assert tune.bars[0].notes[0].tied
    assert [bar.endings for bar in tune.bars] == [(), (1,), (2,)]


def test_grace_notes_take_no_time_and_stand_before_their_note() -> None:
    grace = f'<note><grace slash="yes"/>{pitch("E4")}<voice>1</voice><type>eighth</type></note>'
    notes = tune_of(measure(note("D4", 24) + grace + note("F#4", 24))).bars[0].notes
    assert [(n.midi, n.grace, n.tick, n.length) for n in notes] == [
        (62, False, 0, 2 * QUARTER),
        (64, True, 2 * QUARTER, 0),
        (66, False, 2 * QUARTER, 2 * QUARTER),
    ]


def test_of_notes_struck_together_the_top_one_is_kept_and_the_words_with_it() -> None:
    word = "<lyric><text>green</text></lyric>"
    tune = tune_of(
        measure(
            note("D4", 24, tail=word) + note("A4", 24, before="<chord/>")
            + note("F#4", 24, before="<chord/>") + note("E4", 24)
        )
    )  # fmt: skip
    notes = tune.bars[0].notes
    assert [(n.midi, n.lyrics) for n in notes] == [(69, ("green",)), (64, ())]
    assert tune.notices == (
        "bar 1: notes below the melody ignored; the top note is kept (2 in all)",
    )


def test_only_the_first_voice_is_read() -> None:
    back = "<backup><duration>48</duration></backup>"
    tune = tune_of(measure(note("D4", 48) + back + note("A3", 48, voice="2")))
    assert [n.midi for n in tune.bars[0].notes] == [62]
    assert tune.notices == ("bar 1: further voices ignored; only the first is read",)


def test_the_first_voice_need_not_come_first_in_the_file() -> None:
    back = "<backup><duration>48</duration></backup>"
    assert heard(measure(note("A3", 48, voice="2") + back + note("D4", 48))) == [(62, 0, 48)]


def test_where_no_voice_is_called_1_the_one_of_the_first_note_is_read() -> None:
    back = "<backup><duration>48</duration></backup>"
    bar = measure(note("A3", 48, voice="5") + back + note("D4", 48, voice="6"))
    assert heard(bar) == [(57, 0, 48)]


def test_forward_leaves_a_gap() -> None:
    skip = "<forward><duration>12</duration></forward>"
    bar = measure(note("D4", 12) + skip + note("E4", 24))
    assert heard(bar) == [(62, 0, 12), (64, 24, 24)]


def test_the_lower_staff_is_passed_over_and_told() -> None:
    back = "<backup><duration>48</duration></backup>"
    tune = tune_of(
        measure(
            note("D4", 48, tail="<staff>1</staff>") + back
            + note("D3", 48, voice="1", tail="<staff>2</staff>")
        )
    )  # fmt: skip
    assert [n.midi for n in tune.bars[0].notes] == [62]
    assert tune.notices == ("the lower staff ignored; only the first is read",)


def test_a_whole_bar_rest_lasts_the_bar_even_where_a_file_writes_a_semibreve() -> None:
    waltz = (
        "<attributes><divisions>12</divisions><key><fifths>0</fifths><mode>major</mode></key>"
        "<time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
        '<sound tempo="90"/>'
    )
    rest = '<note><rest measure="yes"/><duration>48</duration><voice>1</voice></note>'
    tune = tune_of(measure(waltz + rest), measure(note("C4", 36), "2"))
    assert [bar.length for bar in tune.bars] == [3 * QUARTER, 3 * QUARTER]
    assert tune.notices == ()


@pytest.mark.parametrize(
    ("bad", "told"),
    [
        (f"<note><cue/>{pitch('D4')}<duration>24</duration></note>", "cue notes ignored"),
        ("<note><unpitched/><duration>24</duration></note>", "unpitched notes ignored"),
        (
            note("B4", 24, tail="<notehead>slash</notehead>"),
            "slashes ignored: they show strums, not a melody",
        ),
    ],
)
def test_what_is_no_melody_keeps_its_time_and_is_told(bad: str, told: str) -> None:
    tune = tune_of(measure(bad + note("E4", 24)))
    assert [(n.midi, n.tick) for n in tune.bars[0].notes] == [(64, 2 * QUARTER)]
    assert tune.notices == (f"bar 1: {told}",)


def test_verses_and_hyphens_are_kept() -> None:
    two = (
        '<lyric number="1"><syllabic>begin</syllabic><text>Har</text></lyric>'
        '<lyric number="2"><syllabic>single</syllabic><text>down</text></lyric>'
    )
    second_only = '<lyric number="2"><syllabic>single</syllabic><text>the</text></lyric>'
    end = '<lyric number="1"><syllabic>end</syllabic><text>row</text></lyric>'
    notes = tune_of(
        measure(
            note("D4", 12, tail=two) + note("E4", 12, tail=second_only)
            + note("F#4", 12, tail=end) + note("G4", 12)
        )
    ).bars[0].notes  # fmt: skip
    assert [n.lyrics for n in notes] == [("Har-", "down"), ("", "the"), ("row",), ()]


def test_two_words_sung_to_one_note_are_joined() -> None:
    lyric = "<lyric><text>the</text><elision> </elision><text>old</text></lyric>"
    assert first(note("D4", 48, tail=lyric)).lyrics == ("the old",)


def test_fingering_hammer_on_pull_off_and_fermata_are_kept() -> None:
    def played(*technical: str, more: str = "") -> str:
        inside = f"<technical>{''.join(technical)}</technical>" if technical else ""
        return f"<notations>{inside}{more}</notations>"

    notes = tune_of(
        measure(
            note("D4", 12, tail=played(
                "<fingering>2</fingering>", '<hammer-on type="start">H</hammer-on>'))
            + note("E4", 12, tail=played(
                '<hammer-on type="stop"/>', '<pull-off type="start">P</pull-off>'))
            + note("D4", 12, tail=played('<pull-off type="stop"/>'))
            + note("D4", 12, tail=played(more="<fermata/>"))
        )
    ).bars[0].notes  # fmt: skip
    # the mark is on the note that is not struck
    assert [n.marks for n in notes] == [("finger 2",), ("hammer-on",), ("pull-off",), ("fermata",)]


def test_other_notations_are_told_once_each_with_their_count() -> None:
    trill = "<notations><ornaments><trill-mark/></ornaments></notations>"
    dots = "<notations><articulations><staccato/></articulations></notations>"
    tune = tune_of(
        measure(note("D4", 24, tail=trill) + note("E4", 24, tail=trill)),
        measure(note("D4", 48, tail=dots), "2"),
    )
    assert tune.notices == (
        "bar 1: trill mark ignored (2 in all)",
        "bar 2: staccato ignored",
    )


TRANSPOSED = (
    "<attributes><divisions>12</divisions><key><fifths>2</fifths><mode>major</mode></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time>"
    "<transpose>{}</transpose></attributes>" + '<sound tempo="100"/>'
)


def test_a_part_a_tone_higher_than_it_sounds_is_read_as_it_sounds() -> None:
    # a clarinet in B flat: MusicXML 4.0, "transpose": chromatic -2 from written to sounding
    down = TRANSPOSED.format("<diatonic>-1</diatonic><chromatic>-2</chromatic>")
    harmony = (
        "<harmony><root><root-step>A</root-step></root><kind>dominant</kind>"
        "<bass><bass-step>C</bass-step><bass-alter>1</bass-alter></bass></harmony>"
    )
    tune = tune_of(measure(down + harmony + note("F#4", 48)))
    assert str(tune.key) == "C major"
    assert [(n.midi, n.name) for n in tune.bars[0].notes] == [(64, "E")]
    assert str(tune.bars[0].chords[0].chord) == "G7/B"


def test_a_part_an_octave_above_its_sound_keeps_its_names() -> None:
    down = TRANSPOSED.format("<chromatic>0</chromatic><octave-change>-1</octave-change>")
    tune = tune_of(measure(down + note("F#4", 48)))
    assert str(tune.key) == "D major"
    assert [(n.midi, n.name) for n in tune.bars[0].notes] == [(54, "F#")]


def test_fourteen_semitones_are_an_octave_and_a_tone() -> None:
    # a tenor saxophone: a major ninth down
    down = TRANSPOSED.format("<diatonic>-8</diatonic><chromatic>-14</chromatic>")
    assert tune_of(measure(down + note("D5", 48))).bars[0].notes[0].midi == 60


def test_a_score_written_measure_by_measure_reads_the_same() -> None:
    wise = score(
        measure(note("D4", 48)), measure(note("E4", 48), "2"), measure(note("F#4", 48), "3")
    ).decode()
    timewise = (
        wise.replace("score-partwise", "score-timewise")
        .replace('<part id="P1">', "")
        .replace("</part><", "<")
        .replace("</measure>", "</part></measure>")
    )
    for number in "123":
        opening = f'<measure number="{number}">'
        timewise = timewise.replace(opening, opening + '<part id="P1">')
    tune = read_musicxml(valid(timewise.encode()))
    assert tune == read_musicxml(valid(wise.encode()))
    assert [bar.notes[0].midi for bar in tune.bars] == [62, 64, 66]
