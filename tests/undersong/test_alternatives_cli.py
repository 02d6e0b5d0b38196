"""``undersong alternatives``: what it prints, what it writes, how it ends."""

import json
from pathlib import Path

import pytest

from solver.manners import MANNERS
from solver.style import manners_in
from solver.watch import OutOfTime, Standing, Watch
from tests.undersong.bad_input import GOOD_CHART
from tests.undersong.running import Ended, run, snapshot
from undersong.session import Session
from undersong.sheet.document import from_json

QUICK = ("--bass-ceiling", "5", "--highest", "4")


@pytest.fixture(autouse=True)
def _somewhere_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test runs in a folder of its own, with a tune in it."""
    monkeypatch.chdir(tmp_path)
    Path("gate.chart").write_text(GOOD_CHART, encoding="utf-8")


def several(*options: str, tune: str = "gate.chart", stdin: str | None = None) -> Ended:
    return run("alternatives", tune, *QUICK, *options, stdin=stdin)


def test_a_line_for_each_and_a_page_for_each() -> None:
    ended = several("--count", "3", "--within", "50%", "--differ", "2", "--to", "pages")
    assert ended.code == 0, ended.told
    lines = ended.out.splitlines()
    assert [line.split()[0] for line in lines] == ["work", "1", "2", "3"]
    assert "the best" in lines[1]
    assert all(" ms more" in line for line in lines[2:])
    work = [int(line.split()[1]) for line in lines[1:]]
    assert work == sorted(work)
    assert ended.out.isascii()
    assert "proven the best that differs" in ended.lines[-1]
    assert sorted(snapshot(Path("pages"))) == ["gate-1.txt", "gate-2.txt", "gate-3.txt"]
    best = run("arrange", "gate.chart", *QUICK).out
    assert Path("pages/gate-1.txt").read_text(encoding="utf-8") == best
    pages = set(snapshot(Path("pages")).values())
    assert len(pages) == 3, "each page is another"


def test_pages_of_several_kinds_hold_what_the_lines_say() -> None:
    wanted = ("--count", "2", "--within", "50", "--differ", "3", "--to", "here")
    ended = several(*wanted, "--as", "json", "--as", ".TXT")
    assert ended.code == 0, ended.told
    files = ["gate-1.json", "gate-1.txt", "gate-2.json", "gate-2.txt"]
    assert sorted(snapshot(Path("here"))) == files
    costs = []
    for line, name in zip(ended.out.splitlines()[1:], ("gate-1", "gate-2"), strict=True):
        text = Path(f"here/{name}.json").read_text(encoding="utf-8")
        arrangement = from_json(text)
        assert line.split()[1] == str(arrangement.asked_cost)
        costs.append(json.loads(text)["cost"]["total"])
    assert costs == sorted(costs)


def test_nothing_is_written_unless_asked() -> None:
    before = snapshot(Path())
    assert several("--count", "2").code == 0
    assert snapshot(Path()) == before


def test_a_folder_that_is_there_keeps_what_is_in_it() -> None:
    Path("pages").mkdir()
    Path("pages/mine.txt").write_text("mine", encoding="utf-8")
    Path("pages/gate-1.txt").write_text("old", encoding="utf-8")
    assert several("--count", "1", "--to", "pages").code == 0
    there = snapshot(Path("pages"))
    assert there["mine.txt"] == b"mine"
    assert b"Gate Left Open" in there["gate-1.txt"]


def test_a_tune_that_is_piped_in_is_named_by_its_title() -> None:
    ended = several("--form", "chart", "--count", "1", "--to", "x", tune="-", stdin=GOOD_CHART)
    assert ended.code == 0, ended.told
    assert list(snapshot(Path("x"))) == ["gate-left-open-1.txt"]


def test_it_says_why_there_are_no_more() -> None:
    ended = several("--count", "5", "--within", "0", "--differ", "3")
    assert ended.code == 0
    assert len(ended.out.splitlines()) == 2
    assert "beyond 0 %" in ended.lines[-1]
    kept = ("--pin", "all: bass 0, middle 0, melody 0", "--bass", "held")
    Path("one.chart").write_text(GOOD_CHART.replace("G A7", "D"), encoding="utf-8")
    only = several("--count", "2", "--differ", "3", "--within", "1000%", *kept, tune="one.chart")
    assert only.code == 0, only.told
    assert len(only.out.splitlines()) == 2
    assert "differs from" in only.lines[-1]
    assert "in 3 bars or more" in only.lines[-1]
    assert only.lines[-1].endswith("that is proven")


def test_by_idea_has_every_idea_once_with_its_price() -> None:
    ended = several("--by-idea", "--to", "pages", "--as", "json")
    assert ended.code == 0, ended.told
    lines = ended.out.splitlines()
    names = [line.split("  ")[0] for line in lines[1:]]
    manners = [
        f"bass {name}: {MANNERS[name][0]}" for name in manners_in("song") if name != "alternating"
    ]
    assert names[0] == "as asked"
    assert names[1 : 1 + len(manners)] == manners
    assert [name.split(":")[0] for name in names[1 + len(manners) :]] == [
        "lower", "higher", "no finger across strings", "no little finger",
    ]  # fmt: skip
    for line in lines[2:]:
        assert any(word in line for word in (" ms more", " ms less", "cannot be"))
    for file in Path("pages").iterdir():
        from_json(file.read_text(encoding="utf-8"))  # which checks it again
    assert Path("pages/gate-walking.json").exists()


def test_an_idea_with_the_same_hands_says_whose_they_are() -> None:
    """One chord a bar in 3/4, so root and fifth in turn is the root alone, as other manners are."""
    Path("lamps.chart").write_text(
        "title: Evening Lamps\nkey: Em\nmetre: 3/4\ntempo: 100\n| Em | G | D | Em |\n",
        encoding="utf-8",
    )
    ended = run("alternatives", "lamps.chart", "--capo", "1", "--by-idea")
    assert ended.code == 0, ended.told
    held = next(line for line in ended.out.splitlines() if line.startswith("bass held"))
    assert held.endswith("  the same hands as the best")
    assert "hands as as" not in ended.out


def test_an_idea_that_cannot_be_says_why_in_one_sentence() -> None:
    ended = several("--by-idea", "--pin", "1 beat 3: bass role fifth")
    assert ended.code == 0, ended.told
    roots = next(line for line in ended.out.splitlines() if line.startswith("bass roots"))
    assert "cannot be" in roots
    assert "bar 1, beat 3" in roots


def test_what_is_not_proven_is_told_by_the_exit_code(monkeypatch: pytest.MonkeyPatch) -> None:
    honest = Session.arrange

    def arrange(self: Session, *given: object, watch: Watch, **named: object) -> object:
        if named.get("apart"):
            watch.look(Standing("proving", 1, 1))
            raise OutOfTime("the time is up")
        return honest(self, *given, watch=watch, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Session, "arrange", arrange)
    ended = several("--count", "3", "--to", "pages")
    assert ended.code == 3
    assert list(snapshot(Path("pages"))) == ["gate-1.txt"]
    assert "no time" in ended.lines[-1]


def test_no_time_at_all_is_one_sentence() -> None:
    ended = several("--time-limit", "0.001", "--to", "pages")
    assert ended.code == 3
    assert len(ended.lines) == 1
    assert not Path("pages").exists()


def test_a_tune_that_cannot_be_played_is_an_answer() -> None:
    for options in ((), ("--by-idea",)):
        ended = several(*options, "--to", "pages", tune="the-vicars-piano")
        assert ended.code == 1
        assert "Eb" in ended.lines[-1]
        assert not Path("pages").exists()


BAD = {
    ("--count", "0"): ("--count", "1 to 50", "'0'"),
    ("--count", "51"): ("--count", "1 to 50"),
    ("--count", "five"): ("--count", "whole number"),
    ("--within", "-1%"): ("--within", "0 to 1000"),
    ("--within", "1001%"): ("--within", "0 to 1000"),
    ("--within", "a bit"): ("--within", "whole number of percent"),
    ("--within", "2.5%"): ("--within", "whole number of percent"),
    ("--differ", "0"): ("--differ", "bars"),
    ("--differ", "4"): ("--differ", "3 played bars", "1 to 3"),
    ("--differ", "all"): ("--differ", "whole number of bars"),
    ("--to", "gate.chart"): ("--to gate.chart", "a file", "folder"),
    ("--to", "no/such"): ("--to no/such", "no folder no", "make it first"),
    ("--to", " "): ("--to", "name a folder"),
    ("--to", "-"): ("--to", "name a folder", "standard output"),
    ("--to", "x" * 300): ("--to", "no folder can have that name"),
    ("--to", "pages", "--as", "midi"): ("--as", "'midi'", ".txt, "),
    ("--to", "pages", "--as", "txt", "--as", ".txt"): ("--as", "twice"),
    ("--as", "txt"): ("--as", "--to FOLDER"),
    ("--by-idea", "--count", "3"): ("--count", "--by-idea"),
    ("--by-idea", "--within", "3"): ("--within", "--by-idea"),
    ("--by-idea", "--differ", "3"): ("--differ", "--by-idea"),
    ("--bass", "waltzing"): ("--bass", "'waltzing'"),
    ("--width", "3"): ("--width", "40 to 400"),
    ("--pin", "99: 0-0-0"): ("bar 99",),
}


@pytest.mark.parametrize("options", BAD, ids=" ".join)
def test_bad_input_is_one_sentence(options: tuple[str, ...]) -> None:
    before = snapshot(Path())
    ended = several(*options)
    assert ended.code == 2, ended
    assert ended.out == ""
    assert len(ended.lines) == 1
    for phrase in BAD[options]:
        assert phrase in ended.lines[0]
    assert snapshot(Path()) == before
    assert not Path("pages").exists()
