"""The desk's routes, asked as its page asks them."""

import base64
import io
import json
import wave
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import undersong
from tests.undersong.desk.asking import TOKEN, Asking
from tests.undersong.desk.works import CHART, work
from undersong.desk.work import Source, Work, work_out
from undersong.sheet.write import FORMATS


@pytest.fixture(scope="module")
def asking(tmp_path_factory: pytest.TempPathFactory) -> Asking:
    return Asking(tmp_path_factory.mktemp("kept"))


@pytest.fixture(scope="module")
def answer(asking: Asking) -> Iterator[Any]:
    return asking.arranged(work())


def test_the_page_has_its_token(asking: Asking) -> None:
    page = asking.get("/")
    assert page.headers["content-type"].startswith("text/html")
    assert f'content="{TOKEN}"' in page.text
    assert "{{" not in page.text


def test_the_pages_parts_are_given_out_and_nothing_else(asking: Asking) -> None:
    given = ["/page/js/main.js", "/page/desk.css"]
    not_given = ["/page/index.html", "/page/../app.py", "/page/%2e%2e/app.py", "/page//etc/passwd",
                 "/page/js", "/page/", "/secret"]  # fmt: skip
    answers = asking.all(*(("GET", path, None) for path in given + not_given))
    assert [one.status_code for one in answers] == [200] * 2 + [404] * len(not_given)
    assert answers[0].headers["content-type"].startswith("text/javascript")
    assert answers[1].headers["content-type"].startswith("text/css")


def test_an_answer_is_what_the_command_line_gives(asking: Asking, answer: Any) -> None:
    there = undersong.from_json(answer["document"])
    assert undersong.verify(there) == ()
    tune = there.tune
    assert there == undersong.arrange(tune)
    assert answer["summary"]["cost"] == there.cost


def test_every_played_bar_is_drawn_and_read(answer: Any) -> None:
    there = undersong.from_json(answer["document"])
    played = sorted(number for bar in answer["page"]["bars"] for number in bar["played"])
    assert played == [bar.number for bar in there.tune.played]
    assert [row["played"] for row in answer["reading"]] == played


def test_the_tab_is_read_as_a_teacher_would_say_it(asking: Asking) -> None:
    """A drone played with a noter: one fret on the melody string, the others open."""
    tune = "X:1\nT:Stove\nM:4/4\nL:1/4\nK:D\nD F A2|\n"
    noted = Source(name="stove.abc", data=tune.encode())
    asked = replace(work(texture="drone", chords="drone", hand="noter"), tune=noted)
    words = asking.arranged(asked)["reading"][0]["words"]
    assert "the melody string at fret 2 (noter)" in words
    assert "the bass string open" in words
    assert "strike" not in words


def test_all_five_fingers_cannot_rest(asking: Asking) -> None:
    asked = {"work": work_out(work(without_fingers=tuple("TIMRP"))), "before": None,
             "seconds": 60, "width": 190}  # fmt: skip
    refused = asking.last("/arrange", asked)["refused"]
    assert (refused["field"], "some finger" in refused["sentence"]) == ("without_fingers", True)


def test_what_is_asked_in_vain_is_mended(asking: Asking) -> None:
    """A pin on a note that no chord of the bar has; each mend's patch does mend it."""
    impossible = replace(work(), pins=("2: bass note C#",))
    asked = {"work": work_out(impossible), "before": None, "seconds": 60, "width": 190}
    cannot = asking.last("/arrange", asked)["cannot"]
    assert cannot["sentence"]
    patches = [mend["patch"] for mend in cannot["mends"] if mend["patch"]]
    assert {"pins": []} in patches


def test_of_pins_that_clash_each_can_be_dropped(asking: Asking, answer: Any) -> None:
    """Whatever else clashes, the pins that she set are offered first, and soon."""
    asked = {"document": answer["document"], "played": 2}
    kept = asking.last("/why", asked)["why"]["pin_here"]
    finger = answer["reading"][1]["words"]
    assert "thumb" in finger or "index" in finger
    letter = "T" if "thumb" in finger else "I"
    both = replace(work(), pins=tuple(kept), forbids=(f"2: finger {letter}",))
    last = asking.last(
        "/arrange", {"work": work_out(both), "before": None, "seconds": 60, "width": 190}
    )
    patches = [mend["patch"] for mend in last["cannot"]["mends"]]
    assert {"pins": []} in patches
    assert {"forbids": []} in patches


