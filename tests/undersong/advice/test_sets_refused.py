"""Sets that cannot be asked for, ordered or played as they are, or not in the time there is: the
reason, and the least that works."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from solver.errors import ArrangeError, Unfulfillable
from solver.watch import OutOfTime, Stopped, Watch
from tests.undersong.advice.evenings import D_A_D, on, set_of
from undersong.advice import set_ways, sets
from undersong.advice.set_check import faults
from undersong.advice.set_document import set_json, set_schema
from undersong.advice.set_text import set_text
from undersong.advice.sets import make_set


def test_too_few_in_a_row_says_the_least_that_works(tmp_path: Path) -> None:
    lines = [(name, (D_A_D,), "") for name in ("gate", "door", "raffle", "coats")]
    with pytest.raises(Unfulfillable, match=r"3 of 4 tunes are in D major; the least .* is 2"):
        make_set(set_of(tmp_path, *lines, in_a_row=1, arranged=False))
    assert make_set(set_of(tmp_path, *lines, in_a_row=2, arranged=False)).proven
    with pytest.raises(Unfulfillable, match=r"Coats on Hooks is first; the least .* is 3"):
        make_set(set_of(tmp_path, *lines, in_a_row=2, first=3, arranged=False))


def test_what_cannot_be_asked(tmp_path: Path) -> None:
    lines = [(name, (D_A_D,), "m") for name in ("gate", "door")]
    with pytest.raises(ArrangeError, match="both first and last"):
        set_of(tmp_path, *lines, first=1, last=1)
    with pytest.raises(ArrangeError, match="joins of a medley"):
        set_of(tmp_path, *lines, arranged=False)
    with pytest.raises(ArrangeError, match="at least one"):
        set_of(tmp_path)
    parted = set_of(tmp_path, *lines, ("urn", (D_A_D,), ""), first=0, last=1)
    with pytest.raises(Unfulfillable, match="Gate Left Open cannot be first and Mind the Door"):
        make_set(parted)


def test_a_way_that_cannot_be_played_is_told_and_the_other_taken(tmp_path: Path) -> None:
    bad = on("C#3 G#3 C#4")
    made = make_set(set_of(tmp_path, ("gate", (bad, D_A_D), ""), ("door", (D_A_D,), "")))
    assert [place.instrument for place in made.places] == [D_A_D, D_A_D]
    (left_out,) = made.left_out
    assert left_out.instrument == bad
    assert left_out.why in " ".join(set_text(made, width=400).split())


BAD, WORSE = on("C#3 G#3 C#4"), on("B2 F#3 B3")


def test_tunes_that_cannot_be_played_are_all_told_and_the_others_put_in_order(
    tmp_path: Path,
) -> None:
    lines = [("gate", (BAD, WORSE), ""), ("door", (D_A_D,), ""), ("raffle", (BAD,), "m"),
             ("coats", (D_A_D,), "m")]  # fmt: skip
    made = make_set(set_of(tmp_path, *lines, last=3))
    assert [place.tune.piece.name for place in made.places] == ["door", "coats"]
    assert made.proven
    assert [(each.title, each.instrument) for each in made.not_played] == [
        ("Gate Left Open", BAD), ("Gate Left Open", WORSE), ("Raffle Tickets", BAD)
    ]  # fmt: skip
    assert faults(made) == ()
    page = " ".join(set_text(made, width=400).split())
    for each in made.not_played:
        assert f"{each.title} in {each.where}: {each.why}" in page
    assert max(map(len, set_text(made, width=40).splitlines())) <= 40
    assert "Within a medley" not in page  # its other tune is gone
    document = json.loads(set_json(made))
    Draft202012Validator(set_schema()).validate(document)
    assert [each["title"] for each in document["not_played"]] == [
        "Gate Left Open", "Gate Left Open", "Raffle Tickets"
    ]  # fmt: skip
    assert faults(replace(made, not_played=())) == ("a tune is missing or played twice",)


def test_nothing_is_left_to_order_or_an_end_is_gone(tmp_path: Path) -> None:
    lines = [("gate", (BAD,), ""), ("raffle", (BAD, WORSE), "")]
    with pytest.raises(Unfulfillable) as none:
        make_set(set_of(tmp_path, *lines))
    told = str(none.value)
    assert told.startswith("no tune of the set can be played as asked: Gate Left Open (in C#3-")
    assert "; in B2-F#3-B3, bar 1" in told
    assert told.endswith("give them another tuning, capo or key, or leave them out of the set")
    assert not hasattr(none.value, "bar")  # none of its bars is the reason for all of them
    with pytest.raises(Unfulfillable, match=r"Gate Left Open cannot be first, .* Raffle Tickets"):
        make_set(set_of(tmp_path, *lines, ("door", (D_A_D,), ""), first=0))


def test_no_time_to_see_what_would_do_leaves_the_refusal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def late(*_: object) -> int:
        raise OutOfTime("there was no time to see what can be")

    monkeypatch.setattr(sets, "least_in_a_row", late)
    lines = [(name, (D_A_D,), "") for name in ("gate", "door")]
    with pytest.raises(Unfulfillable, match=r"no order .* there was no time to see what"):
        make_set(set_of(tmp_path, *lines, in_a_row=1, arranged=False))


def test_a_tune_that_takes_more_than_its_share_of_time_is_told_with_that_share(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def late(*_: object) -> None:
        raise OutOfTime("no time")

    monkeypatch.setattr(set_ways, "_arranged", late)
    asked = set_of(tmp_path, ("gate", (D_A_D,), ""), ("door", (D_A_D,), ""))
    with pytest.raises(OutOfTime, match=r"^50 s, a share of 100 s, were not enough .* 1 of 2\)"):
        make_set(asked, Watch(seconds=100))


def test_no_time_and_stopped(tmp_path: Path) -> None:
    asked = set_of(tmp_path, ("gate", (D_A_D,), ""), ("door", (D_A_D,), ""))
    with pytest.raises(OutOfTime):
        make_set(asked, Watch(seconds=0))
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        make_set(asked, watch)
