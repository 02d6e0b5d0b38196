"""The README keeps its word: its page is what the program prints, its links lead somewhere."""

import re
from pathlib import Path

import undersong

README = Path(__file__).parent.parent / "README.md"


def test_the_page_shown_is_the_page_printed() -> None:
    from undersong.sheet.text import text_tab

    alike = undersong.Conditions(alike=undersong.Alike("repeats"))
    page = text_tab(undersong.arrange("kettle-on-at-nine", conditions=alike))
    shown = re.search(r"```text\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert shown is not None
    assert shown.group(1) == page


def test_it_opens_with_the_job_and_two_commands_of_one_line() -> None:
    text = README.read_text(encoding="utf-8")
    assert text.startswith("# Undersong\n\nUndersong is for players")
    commands = re.findall(r"^python3 -m venv \.venv && .*$", text, re.MULTILINE)
    assert len(commands) == 2
    assert "undersong arrange" in commands[0]
    assert "scripts/check" in commands[1]


def test_files_it_names_exist() -> None:
    text = README.read_text(encoding="utf-8")
    named = re.findall(r"`([\w/-]+(?:\.schema)?\.(?:md|json))`", text)
    assert "DEVELOPERS.md" in named
    for name in named:
        assert name in ("tune.json", "summary.json") or (README.parent / name).is_file(), name