def test_a_refusal_names_field_line_and_column(asking: Asking) -> None:
    bad = replace(work(), tune=Source(chart=CHART.replace("G", "Hm")))
    asked = {"work": work_out(bad), "before": None, "seconds": 60, "width": 190}
    refused = asking.last("/arrange", asked)["refused"]
    assert (refused["field"], refused["line"]) == ("tune", 6)


def test_strings_that_are_too_high_are_told(asking: Asking, answer: Any) -> None:
    """Standard strings on a baritone are a fourth too high."""
    assert answer["notices"] == []
    tuned = work(instrument="baritone", tuning="D3 A3 D4")
    told = asking.arranged(tuned)["notices"]
    assert len(told) == 1
    assert "may break" in told[0]
    assert "--" not in told[0]


def test_what_changed_is_told(asking: Asking, answer: Any) -> None:
    other = replace(work(), pins=("2: bass role fifth",), weights=(("high-bass", 60),))
    asked = {"work": work_out(other), "before": answer["document"], "seconds": 60, "width": 190}
    changed = asking.last("/arrange", asked)
    if "answer" in changed:
        assert changed["answer"]["changes"]


def test_a_bar_is_explained(asking: Asking, answer: Any) -> None:
    asked = {"document": answer["document"], "played": 2}
    why = asking.last("/why", asked)["why"]
    there = undersong.from_json(answer["document"])
    assert why["cost"] == undersong.explain_bar(there, 2, more=0).cost
    assert why["moments"]


def test_prices_of_what_is_asked(asking: Asking) -> None:
    pinned = asking.arranged(replace(work(alike="bars"), forbids=("all: finger P",)))
    prices = asking.last("/prices", {"document": pinned["document"]})["prices"]
    assert len(prices) == 2
    assert all("without it" in price for price in prices)


def test_other_ways_are_compared(asking: Asking) -> None:
    asked = {"work": work_out(work()), "count": 3}
    others = asking.last("/others", asked)["others"]
    documents = [one["answer"]["document"] for one in others]
    compared = asking.last(
        "/compare", {"documents": documents, "names": [one["name"] for one in others]}
    )["compare"]
    costs = [total["cost"] for total in compared["totals"]]
    assert costs == sorted(costs)
    assert any(row["differs"] for row in compared["rows"])


def test_a_tune_of_two_bars_has_other_ways_too(asking: Asking) -> None:
    short = work(CHART.replace("| D | G | A | D |", "| D | G |"))
    others = asking.last("/others", {"work": work_out(short), "count": 2})["others"]
    assert [one["name"] for one in others] == ["the best", "way 2"]


def test_levels_are_nested(asking: Asking) -> None:
    levels = asking.last("/levels", {"work": work_out(work())})["levels"]
    assert len(levels["versions"]) == 5
    met = [one["answer"]["summary"]["hardest"] for one in levels["versions"] if one["answer"]]
    assert met == sorted(met)
    assert met


def test_levels_leave_kept_bars_out_and_say_so(asking: Asking, answer: Any) -> None:
    asked = {"document": answer["document"], "played": 2}
    kept = asking.last("/why", asked)["why"]["pin_here"]
    levels = asking.last("/levels", {"work": work_out(replace(work(), pins=tuple(kept)))})["levels"]
    assert any(one["answer"] for one in levels["versions"])
    assert "not kept in the levels" in levels["verdict"]


def sound(document: str, **asked: Any) -> dict[str, Any]:
    usual = {"percent": 100, "count_in": 0, "only_bass": False, "without_bass": False,
             "damped": False, "suffix": ".wav"}  # fmt: skip
    return {"document": document, **usual, **asked}


