"""JSON that is no arrangement: one clear sentence with file and place, never a traceback."""

import json
from functools import cache
from random import Random
from typing import Any

import pytest

from scoring.weights import DEFAULTS
from tests.undersong.arranged import chart, found
from undersong.sheet.document import VERSION, from_json, to_json
from undersong.sheet.errors import SheetError


@cache
def text() -> str:
    tune = chart("key: D\nmetre: 4/4\nsection Verse, twice\n| D | G . A7 . |")
    return to_json(found(tune))


def broken(path: str, value: Any) -> str:
    """The document with another value at a path such as ``moments.0.bar``; ``del`` leaves the
    name out."""
    document = json.loads(text())
    place = document
    *steps, last = [int(step) if step.isdigit() else step for step in path.split(" ")]
    for step in steps:
        place = place[step]
    if value == "del":
        del place[last]
    else:
        place[last] = value
    return json.dumps(document)


def complaint(document: str) -> str:
    with pytest.raises(SheetError) as caught:
        from_json(document, "mine.json")
    message = str(caught.value)
    assert message.startswith("mine.json: ")
    assert "\n" not in message
    return message


NOT_JSON = [
    ("", "line 1, column 1: this is not JSON"),
    ("{", "line 1, column 2: this is not JSON"),
    ("X:1\nT:Tune\n", "line 1, column 1: this is not JSON"),
    ("[]", "this is no arrangement"),
    ("3", "this is no arrangement"),
    ("null", "this is no arrangement"),
    ("{}", 'it does not say "format": "undersong arrangement"'),
    ('{"format": "something else"}', "this is no arrangement"),
    ('{"format": NaN}', "NaN is no number of JSON"),
    ('{"format": 1, "format": 2}', 'the name "format" stands twice'),
    ("[" * 100_000, "nested too deeply"),
    ('{"format": ' + "9" * 5000 + "}", "the document cannot be read"),
]


@pytest.mark.parametrize(("document", "said"), NOT_JSON, ids=lambda value: value[:20])
def test_what_is_no_arrangement_is_refused(document: str, said: str) -> None:
    assert said in complaint(document)


