"""Chords proposed, drones and charts laid over a melody: from the API, the command line and the
files that carry where they come from."""

import errno
import json
import re
from dataclasses import replace
from pathlib import Path
from random import Random

import jsonschema
import pytest

import corpus
import undersong
from fretboard.presets import instrument
from scoring.harmony import TERMS
from solver.style import Style
from tests.undersong.arranged import by_chance, chart
from tests.undersong.running import run
from tune.chord import Chord
from tune.errors import TuneError
from tune.readers.chart import read_chart, write_chart
from tune.tune import DRONE, EDITED, GIVEN, PROPOSED, ChordChange, Tune
from undersong.sheet.document import schema

NAMES = [name for name in corpus.names() if corpus.path(name).suffix != ".chart"]
TAUGHT = "X:1\nT:Bare Boards\nM:4/4\nL:1/4\nK:D\n|:D F A F|G B G B|A c e c|D4:|\n"


@pytest.fixture(autouse=True)
def _somewhere_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def melody(tune: Tune) -> list[object]:
    return [bar.notes for bar in tune.bars]


@pytest.mark.parametrize("name", NAMES)
def test_a_proposal_written_and_laid_over_its_melody_comes_back(name: str) -> None:
    tune = undersong.read_tune(name)
    proposed = undersong.propose_chords(tune)
    text = write_chart(proposed)
    assert re.search("\nchords: proposed by Undersong, mark [0-9a-f]{8}\n", text)
    back = read_chart(text)
    assert back.chords_are == PROPOSED
    assert undersong.lay_chords(tune, back) == proposed


@pytest.mark.parametrize(
    ("old", "new", "origin"),
    [
        ("", "", PROPOSED),
        ("|: D | G |", "|: D | Bm |", EDITED),
        ("|: D | G |", "|: D . . G | G |", EDITED),  # the same chords, one a beat earlier
        ("|: D | G |", "|: D . . . | G . G . |", PROPOSED),  # typed otherwise
        ("title: Harrow Lane", "title: My Own", PROPOSED),
        ("proposed by Undersong, mark", "PROPOSED  by undersong ,  Mark", PROPOSED),
        ("proposed by Undersong, mark", "proposed by Undersong, mark 00000000 #", None),
    ],
)
def test_chords_are_proposed_while_they_are_what_was_proposed(
    old: str, new: str, origin: str | None
) -> None:
    """Written, edited, read back, laid over the tune, arranged, written again."""
    tune = undersong.read_tune("harrow-lane")
    text = write_chart(undersong.propose_chords(tune))
    assert old in text
    edited = text.replace(old, new) if old else text
    if origin is None:
        with pytest.raises(TuneError, match="or take the line away"):
            read_chart(edited)
        return
    chart_read = read_chart(edited)
    assert chart_read.chords_are == origin
    laid = undersong.lay_chords(tune, chart_read)
    assert laid.chords_are == origin
    assert read_chart(write_chart(laid)).chords_are == origin
    made = by_chance(laid, Style(manner="roots"), instrument("standard"), Random(1))
    words = {PROPOSED: "proposed by Undersong", EDITED: "proposed by Undersong, then edited"}
    assert f"Chords      {words[origin]}" in undersong.text_tab(made).splitlines()
    assert undersong.from_json(undersong.to_json(made)) == made


def test_a_proposal_taken_back_is_proposed_again() -> None:
    text = write_chart(undersong.propose_chords(undersong.read_tune("harrow-lane")))
    edited = text.replace("|: D | G |", "|: D | Bm |")
    assert read_chart(edited).chords_are == EDITED
    assert read_chart(edited.replace("|: D | Bm |", "|: D | G |")).chords_are == PROPOSED


def test_a_drone_with_a_chord_put_in_is_no_drone() -> None:
    text = write_chart(undersong.with_drone(undersong.read_tune("harrow-lane")))
    assert read_chart(text).chords_are == DRONE
    assert read_chart(text.replace("|: D5 |", "|: D5 . G . |")).chords_are == GIVEN