def test_sound_lasts_as_long_as_its_bars_say(asking: Asking, answer: Any) -> None:
    """Four bars of four beats at 100 a minute are 9.6 s; at half the tempo twice that."""
    for percent, begins in ((100, 0.0), (50, 0.0), (100, 2.4)):
        asked = sound(answer["document"], percent=percent, count_in=1 if begins else 0)
        heard, bars = asking.all(("POST", "/sound", asked), ("POST", "/sound/bars", asked))
        told = bars.json()
        with wave.open(io.BytesIO(heard.content)) as file:
            lasts = file.getnframes() / file.getframerate()
        assert told["begins"] == pytest.approx(begins)
        assert told["seconds"] == pytest.approx(lasts, abs=0.05)
        second = told["bars"][1]["seconds"] - told["bars"][0]["seconds"]
        assert second == pytest.approx(2.4 * 100 / percent)


@pytest.mark.parametrize("suffix", sorted(FORMATS))
def test_every_format_can_be_kept(asking: Asking, answer: Any, suffix: str) -> None:
    asked = {"document": answer["document"], "suffix": suffix, "paper": "a4", "landscape": False,
             "large": False, "contrast": False, "what": "page"}  # fmt: skip
    file = asking.post("/file", asked)
    assert file.status_code == 200
    assert file.headers["content-disposition"].endswith(f'"two-chairs-by-the-stove{suffix}"')
    if suffix == ".json":
        assert file.text == answer["document"]
    assert len(file.content) > 100


@pytest.mark.parametrize(
    ("what", "suffix", "status"),
    [("shapes", ".pdf", 200), ("shapes", ".txt", 400), ("practice", ".pdf", 200),
     ("practice", ".txt", 200), ("practice", ".mid", 400), ("song", ".pdf", 400)],
)  # fmt: skip
def test_shapes_and_practice(
    asking: Asking, answer: Any, what: str, suffix: str, status: int
) -> None:
    asked = {"document": answer["document"], "suffix": suffix, "paper": "letter",
             "landscape": False, "large": True, "contrast": True, "what": what}  # fmt: skip
    assert asking.post("/file", asked).status_code == status


def test_the_handout_prints_the_levels_that_were_made(asking: Asking) -> None:
    asked = {"work": work_out(work()), "paper": "a4", "large": False}
    early, _, late = asking.all(
        ("POST", "/handout", asked),
        ("POST", "/levels", {"work": asked["work"]}),
        ("POST", "/handout", asked),
    )
    assert early.status_code == 409
    assert late.content.startswith(b"%PDF")


def test_works_are_kept_listed_and_taken_up(asking: Asking, answer: Any) -> None:
    saved = {"format": "undersong desk", "version": 1, "work": work_out(work()),
             "answer": answer["document"]}  # fmt: skip
    kept, listed = asking.all(("POST", "/kept", saved), ("GET", "/kept", None))
    name = kept.json()["name"]
    assert listed.json()["kept"][0]["name"] == name
    assert asking.get(f"/kept/{name}").json() == saved
    opened = asking.post("/open", saved).json()
    assert opened["work"] == saved["work"]
    assert opened["answer"]["document"] == answer["document"]
    bare = asking.post("/open", json.loads(answer["document"])).json()
    assert bare["work"]["settings"] == saved["work"]["settings"]
    assert "Two Chairs by the Stove" in bare["work"]["tune"]["written"]
    assert bare["answer"]["summary"] == opened["answer"]["summary"]


def test_a_file_of_hers_is_read(asking: Asking) -> None:
    abc = 'X:1\nT:Stove\nM:4/4\nL:1/4\nK:D\n"D"d f a f|"G"g b g e|"A"a a e e|"D"d4|\n'
    tune = {"name": "stove.abc", "base64": base64.b64encode(abc.encode()).decode()}
    read = asking.post("/read", {"tune": tune, "choose": None}).json()
    assert (read["title"], read["bars"]) == ("Stove", 4)
    assert read["has_chords"]
    assert read["has_melody"]