SILENT = {"fret": None, "finger": None, "struck": False, "ringing": False, "midi": None}
CHANGED = [
    ("version", 1, "version: an older Undersong wrote this document (version 1; this one reads 3)"),
    ("version", 4, "version: a newer Undersong wrote this document (version 4; this one reads 3)"),
    ("version", 0, "version: this must be a whole number from 1 on, not 0"),
    ("difficulty", "del", '"difficulty" is missing here'),
    ("version", True, "version: this must be a whole number, not true"),
    ("version", "del", '"version" is missing here'),
    ("more", 1, '"more" is unknown here; the names are format, version'),
    ("title", "Another", 'title: this must be the tune\'s title, "Harrow Lane Exercise"'),
    ("tune", None, "tune: this must be an object, not null"),
    ("tune title", "", "tune: the tune has no title"),
    ("tune bars", [], "tune: the tune has no bars"),
    ("tune bars", {}, "tune.bars: this must be a list, not {}"),
    ("tune bars 0 length", "17", "tune.bars[0]: bar 1: a bar of 4/4 cannot last 17 quarters"),
    ("tune bars 0 length", 4, "tune.bars[0].length: this must be quarter notes as text"),
    ("tune bars 0 length", "1/0", "tune.bars[0].length: this must be quarter notes as text"),
    ("tune bars 0 length", "1/11", "tune.bars[0].length: a length of 1/11 quarter notes"),
    ("tune bars 0 metre", "4", 'tune.bars[0].metre: this must be a metre such as "4/4"'),
    ("tune bars 0 metre", "4/5", "tune.bars[0].metre: a metre counts in"),
    ("tune bars 0 chords 0 chord", "H", "chord: the chord 'H' does not begin with a note name"),
    ("tune bars 0 repeat_times", 0, "repeat_times: this must be a whole number from 1 on, not 0"),
    ("tune bars 0 endings", [0], "tune.bars[0].endings[0]: this must be a whole number from 1"),
    ("tune key mode", "sad", "tune.key: 'sad' is no mode"),
    ("tune tempo per_minute", 5000, "tune.tempo: a tempo lies between 10 and 400"),
    ("instrument strings", [], "instrument: an instrument has three or four courses, not 0"),
    ("instrument strings 0 open", "E3", "this must be the name of MIDI pitch 50, such as D3"),
    ("instrument strings 0 midi", 10**7, "instrument.strings[0].open: this must be the name"),
    ("instrument strings 0 frets 0", "2+", "frets[0]: there is no fret 2+"),
    ("instrument scale_mm", "wide", 'instrument.scale_mm: this must be a number, not "wide"'),
    ("instrument scale_mm", 1e300, "instrument.scale_mm: this must be a number of ordinary size"),
    ("instrument scale_mm", 20, "instrument: a scale length of 20 mm cannot be"),
    ("capo", "1+", "capo: a capo cannot sit at fret 1+"),
    ("capo", 0, "capo: this must be text, not 0"),
    ("hand span_mm", 20, "hand: a hand spans 120 to 320 mm"),
    ("hand may_bar", "X", "hand: the hand's may_bar takes letters out of T I M R P"),
    ("hand greatest TI", 1, "hand: the hand's comfortable T-I exceeds its greatest"),
    ("hand greatest TI", "del", 'hand.greatest: "TI" is missing here'),
    ("hand movement hand_a", -1, "hand.movement.hand_a: this must be a whole number from 0 on"),
    ("hand movement hand_a", 9999, "hand.movement: the hand's hand_a must lie between"),
    ("style manner", "loud", "style: there is no bass manner 'loud'"),
    ("style no_chord", "sing", "style: where no chord is"),
    ("style right_hand bars 3 strokes 0 strings", "toes", "this must be one of bass, upper"),
    ("style right_hand bars 3 strokes 0 offset", "1", "strokes begin at 0, ascend"),
    ("style right_hand bars 3 strokes 0 strings", "upper", "the first stroke must bring a bass"),
    ("style right_hand bars", [], "the right hand bass-then-strum has no pattern for 4/4"),
    ("style bass_lowest", 1, "style.bass_lowest: this must be true or false, not 1"),
    ("weights high-bass", -1, "weights.high-bass: this must be a whole number from 0 on, not -1"),
    ("weights high-bas", 1, "weights: there is no weight named 'high-bas'"),
    ("moments", [], "moments: 0 moments here, but the tune and the style ask for 16"),
    ("moments 3 bar", 2, "moments[3].bar: this must be 1, which the tune and the style ask for"),
    ("moments 0 bar", True, "moments[0].bar: this must be 1"),
    ("moments 0 chord", "G", 'moments[0].chord: this must be "D", which the tune'),
    ("moments 0 length", "2", 'moments[0].length: this must be "1", which the tune'),
    ("moments 0 bass_role", "tenor", "moments[0].bass_role: this must be null or one of root"),
    ("moments 0 bass_role", None, "a bass string that is struck has a role"),
    ("moments 0 hand_mm", "far", "moments[0].hand_mm: this must be a whole number"),
    ("moments 0 strings", [SILENT], "1 string here; the instrument has 3"),
    ("moments 0 strings 0 fret", "1+", "the bass string has no fret 1+ to play"),
    ("moments 0 strings 0 fret", "x", "moments[0].strings[0].fret: 'x' is no fret number"),
    ("moments 0 strings 0 finger", "TI", "finger: this must be null or one of T, I, M, R, P"),
    ("moments 0 strings 0 finger", "T", "a stopped string has a finger, an open one none"),
    ("moments 0 strings 0 midi", 51, "midi: this must be 50, the pitch of that fret, not 51"),
    ("moments 0 strings 0 ringing", False, "only a bass note that the palm damps does not ring"),
    ("moments 0 strings 0 struck", 1, "struck: this must be true or false, not 1"),
    ("moments 0 strings 0", {**SILENT, "finger": "T"}, "a string without a fret is silent"),
    ("cost total", 1, "cost.total: this must be"),
    ("cost terms finger-down", 1, "cost.terms.finger-down: this must be"),
    ("cost amounts finger-down", 1, "cost.amounts.finger-down: this must be"),
    ("cost terms", {}, 'cost.terms: "hand-shift" is missing here'),
    ("proof status", "good", 'proof.status: this must be "proven best" or "best so far"'),
    ("proof gap", 5, "proof: a proven answer has no gap"),
]


