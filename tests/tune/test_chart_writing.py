"""Charts written and read back: by hand, for tunes that hypothesis makes up, and fuzzed."""

import time
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tune.chord import QUALITIES, Chord
from tune.errors import TuneError
from tune.key import MODES, Key
from tune.readers import read
from tune.readers.chart import read_chart, write_chart
from tune.readers.chart.row import may_share
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Note, Tune

QUICK = settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)

WALTZ = """\
title: Harrow Lane Waltz
composer: the Tuesday class
key: D mixolydian
metre: 3/4
tempo: 110
| (1/4) A7 |

section A
|: D | D | G | A7 |
| D . G | A7 | . |
1. | D N.C. . :|
2. | D |

section B
|: G | . . D7/F# | (1/2) C | D :| 3 times
key: E minor
metre: 2/4
tempo: 1/8 = 200
| Em | Am D |
"""


def bare(tune: Tune) -> Tune:
    """A tune without what a chart cannot hold: melody, and the numbers that bars had."""
    first = 0 if tune.pickup else 1
    bars = (replace(bar, notes=(), number=first + index) for index, bar in enumerate(tune.bars))
    return replace(tune, bars=tuple(bars))


def test_a_chart_is_written_as_it_is_typed() -> None:
    assert write_chart(read_chart(WALTZ)) == WALTZ


def test_a_repeat_may_start_in_the_middle_of_a_line() -> None:
    text = "title: t\nkey: D major\nmetre: 4/4\ntempo: 100\n| D |: G :|: A :| D |\n"
    assert write_chart(read_chart(text)) == text


def test_words_and_signs_come_to_the_same_tune() -> None:
    head = "title: t\nkey: D\nmetre: 4/4\ntempo: 100\n"
    words = read_chart(head + "section A, twice\n| D |\n1. | G |\n2. | A |")
    signs = read_chart(head + "section A\n|: D |\n1. | G :|\n2. | A |")
    assert words == signs


def test_the_loss_of_a_melody_is_said() -> None:
    tune = read_chart(WALTZ)
    sung = replace(tune.bars[0], notes=(Note(0, QUARTER, 62, "D"),))
    text = write_chart(replace(tune, bars=(sung, *tune.bars[1:])))
    assert "# The melody is left out: a chart holds chords alone.\n" in text
    assert read_chart(text) == tune


@pytest.mark.parametrize("name", ["biscuit-tin-stomp", "candle-for-the-back-row"])
def test_a_tune_of_the_class_keeps_its_chords_and_repeats(name: str) -> None:
    tune = read(str(Path(__file__).parents[2] / "corpus" / f"{name}.musicxml"))
    assert tune.has_chords
    assert read_chart(write_chart(tune)) == bare(tune)