def test_an_edited_chart_without_the_line_is_hers() -> None:
    tune = undersong.read_tune("harrow-lane")
    text = write_chart(undersong.propose_chords(tune))
    own = re.sub("chords: .*\n", "", text).replace("|: D | G |", "|: D | Bm |")
    laid = undersong.lay_chords(tune, read_chart(own))
    assert laid.chords_are == GIVEN
    assert laid.bars[1].chords == (ChordChange(0, Chord("B", "m")),)
    assert melody(laid) == melody(tune)


@pytest.mark.parametrize("name", NAMES)
def test_a_drone_is_one_open_fifth_from_the_first_bar_to_the_last(name: str) -> None:
    tune = undersong.read_tune(name)
    drone = undersong.with_drone(tune)
    changes = [(bar.number, change) for bar in drone.bars for change in bar.chords]
    assert changes == [(tune.bars[0].number, ChordChange(0, Chord(tune.key.tonic, "5")))]
    assert drone.chords_are == DRONE
    assert melody(drone) == melody(tune)
    assert read_chart(write_chart(drone)).chords_are == DRONE


def test_where_chords_come_from_is_one_of_three() -> None:
    tune = undersong.read_tune("harrow-lane")
    assert tune.chords_are == GIVEN
    assert "chords:" not in write_chart(tune)
    with pytest.raises(TuneError, match="chords are given, proposed, edited, drone, not 'mine'"):
        replace(tune, chords_are="mine")


@pytest.mark.parametrize("words", ["proposed by Undersong", "PROPOSED", "proposed  by undersong"])
def test_a_chart_says_it_in_any_case(words: str) -> None:
    text = f"title: t\nkey: D\nmetre: 4/4\nchords: {words}\n| D |"
    assert read_chart(text).chords_are == PROPOSED


@pytest.mark.parametrize(
    ("origin", "words"),
    [
        (PROPOSED, "Chords      proposed by Undersong"),
        (EDITED, "Chords      proposed by Undersong, then edited"),
        (DRONE, "Chords      a drone on the tonic"),
    ],
)
def test_the_page_and_the_document_say_where_chords_come_from(origin: str, words: str) -> None:
    plain = chart("key: D\nmetre: 4/4\n| D | G | A | D |")
    tune = replace(plain, chords_are=origin)
    made = by_chance(tune, Style(manner="roots"), instrument("standard"), Random(1))
    assert words in undersong.text_tab(made).splitlines()
    document = json.loads(undersong.to_json(made))
    assert document["tune"]["chords_are"] == origin
    jsonschema.validate(document, schema())
    assert undersong.from_json(undersong.to_json(made)) == made
    given = replace(made, tune=plain)
    assert "Chords      " not in undersong.text_tab(given)
    assert "chords_are" not in json.loads(undersong.to_json(given))["tune"]


def test_the_command_prints_the_chart() -> None:
    Path("bare.abc").write_text(TAUGHT, encoding="utf-8")
    ended = run("chords", "bare.abc")
    assert ended.code == 0
    assert "\nchords: proposed by Undersong, mark " in ended.out
    assert ended.out.endswith("|: D | G | A | D :|\n")
    assert ended.lines == [
        "undersong: proposed: 3 changes of chord as written, tones of the chord for 13 of the 13 "
        "melody notes that begin on a beat; 300 points, none cost less"
    ]


def test_the_command_tells_of_a_pickup_and_of_one_note() -> None:
    Path("one.abc").write_text("X:1\nT:One\nM:4/4\nL:1/4\nK:D\nA|D4|]\n", encoding="utf-8")
    assert run("chords", "one.abc").lines == [
        "undersong: proposed: 0 changes of chord as written, tones of the chord for 1 of the 1 "
        "melody note that begins on a beat (not counting 1 before the first chord); 0 points, none "
        "cost less"
    ]


