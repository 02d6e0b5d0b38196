"""Bad tunes in every form that is read, one row each."""

from tests.undersong.bad_input import GOOD_ABC, GOOD_CHART, Bad, musicxml

_FIRST = (
    "<attributes><divisions>1</divisions><key><fifths>2</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)
_D = "<harmony><root><root-step>D</root-step></root><kind>major</kind></harmony>"
_WHOLE = "<note><pitch><step>D</step><octave>4</octave></pitch><duration>4</duration></note>"


def _abc(name: str, old: str, new: str, *says: str) -> Bad:
    assert old in GOOD_ABC, f"{old!r} does not stand in the good tune"
    return Bad(name, ("arrange", "t.abc"), ("t.abc", *says), {"t.abc": GOOD_ABC.replace(old, new)})


def _chart(name: str, old: str, new: str, *says: str) -> Bad:
    assert old in GOOD_CHART, f"{old!r} does not stand in the good chart"
    return Bad(
        name, ("arrange", "t.chart"), ("t.chart", *says), {"t.chart": GOOD_CHART.replace(old, new)}
    )


def _xml(name: str, content: str | bytes, *says: str, file: str = "t.musicxml") -> Bad:
    return Bad(name, ("arrange", file), (file, *says), {file: content})


FILES = (
    Bad("no such file", ("arrange", "gone.abc"), ("gone.abc", "no such file")),
    Bad(
        "a folder for a tune", ("arrange", "sub/.."), ("sub/..", "folder"), {"sub/t.abc": GOOD_ABC}
    ),
    Bad("suffix of no tune", ("arrange", "t.pdf"), ("t.pdf", ".abc", ".chart"), {"t.pdf": "%PDF"}),
    Bad("an empty file", ("arrange", "t.abc"), ("t.abc", "empty"), {"t.abc": ""}),
    Bad("blank lines alone", ("arrange", "t.chart"), ("t.chart", "empty"), {"t.chart": "\n \n"}),
    Bad("no text", ("arrange", "t.abc"), ("t.abc", "no text file"), {"t.abc": b"X:1\n\0\0\1"}),
    Bad("nothing piped in", ("arrange", "-"), ("standard input", "empty"), stdin=""),
    Bad("anything piped in", ("arrange", "-"), ("standard input", "title"), stdin="| D | G |\n"),
    Bad("too large", ("arrange", "t.chart"), ("8 megabytes",), {"t.chart": "#" * (8 << 20) + "#"}),
)

ABC = (
    _abc("abc: a chord that is none", '"A7"', '"A7x"', "line 7", "'A7x'"),
    _abc("abc: a key that is none", "K:D", "K:H", "line 6", "H"),
    _abc("abc: a metre that is none", "M:4/4", "M:four", "line 3", "four"),
    _abc("abc: a unit that is none", "L:1/4", "L:quarter", "line 4", "quarter"),
    _abc("abc: a tempo beyond limits", "Q:1/4=96", "Q:1/4=9000", "line 5"),
    _abc("abc: no bars", GOOD_ABC[GOOD_ABC.index('"D"') :], ""),
    _abc("abc: words for music", '"D"D', "and then", "line 7"),
    _abc("abc: a note never closed", "D F A F", "[DF A F", "line 7"),
    _abc("abc: an open chord", '"D"D', '"DD', "line 7"),
    Bad(
        "abc: no chords at all",
        ("arrange", "t.abc"),
        ("Gate Left Open", "no chords"),
        {"t.abc": GOOD_ABC.replace('"D"', "").replace('"G"', "").replace('"A7"', "")},
    ),
    Bad(
        "abc: which of two",
        ("arrange", "t.abc", "--choose", "9"),
        ("t.abc", "'9'", "Gate Left Open"),
        {"t.abc": GOOD_ABC + "\n" + GOOD_ABC.replace("X:1", "X:2")},
    ),
)

CHARTS = (
    _chart("chart: no title", "title: Gate Left Open\n", "", "title"),
    _chart("chart: no key", "key: D\n", "", "key"),
    _chart("chart: no metre", "metre: 4/4\n", "", "metre"),
    _chart("chart: a key that is none", "key: D", "key: D blue", "line 2", "blue"),
    _chart("chart: a metre that is none", "metre: 4/4", "metre: 4/5", "line 3"),
    _chart("chart: an unknown field", "key: D", "colour: red\nkey: D", "line 2", "colour"),
    _chart("chart: a chord that is none", "A7", "A77", "line 4", "'A77'"),
    _chart("chart: beats that do not come out", "G A7", "G A7 D", "line 4"),
    _chart("chart: no bars", "| D | G A7 | D |\n", "", "bar"),
    _chart("chart: same as nothing", "| D |", "| same |", "line 4", "same"),
    _chart("chart: an ending of no section", "| D | G", "0. | D | G", "line 4"),
    _chart("chart: words for bars", "| D | G A7 | D |", "and then D", "line 4"),
)

XML = (
    _xml("xml: cut short", musicxml("<measure number='1'>")[:180], "XML"),
    _xml("xml: no music", "<html><body>no</body></html>", "html"),
    _xml("xml: no bars", musicxml(""), "bar"),
    _xml(
        "xml: an external entity",
        '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY e SYSTEM "file:///etc/hostname">]>'
        "<score-partwise>&e;</score-partwise>",
        "entit",
    ),
    _xml(
        "xml: an entity bomb",
        '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]>'
        "<score-partwise>&b;</score-partwise>",
        "entit",
    ),
    _xml(
        "xml: a chord of an unknown kind",
        musicxml(f"<measure number='1'>{_FIRST}{_D.replace('major', 'Tristan')}{_WHOLE}</measure>"),
        "bar 1",
        "Tristan",
    ),
    _xml(
        "xml: a bar too long",
        musicxml(f"<measure number='1'>{_FIRST}{_D}{_WHOLE * 5}</measure>"),
        "bar 1",
    ),
    Bad(
        "xml: no chords at all",
        ("arrange", "t.musicxml"),
        ("Gate Left Open", "no chords"),
        {"t.musicxml": musicxml(f"<measure number='1'>{_FIRST}{_WHOLE}</measure>")},
    ),
    _xml("mxl: no archive", b"PK\x03\x04 and then nothing", file="t.mxl"),
    _xml("mxl: plain XML", musicxml(""), file="t.mxl"),
)

ROWS = (*FILES, *ABC, *CHARTS, *XML)
