"""Bad charts, each with the sentence that the player reads: line, column, bar and mend."""

import pytest

from tune.errors import TuneError
from tune.readers.chart import read_chart, write_chart
from tune.readers.chart.fields import FIELDS
from tune.time import QUARTER
from tune.tune import Bar, ChordChange, Tune

HEAD = "title: Harrow Lane\nkey: D\nmetre: 4/4\ntempo: 100\n"
MODES = "major, mixolydian, dorian, minor, phrygian, lydian, locrian"
LINE_5 = "x.chart, line 5, "
BAR_1 = "x.chart, line 5, bar 1, "
UNREADABLE = (
    "this line cannot be read; write a field such as key: D, a section such as "
    "section A, twice, or bars between | lines"
)

BAD = [
    ("", "x.chart: say the title before the first bar, as in title: Harrow Lane"),
    ("key: D\nmetre: 4/4\n| D |",
     "x.chart, line 3: say the title before the first bar, as in title: Harrow Lane"),
    ("title: t\nmetre: 4/4\n| D |",
     "x.chart, line 3: say the key before the first bar, as in key: D"),
    ("title: t\nkey: D\n| D |",
     "x.chart, line 3: say the metre before the first bar, as in metre: 4/4"),
    (HEAD, "x.chart: the chart has no bars; write chords between | lines"),
    ("titel: t", "x.chart, line 1, column 1: there is no field 'titel'; write one of "
     + ", ".join(FIELDS)),
    ("title:  ", "x.chart, line 1, column 9: the field title is empty; write its value or take "
     "the line away"),
    ("title: a\ntitle: b", "x.chart, line 2, column 1: the title is said twice, first in line 1"),
    ("key: H", "x.chart, line 1, column 6: a key is written as in D, E minor or D mixolydian, not "
     f"'H'; the modes are {MODES}"),
    ("key: D mi", "x.chart, line 1, column 6: a key is written as in D, E minor or D mixolydian, "
     f"not 'D mi'; the modes are {MODES}"),
    ("key: G# major", "x.chart, line 1, column 6: G# major would need more than seven sharps or "
     "flats"),
    ("metre: waltz", "x.chart, line 1, column 8: a metre is written as in 3/4, not 'waltz'"),
    ("metre: 4/5", "x.chart, line 1, column 8: a metre counts in 1, 2, 4, 8, 16 or 32, not in 5"),
    ("tempo: quick", "x.chart, line 1, column 8: a tempo is written as in 110 or 1/4 = 110, not "
     "'quick'"),
    ("tempo: 1000", "x.chart, line 1, column 8: a tempo lies between 10 and 400 beats a minute, "
     "not 1000"),
    ("tempo: 0/4 = 100", "x.chart, line 1, column 8: a length is written as in 1/4 (a quarter "
     "note), not '0/4'"),
    (HEAD + "pickup: 1\n| D |", "x.chart, line 5: a length is written as in 1/4 (a quarter "
     "note), not '1'"),
    (HEAD + "pickup: 4/4\n| D |", "x.chart, line 5: the pickup is not shorter than a bar; write it "
     "as a bar"),
    (HEAD + "| D |\npickup: 1/4", "x.chart, line 6, column 1: the pickup must be said before the "
     "first bar"),
    (HEAD + "  D G A", f"x.chart, line 5, column 3: {UNREADABLE}"),
    (HEAD + "| D | H |", "x.chart, line 5, bar 2, column 7: the chord 'H' does not begin with a "
     "note name A to G"),
    (HEAD + "| D |  F#/h |", "x.chart, line 5, bar 2, column 11: the chord 'F#/h' needs one note "
     "name A to G after the slash (column 4)"),
    (HEAD + "| D G A |", BAR_1 + "column 3: 3 chords and dots do not share out 4 beats evenly; "
     "write one for each beat, with . where the chord stays"),
    (HEAD.replace("4/4", "6/8") + "| (2/8) D G A |",
     BAR_1 + "column 9: 3 chords and dots do not share out the bar evenly; "
     "write one for each beat, with . where the chord stays"),
    (HEAD + "| (1/4) |", BAR_1 + "column 3: a bar has a length and nothing in it; write a chord, "
     ". or N.C."),
    (HEAD + "| (x) D |", BAR_1 + "column 3: a length is written as in 1/4 (a quarter note), not "
     "'x'"),
    (HEAD + "| (99/4) D |", BAR_1 + "column 3: a bar of 4/4 cannot last 99 quarters"),
    (HEAD + "| D | | G |", LINE_5 + "column 7: a bar is empty; write a chord in it, or . or N.C."),
    (HEAD + ":| D |", LINE_5 + "column 1: a bar is empty; write a chord in it, or . or N.C."),
    (HEAD + "|", LINE_5 + "column 1: the line has no bars; write chords between | lines"),
    (HEAD + "| D : G |", LINE_5 + "column 5: a colon stands alone; write |: or :| to repeat"),
    (HEAD + "| D ||| G |", LINE_5 + "column 5: '|||' is no bar line; write |, ||, |: or :|"),
    (HEAD + "| same |", BAR_1 + "column 3: there is no bar of the same length before this one; "
     "write its chords"),
    (HEAD + "| D | same G |", "x.chart, line 5, bar 2, column 7: same stands for a whole bar; use "
     ". where a chord stays"),
    (HEAD + "section , twice\n| D |", LINE_5 + "column 1: a section needs a name, as in section A"),
    (HEAD + "section\n| D |", LINE_5 + "column 1: a section needs a name, as in section A"),
    (HEAD + "section A x2\n| D |", LINE_5 + "column 1: 'x2' does not say how often the "
     "section is played; write twice or 3 times"),
    (HEAD + "section A, twise\n| D |", LINE_5 + "column 1: 'twise' does not say how often the "
     "section is played; write twice or 3 times"),
    (HEAD + "section A\nsection B\n| D |", "x.chart, line 5: the section A has no bars"),
    (HEAD + "| D |\nsection B\n", "x.chart, line 6: the section B has no bars"),
    (HEAD + "section A, twice\n|: D :|", "x.chart, line 5: the section A is played more than once "
     "by its name and by signs; leave one"),
    (HEAD + "section A, 3 times\n| D |\n1. | G |\n2. | A |", "x.chart, line 5: the section A is "
     "played 3 times and has endings for 1, 2; write one ending for each time"),
    (HEAD + "| D |\n2. | A |", "x.chart: the passage is played 2 times and has endings for 2; "
     "write one ending for each time"),
    (HEAD + "section A\n| D |\n1. | G |\n| D |\n2. | A |", "x.chart, line 5: bars stand between "
     "the endings of the section A; put them before"),
    (HEAD + "2, 1. | D |", LINE_5 + "column 1: endings are numbered upwards from 1, as in 1, 2."),
    (HEAD + "| D |:", "x.chart: a repeat is opened by |: where no bar follows"),
    (HEAD + "|: D |\n1. | G :|", "x.chart, bar 2: no ending is marked for time 2 through"),
    (HEAD + "| D " * 4097, "x.chart: the tune has more than 4096 bars"),
    (HEAD + "|: D :| 99 times\n" * 90,
     "x.chart: with its repeats the tune has more than 8192 bars"),
    ("#" * 1_000_001, "x.chart: the chart is too large for one tune"),
]  # fmt: skip


def test_the_table_is_long_enough_and_has_no_doubles() -> None:
    assert len({text for text, _ in BAD}) == len(BAD) >= 20


@pytest.mark.parametrize(("text", "sentence"), BAD, ids=range(len(BAD)))
def test_a_bad_chart_is_told_in_one_sentence(text: str, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_chart(text, "x.chart")
    assert str(caught.value) == sentence


def test_a_chart_holds_one_tune() -> None:
    with pytest.raises(TuneError) as caught:
        read_chart(HEAD + "| D |", "x.chart", "2")
    assert str(caught.value) == "x.chart: a chart holds one tune; leave out the choice"


def test_a_chord_too_far_off_the_beat_cannot_be_written() -> None:
    tune = read_chart(HEAD + "| D |")
    first = tune.bars[0]
    change = ChordChange(QUARTER // 7 + 1, first.chords[0].chord)
    bar = Bar(1, first.metre, first.length, first.key, (change,))
    with pytest.raises(TuneError) as caught:
        write_chart(Tune(tune.title, tune.key, tune.metre, tune.tempo, (bar,)))
    assert str(caught.value) == ("bar 1: a chord stands too far off the beat for a chart; move it")
