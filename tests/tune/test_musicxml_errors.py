"""Bad MusicXML, each with the sentence that the player reads."""

import pytest

from tests.tune.musicxml_score import COMMON_TIME, measure, note, pitch, score
from tune.errors import TuneError
from tune.readers.musicxml import read_musicxml

GOOD = note("D4", 48)


def start(attributes: str) -> bytes:
    return score(measure(f"<attributes>{attributes}</attributes>" + GOOD))


def raw(inside: str, tag: str = "score-partwise") -> bytes:
    return f"<{tag}>{inside}</{tag}>".encode()


def bars(*contents: str) -> bytes:
    return score(*(measure(content, str(n)) for n, content in enumerate(contents, 1)))


def line(inside: str, where: str = "right") -> str:
    return f'<barline location="{where}">{inside}</barline>'


AGAIN = "save the file again"
BAD = [
    (
        b"not xml",
        "x.xml, line 1, column 1: this is not well-formed XML; save the file again as MusicXML",
    ),
    (
        b"<score-partwise>\n  <part></score-partwise>",
        "x.xml, line 2, column 11: this is not well-formed XML; save the file again as MusicXML",
    ),
    (
        b'<?xml version="1.0" encoding="klingon"?><a/>',
        "x.xml: the XML names an encoding that cannot be read; save it as UTF-8",
    ),
    (
        b'<?xml version="1.0" encoding="shift-jis"?><a/>',
        "x.xml: the XML names an encoding that cannot be read; save it as UTF-8",
    ),
    (
        b"<html/>",
        "x.xml: this XML is not MusicXML: it begins with <html>, not <score-partwise>",
    ),
    (b"<opus/>", "x.xml: an opus only lists other files; read one of those instead"),
    (raw(""), "x.xml: the MusicXML holds no part"),
    (raw("", "score-timewise"), "x.xml: the MusicXML holds no part"),
    (raw("<part/>"), "x.xml: the part has no bars"),
    (
        raw("<part>" + "<measure/>" * 4097 + "</part>"),
        "x.xml: the part has more than 4096 bars",
    ),
    (
        start("<divisions>0</divisions>"),
        "x.xml, bar 1: the divisions of a quarter note must be more than nothing",
    ),
    (
        start("<divisions>many</divisions>"),
        "x.xml, bar 1: the divisions of a quarter note must be a number, not 'many'",
    ),
    (
        raw(f"<part><measure>{GOOD}</measure></part>"),
        "x.xml, bar 1: the file says no divisions before its first length; save it again",
    ),
    (
        start("<divisions>1</divisions><key><fifths>8</fifths></key>"),
        "x.xml, bar 1: a key has at most seven sharps or flats, not 8",
    ),
    (
        start("<divisions>1</divisions><time><senza-misura/></time>"),
        "x.xml, bar 1: the music has no metre here; give it a time signature",
    ),
    (
        start("<divisions>1</divisions><time><beats>4</beats></time>"),
        "x.xml, bar 1: a time signature needs beats and a beat type",
    ),
    (
        start("<divisions>1</divisions><time><beats>4</beats><beat-type>5</beat-type></time>"),
        "x.xml, bar 1: a metre counts in 1, 2, 4, 8, 16 or 32, not in 5",
    ),
    (
        start("<divisions>1</divisions><time><beats>99</beats><beat-type>4</beat-type></time>"),
        "x.xml, bar 1: a metre needs 1 to 32 beats in the bar, not 99",
    ),
    (
        start("<divisions>1</divisions><transpose><chromatic>1.5</chromatic></transpose>"),
        "x.xml, bar 1: a transposition must be a whole number, not '1.5'",
    ),
    (
        start("<divisions>1</divisions><transpose><octave-change>9</octave-change></transpose>"),
        "x.xml, bar 1: the part is transposed by more than four octaves",
    ),
    (
        bars(GOOD, "<attributes><transpose><chromatic>2</chromatic></transpose></attributes>"),
        "x.xml, bar 2: the part changes its transposition here; save it at concert pitch",
    ),
    (
        bars(GOOD, f"<note>{pitch('D4')}</note>"),
        f"x.xml, bar 2: a length is missing (<duration>); {AGAIN}",
    ),
    (
        bars(f"<note>{pitch('D4')}<duration>-3</duration></note>"),
        "x.xml, bar 1: a length is less than nothing",
    ),
    (
        bars(f"<note>{pitch('D4')}<duration>1e9</duration></note>"),
        "x.xml, bar 1: a length must be a number, not '1e9'",
    ),
    (
        bars(f"<note>{pitch('D4')}<duration>0.001</duration></note>"),
        "x.xml, bar 1: a length of 1/12000 quarter notes is finer than a 128th-note tuplet",
    ),
    (
        bars("<note><duration>12</duration></note>"),
        "x.xml, bar 1: a note has no pitch and is no rest",
    ),
    (
        bars(GOOD.replace("<step>D", "<step>H")),
        "x.xml, bar 1: a note is a letter A to G, not 'H'",
    ),
    (
        bars(GOOD.replace("</step>", "</step><alter>0.5</alter>")),
        "x.xml, bar 1: a note lies between the semitones; no fret sounds it, so respell it",
    ),
    (
        bars(GOOD.replace("</step>", "</step><alter>3</alter>")),
        "x.xml, bar 1: a note takes two sharps or flats at most",
    ),
    (
        bars(GOOD.replace("<octave>4", "<octave>12")),
        "x.xml, bar 1: the note D12 lies outside every instrument",
    ),
    (
        bars(GOOD.replace("<octave>4</octave>", "")),
        f"x.xml, bar 1: a note's octave is missing (<octave>); {AGAIN}",
    ),
    (
        bars("<backup><duration>1</duration></backup>" + GOOD),
        "x.xml, bar 1: the file goes back beyond the bar line; save it again",
    ),
    (
        bars(GOOD + "<backup><duration>24</duration></backup>" + GOOD),
        "x.xml, bar 1: the melody notes do not fit the bar; check their lengths "
        "(one voice, no overlaps)",
    ),
    (
        bars(GOOD * 5),
        "x.xml, bar 1: a bar of 4/4 cannot last 20 quarters",
    ),
    (
        bars('<sound tempo="1000"/>' + GOOD),
        "x.xml, bar 1: a tempo lies between 10 and 400 beats a minute, not 1000",
    ),
    (
        bars('<sound tempo="quick"/>' + GOOD),
        "x.xml, bar 1: a tempo must be a number, not 'quick'",
    ),
    (
        bars(
            "<direction><direction-type><metronome><beat-unit>1024th</beat-unit>"
            "<per-minute>60</per-minute></metronome></direction-type></direction>" + GOOD
        ),
        "x.xml, bar 1: a tempo's beat cannot be '1024th' with 0 dots; write quarter or eighth",
    ),
    (
        bars(GOOD + line('<repeat direction="backward"/>', "middle") + GOOD),
        "x.xml, bar 1: a repeat sign stands inside the bar; split the bar in two there",
    ),
    (
        bars(GOOD + line('<repeat direction="backward" times="1"/>')),
        "x.xml, bar 1: a repeat is played 2 to 99 times in all, not 1",
    ),
    (
        bars(line('<ending number="" type="start"/>', "left") + GOOD),
        "x.xml, bar 1: an ending has no number; write 1 or 2 in it",
    ),
    (
        bars(line('<ending number="2, 1" type="start"/>', "left") + GOOD),
        "x.xml, bar 1: an ending is numbered as in 1 or 1, 2, not '2, 1'",
    ),
    (
        bars(
            GOOD,
            line('<ending number="1" type="start"/>', "left")
            + GOOD
            + line('<ending number="1" type="stop"/><repeat direction="backward"/>'),
        ),
        "x.xml, bar 2: no ending is marked for time 2 through",
    ),
    (
        bars(GOOD.replace("</note>", "<time-modification><actual-notes>0</actual-notes>"
             "<normal-notes>2</normal-notes></time-modification></note>")),
        "x.xml, bar 1: a tuplet has at least one note",
    ),
    (
        bars("<harmony><root><root-step>H</root-step></root><kind>major</kind></harmony>" + GOOD),
        "x.xml, bar 1: a chord's root is a letter A to G, not 'H'",
    ),
    (
        bars("<harmony><root><root-step>C</root-step></root><kind>major</kind><degree>"
             "<degree-value>9</degree-value><degree-type>bend</degree-type></degree></harmony>"
             + GOOD),
        "x.xml, bar 1: a chord's degree is added, altered or subtracted, not 'bend'",
    ),
]  # fmt: skip


def test_the_table_is_long_enough_and_has_no_doubles() -> None:
    assert len({document for document, _ in BAD}) == len(BAD) >= 20


@pytest.mark.parametrize(("document", "sentence"), BAD)
def test_bad_musicxml_is_told_in_one_sentence(document: bytes, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_musicxml(document, "x.xml")
    assert str(caught.value) == sentence


def test_a_file_that_floods_an_error_with_text_is_cut_short() -> None:
    with pytest.raises(TuneError) as caught:
        read_musicxml(start(f"<divisions>{'x' * 100_000}</divisions>"), "x.xml")
    assert len(str(caught.value)) < 150


def test_the_good_bar_of_this_table_is_good() -> None:
    assert len(read_musicxml(score(measure(COMMON_TIME + GOOD))).bars) == 1