@pytest.mark.parametrize(("path", "value", "said"), CHANGED, ids=lambda value: str(value)[:24])
def test_a_changed_document_is_told_where_it_no_longer_fits(
    path: str, value: Any, said: str
) -> None:
    assert said in complaint(broken(path, value))


def test_an_older_document_is_told_of_its_age_before_anything_else() -> None:
    """What has changed since would only be told as one odd name out of many."""
    document = json.loads(broken("version", 1))
    document["weights"] = {"wish-of-old": 3}
    del document["difficulty"]
    said = complaint(json.dumps(document))
    assert "an older Undersong wrote this document" in said
    assert "arrange the tune again" in said


def test_a_complaint_without_a_file_begins_with_the_place() -> None:
    with pytest.raises(SheetError, match=r"^version: a newer Undersong"):
        from_json(broken("version", 7))


TERMS_OF_VERSION_3 = """
    hand-shift finger-travel finger-slide finger-down finger-up hurry stretch far-stretch cramp
    barred unaccustomed-finger change-off-root beat-off-root half-bar root-again missed-answer
    high-bass foreign-bass no-breath bass-leap bass-still broken-run early-root root-missing
    root-fading third-missing third-fading fifth-missing seventh-missing seventh-fading
    upper-silent bass-silent clash left-out bass-above voice-leap parallel-fifths melody-crossed
    thin-strum drone-bass drone-clash
"""


def test_another_cost_term_wants_another_version() -> None:
    """A document bills every term, so one term more or less makes those written before wrong."""
    assert VERSION == 3
    assert tuple(DEFAULTS) == tuple(TERMS_OF_VERSION_3.split())


ODD: list[Any] = [
    None,
    True,
    -1,
    0,
    3,
    10**8,
    1.5,
    "",
    "0",
    "-1",
    "7/3",
    "T",
    [],
    {},
    [[]],
    "\ud800",
    "root",
]


def test_documents_changed_by_chance_are_refused_in_one_sentence_or_still_whole() -> None:
    """700 documents with one value anywhere replaced, left out or doubled."""
    original = from_json(text())
    random = Random(7)
    complaints: list[str] = []
    for _ in range(700):
        document = json.loads(text())
        place, key = some_place(document, random)
        kind = random.randrange(3)
        if kind == 0:
            del place[key]
        elif kind == 1 and isinstance(place, list):
            place.insert(key, place[key])
        else:
            place[key] = random.choice(ODD)
        try:
            again = from_json(json.dumps(document), "x.json")
        except SheetError as error:
            complaints.append(str(error))
        else:
            assert again.cost == original.cost or again.weights != original.weights
    assert len(complaints) > 500
    assert all(said.startswith("x.json: ") and "\n" not in said for said in complaints)


def some_place(document: Any, random: Random) -> tuple[Any, Any]:
    """A container somewhere in the document, and a key in it."""
    while True:
        keys = list(document) if isinstance(document, dict) else list(range(len(document)))
        key = random.choice(keys)
        below = document[key]
        if not isinstance(below, dict | list) or not below or random.random() < 0.1:
            return document, key
        document = below