CHORDS = st.builds(
    Chord,
    st.sampled_from(["C", "D", "F#", "Bb", "A"]),
    st.sampled_from(sorted(QUALITIES)),
    st.sampled_from([None, "E", "Ab"]),
)
METRES = st.sampled_from([Metre(4, 4), Metre(3, 4), Metre(6, 8), Metre(2, 2), Metre(7, 8)])
KEYS = st.sampled_from(
    [Key(tonic, mode) for tonic in ("C", "D", "A", "Bb") for mode in sorted(MODES)]
)
TEMPI = st.builds(
    Tempo, st.sampled_from([QUARTER, QUARTER // 2, QUARTER * 3 // 2]), st.integers(10, 400)
)
WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=12).map(
    lambda words: " ".join(words.split())
)
NAMES = st.sampled_from(["", "", "A", "Verse 1", "the turn"])


@st.composite
def a_bar(draw: st.DrawFn, metre: Metre, key: Key) -> Bar:
    """A bar with chords on an even grid; sometimes shorter than its metre."""
    length = draw(st.sampled_from([metre.bar, metre.bar, metre.bar // metre.beats]))
    counts = [count for count in range(1, 17) if may_share(count, length, metre)]
    count = draw(st.sampled_from(counts))
    places = draw(st.sets(st.integers(0, count - 1), max_size=4))
    changes = tuple(
        ChordChange(place * (length // count), draw(st.none() | CHORDS)) for place in sorted(places)
    )
    return Bar(
        1,
        metre,
        length,
        key,
        changes,
        section=draw(NAMES),
        tempo=draw(st.none() | TEMPI),
    )


@st.composite
def a_passage(draw: st.DrawFn) -> list[Bar]:
    """Some bars in one key and metre: plain, repeated, or with endings."""
    metre, key = draw(METRES), draw(KEYS)
    bars = draw(st.lists(a_bar(metre, key), min_size=1, max_size=6))
    manner = draw(st.sampled_from(["plain", "repeated", "endings"]))
    if manner != "plain":
        bars[0] = replace(bars[0], repeat_start=True)
    if manner == "repeated":
        bars[-1] = replace(bars[-1], repeat_times=draw(st.integers(2, 5)))
    if manner == "endings":
        first, second = (
            [replace(bar, section="") for bar in draw(st.lists(a_bar(metre, key), min_size=1,
                                                               max_size=3))]
            for _ in range(2)
        )  # fmt: skip
        first[-1] = replace(first[-1], repeat_times=2)
        bars += [replace(bar, endings=(1,)) for bar in first]
        bars += [replace(bar, endings=(2,)) for bar in second]
    return bars


@st.composite
def a_tune(draw: st.DrawFn) -> Tune:
    bars = [
        bar for passage in draw(st.lists(a_passage(), min_size=1, max_size=4)) for bar in passage
    ]
    bars[0] = replace(bars[0], tempo=None)
    title = draw(WORDS.filter(bool))
    return bare(
        Tune(
            title,
            bars[0].key,
            bars[0].metre,
            draw(TEMPI),
            tuple(bars),
            composer=draw(WORDS),
            source=draw(WORDS),
            licence=draw(WORDS),
        )
    )


def written_and_read(tune: Tune) -> None:
    text = write_chart(tune)
    again = read_chart(text)
    assert again == tune
    assert again.played == tune.played
    bar_lines = [line for line in text.splitlines() if line.startswith(("|", "1. ", "2. "))]
    assert bar_lines
    assert all(line.count("|") <= 5 for line in bar_lines)  # four bars to a line


@settings(QUICK, max_examples=80)
@given(a_tune())
def test_what_is_written_is_read_back(tune: Tune) -> None:
    written_and_read(tune)


@pytest.mark.slow
@settings(QUICK, max_examples=2000)
@given(a_tune())
def test_what_is_written_is_read_back_for_many_tunes(tune: Tune) -> None:
    written_and_read(tune)


def only_tune_errors(text: str) -> None:
    sentence = ""
    try:
        read_chart(text, "fuzz")
    except TuneError as error:
        sentence = str(error)
    assert "\n" not in sentence
    assert len(sentence) < 400


@QUICK
@given(st.text(max_size=120))
def test_text_of_any_kind(text: str) -> None:
    only_tune_errors(text)
    only_tune_errors("title: t\nkey: D\nmetre: 4/4\n| D |\n" + text)


PIECES = st.sampled_from(
    ["|", "|:", ":|", "||", ".", "D", "Am7", "same", "N.C.", "(1/4)", "1. ", "2. ", "\n", " ", ":",
     "section A", ", twice", "3 times", "key: ", "metre: ", "tempo: ", "6/8", "110", "#", "x"]
)  # fmt: skip


@QUICK
@given(st.lists(PIECES, max_size=40))
def test_the_words_of_a_chart_in_any_order(pieces: list[str]) -> None:
    only_tune_errors("title: t\nkey: D\nmetre: 4/4\n" + "".join(pieces))
    only_tune_errors("title: t\nkey: D\nmetre: 4/4\n" + " ".join(pieces))


@QUICK
@given(
    st.lists(
        st.tuples(st.integers(0, 400), st.integers(0, 12), st.text(max_size=4)),
        min_size=1,
        max_size=4,
    )
)
def test_a_chart_with_letters_changed(edits: list[tuple[int, int, str]]) -> None:
    text = WALTZ
    for at, cut, put in edits:
        place = at % (len(text) + 1)
        text = text[:place] + put + text[place + cut :]
    only_tune_errors(text)


@pytest.mark.parametrize(
    "line",
    [
        "section A" + " " * 900_000 + "B",
        "section A" + ", " * 400_000,
        "key" + " " * 900_000 + "D",
        " " * 900_000 + "D",
        "key: D" + " " * 900_000 + "x",
        "1" + ",1" * 400_000 + " | D |",
        "|" + ":" * 900_000,
        "|" + " " * 900_000 + ":",
        "| D :|" + " " * 900_000 + "2 times.",
        "| D :|" + "a " * 400_000 + ".",
        "x" * 900_000 + ": y",
        "metre: " + "4" * 900_000,
        "tempo: " + "4" * 900_000,
        "| " + "D" * 900_000 + " |",
        "| " + "|" * 900_000 + " |",
        "| (" + "1" * 900_000 + ") |",
    ],
    ids=range(16),
)
def test_a_line_without_end_is_refused_at_once_and_in_short(line: str) -> None:
    begun = time.perf_counter()
    only_tune_errors("title: t\nkey: D\nmetre: 4/4\n" + line)
    assert time.perf_counter() - begun < 3
