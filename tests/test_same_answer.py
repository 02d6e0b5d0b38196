"""One tune in several guises gets one answer: written out, as ABC, as MusicXML, as a chart."""

import pytest

import corpus
import undersong
from solver.moments import moments_of
from solver.style import Style, manners_in
from tune.readers.abc import read_abc
from tune.readers.chart import read_chart
from tune.readers.musicxml import read_musicxml
from tune.tune import Tune

REPEATED = [
    name
    for name in corpus.names()
    if len(undersong.read_tune(name).played) > len(undersong.read_tune(name).bars)
]

ABC = """X:1
T:Harrow Lane Gate
M:4/4
L:1/4
Q:1/4=100
K:D
P:A
|: "D" D F A F | "G" G2 "A7" E2 | "D/F#" F A "Bm" B2 | "D" A4 :|
"""

CHART = """title: Harrow Lane Gate
key: D major
metre: 4/4
tempo: 1/4 = 100

section A, twice
| D | G A7 | D/F# Bm | D |
"""

_KINDS = {"D": "major", "G": "major", "A7": "dominant", "D/F#": "major", "Bm": "minor"}


def _harmony(symbol: str) -> str:
    root, _, bass = symbol.partition("/")
    low = f"<bass><bass-step>{bass[0]}</bass-step><bass-alter>1</bass-alter></bass>" if bass else ""
    kind = f"<kind>{_KINDS[symbol]}</kind>"
    return f"<harmony><root><root-step>{root[0]}</root-step></root>{kind}{low}</harmony>"


def _half(symbol: str | None) -> str:
    rest = "<note><rest/><duration>2</duration><type>half</type></note>"
    return (_harmony(symbol) if symbol else "") + rest


MUSICXML = (
    '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">'
    "<work><work-title>Harrow Lane Gate</work-title></work>"
    '<part-list><score-part id="P1"><part-name>Song</part-name></score-part></part-list>'
    '<part id="P1"><measure number="1"><barline location="left"><repeat direction="forward"/>'
    "</barline><attributes><divisions>1</divisions><key><fifths>2</fifths><mode>major</mode></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
    '<direction><direction-type><rehearsal>A</rehearsal></direction-type><sound tempo="100"/>'
    f"</direction>{_half('D')}{_half(None)}</measure>"
    f'<measure number="2">{_half("G")}{_half("A7")}</measure>'
    f'<measure number="3">{_half("D/F#")}{_half("Bm")}</measure>'
    f'<measure number="4">{_half("D")}{_half(None)}'
    '<barline location="right"><repeat direction="backward"/></barline></measure></part>'
    "</score-partwise>"
).encode()


@pytest.mark.parametrize("manner", manners_in("song"))
@pytest.mark.parametrize("name", REPEATED)
def test_a_tune_written_out_asks_the_same_at_every_moment(name: str, manner: str) -> None:
    tune = undersong.read_tune(name)
    style = Style(manner=manner)
    repeated = moments_of(tune, style, 3)
    plain = moments_of(tune.written_out(), style, 3)

    def asked(moments: object) -> list[object]:
        from dataclasses import replace

        return [replace(moment, written=0) for moment in moments]  # type: ignore[attr-defined]

    assert asked(repeated) == asked(plain)


@pytest.mark.parametrize("manner", ["alternating", "walking"])
@pytest.mark.parametrize("name", ["tallow-and-rush", "candle-for-the-back-row"])
def test_a_tune_written_out_is_played_the_same(name: str, manner: str) -> None:
    tune = undersong.read_tune(name)
    style = Style(manner=manner)
    repeated = undersong.arrange(tune, style=style)
    plain = undersong.arrange(tune.written_out(), style=style)
    assert repeated.choices == plain.choices
    assert repeated.cost == plain.cost


@pytest.mark.parametrize("manner", manners_in("song"))
def test_abc_musicxml_and_chart_get_one_answer(manner: str) -> None:
    tunes: list[Tune] = [read_abc(ABC), read_musicxml(MUSICXML, ""), read_chart(CHART)]
    answers = [undersong.arrange(tune, style=Style(manner=manner)) for tune in tunes]
    assert {answer.cost for answer in answers} == {answers[0].cost}
    assert all(answer.choices == answers[0].choices for answer in answers)