def test_a_file_of_several_tunes_asks_which(asking: Asking) -> None:
    abc = "X:1\nT:One\nM:4/4\nL:1/4\nK:D\nd a f a|\n\nX:2\nT:Two\nM:3/4\nL:1/4\nK:D\nd a f|\n"
    tune = {"name": "both.abc", "base64": base64.b64encode(abc.encode()).decode()}
    none, wrong, two = asking.all(
        *(("POST", "/read", {"tune": tune, "choose": choose}) for choose in (None, "3", "2"))
    )
    for refused in (none.json()["refused"], wrong.json()["refused"]):
        assert refused["field"] == "choose"
        assert "1 One, 2 Two" in refused["sentence"]
    assert (two.json()["title"], two.json()["metre"]) == ("Two", "3/4")


def test_what_is_refused_names_no_option_of_a_command(asking: Asking) -> None:
    abc = "X:1\nT:Bare\nM:4/4\nL:1/4\nK:D\nd a f a|\n"
    bare = Work(Source(name="bare.abc", data=abc.encode()))
    asked = {"work": work_out(bare), "before": None, "seconds": 60, "width": 190}
    refused = asking.last("/arrange", asked)["refused"]
    assert "Bare has no chords" in refused["sentence"]
    assert "under Chords" in refused["sentence"]
    assert "--" not in refused["sentence"]


def test_a_metre_without_a_pattern_names_none_either(asking: Asking) -> None:
    five = Work(Source(name="five.chart", data=b"title: Five\nkey: D\nmetre: 5/4\n| D | A7 |\n"))
    asked = {"work": work_out(five), "before": None, "seconds": 60, "width": 190}
    refused = asking.last("/arrange", asked)["refused"]
    assert "no pattern for 5/4" in refused["sentence"]
    assert refused["sentence"].endswith("; a drone needs none")


@pytest.mark.parametrize(
    ("body", "status"),
    [(b"", 400), (b"{", 400), (b"[]", 400), (b"\xff", 400), (b"[" * 100_000, 400), (b"null", 400)],
)
def test_bodies_that_are_nothing_are_refused(asking: Asking, body: bytes, status: int) -> None:
    paths = ["/read", "/open", "/kept", "/arrange", "/why", "/others", "/levels", "/compare",
             "/sound", "/sound/bars", "/file", "/handout", "/prices"]  # fmt: skip
    for path, found in zip(paths, asking.all(*(("POST", p, body) for p in paths)), strict=True):
        assert found.status_code == status, (path, found.text)
        assert found.json()["refused"]["sentence"]


def test_only_get_and_post(asking: Asking) -> None:
    for method in ("PUT", "DELETE", "PATCH"):
        assert asking.all((method, "/read", {}))[0].status_code == 405


def test_the_folder_of_the_desk_is_never_told(asking: Asking, tmp_path: Path) -> None:
    blocked = Asking(tmp_path / "file")
    (tmp_path / "file").write_text("")
    saved = {"format": "undersong desk", "version": 1, "work": work_out(work()), "answer": None}
    assert blocked.post("/kept", saved).status_code == 400


def test_an_empty_file_is_called_empty(asking: Asking) -> None:
    """As the command line says it; there is no chart in it to be written."""
    refused = asking.post("/read", {"tune": {"name": "empty.abc", "base64": ""}, "choose": None})
    assert refused.status_code == 400
    assert refused.json()["refused"]["sentence"].startswith("empty.abc: the file is empty")


def test_a_noter_with_a_song_is_told_what_the_page_has(asking: Asking) -> None:
    asked = {"work": work_out(work(hand="noter")), "before": None, "seconds": 60, "width": 190}
    last = asking.last("/arrange", asked)
    told = last["refused"]["sentence"] if "refused" in last else last["cannot"]["sentence"]
    assert "choose drone under Texture" in told
    assert "--" not in told


def test_a_tune_without_chords_is_told_what_the_page_has(asking: Asking) -> None:
    bare = Source(name="bare.abc", data=b"X:1\nT:Bare\nM:4/4\nL:1/4\nK:D\nD F A2|\n")
    asked = {"work": work_out(replace(work(), tune=bare)), "before": None, "seconds": 60,
             "width": 190}  # fmt: skip
    last = asking.last("/arrange", asked)
    told = last["refused"]["sentence"] if "refused" in last else last["cannot"]["sentence"]
    assert "choose proposed or drone under Chords" in told
    assert "--" not in told