def test_the_command_says_that_given_chords_give_way() -> None:
    assert "the tune has chords of its own" in run("chords", "harrow-lane").told
    ended = run("chords", "stacking-the-chairs")
    assert ended.code == 2
    assert ended.lines == [
        "undersong: stacking-the-chairs: Stacking the Chairs has no melody, and chords are "
        "proposed for one: it has chords already, so arrange it with those, or write its notes, "
        "as ABC or MusicXML"
    ]


def test_the_command_writes_a_file_that_arrange_lays_over_the_melody() -> None:
    Path("bare.abc").write_text(TAUGHT, encoding="utf-8")
    ended = run("chords", "bare.abc", "--to", "bare.chart")
    assert (ended.code, ended.out) == (0, "")
    tune = undersong.read_tune("bare.abc")
    assert undersong.lay_chords(tune, undersong.read_tune("bare.chart")).has_chords
    tab = run("arrange", "bare.abc", "--chords", "bare.chart", "--bass", "roots")
    assert tab.code == 0, tab
    assert "Chords      proposed by Undersong" in tab.out.splitlines()
    assert tab.out == run("arrange", "bare.abc", "--chords", "proposed", "--bass", "roots").out


def test_a_chart_is_laid_in_the_tunes_own_key_and_moved_with_it() -> None:
    Path("bare.abc").write_text(TAUGHT, encoding="utf-8")
    run("chords", "bare.abc", "--to", "bare.chart")
    tab = run(
        "arrange", "bare.abc", "--chords", "bare.chart", "--transpose", "5", "--bass", "roots"
    )
    assert tab.code == 0, tab
    assert "G major, 4/4" in tab.out


def test_a_chart_written_of_the_moved_tune_is_laid_over_the_moved_tune() -> None:
    Path("bare.abc").write_text(TAUGHT, encoding="utf-8")
    run("chords", "bare.abc", "--transpose", "5", "--to", "moved.chart")
    assert "key: G major" in Path("moved.chart").read_text(encoding="utf-8")
    moved = ("--transpose", "5", "--bass", "roots")
    tab = run("arrange", "bare.abc", "--chords", "moved.chart", *moved)
    assert tab.code == 0, tab
    tune = undersong.read_tune("bare.abc").transposed(5)
    chart_read = undersong.read_tune("moved.chart")
    assert tab.out == run("arrange", "bare.abc", "--chords", "proposed", *moved).out
    assert undersong.lay_chords(tune, chart_read).key == chart_read.key


def test_the_command_takes_more_chords_other_prices_and_another_key() -> None:
    more = run("chords", "harrow-lane", "--more", "secondary", "--more", "sevenths")
    assert "Bm" in more.out
    assert "A7" in more.out
    calm = run("chords", "harrow-lane", "--weight", "change=90000")
    assert "proposed: 0 changes of chord" in calm.told
    Path("calm.toml").write_text("change = 90000\n", encoding="utf-8")
    assert run("chords", "harrow-lane", "--weights", "calm.toml").out == calm.out
    assert "key: F major" in run("chords", "harrow-lane", "--transpose", "3").out
    slow = read_chart(run("chords", "harrow-lane", "--per", "bar").out)
    assert all(change.tick == 0 for bar in slow.bars for change in bar.chords)


def test_the_command_lists_its_weights() -> None:
    ended = run("chords", "--list-weights")
    assert ended.code == 0
    words = [line.split()[0] for line in ended.out.splitlines()[1:]]
    assert words == [term.about.name for term in TERMS]


def test_out_of_time_is_said_and_nothing_written() -> None:
    ended = run("chords", "harrow-lane", "--time-limit", "0.0000001", "--to", "late.chart")
    assert ended.code == 3
    assert not Path("late.chart").exists()


def test_a_full_disk_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    Path("old.chart").write_text("as it was", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("undersong.sheet.write.os.fsync", full)
    ended = run("chords", "harrow-lane", "--to", "old.chart")
    assert ended.code == 2
    assert "old.chart: the file cannot be written (No space left on device)" in ended.lines[-1]
    assert Path("old.chart").read_text(encoding="utf-8") == "as it was"
    assert len(list(Path().iterdir())) == 1
