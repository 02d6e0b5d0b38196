"""Runs the command line, in this process or as one of its own.

Public: Ended, run, spawn, snapshot.
"""

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner

from undersong.cli import group


@dataclass(frozen=True)
class Ended:
    """How a command ended: exit code, and what it wrote."""

    code: int
    out: str
    told: str

    @property
    def lines(self) -> list[str]:
        """The lines on stderr that are not a reader's notes."""
        lines = self.told.splitlines()
        return [line for line in lines if not line.startswith("undersong: note: ")]


def run(*arguments: str, stdin: str | bytes | None = None) -> Ended:
    """In this process; an exception that the command line did not expect is raised."""
    done = CliRunner().invoke(group, list(arguments), input=stdin)
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return Ended(done.exit_code, done.stdout, done.stderr)


def spawn(*arguments: str, stdin: str = "", cwd: Path | None = None, **environment: str) -> Ended:
    """As a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "undersong", *arguments],
        input=stdin,
        capture_output=True,
        text=True,
        cwd=cwd,
        env=surroundings(**environment),
        timeout=120,
        check=False,
    )
    return Ended(done.returncode, done.stdout, done.stderr)


def surroundings(**environment: str) -> dict[str, str]:
    """The environment of a process that finds this checkout from any folder."""
    root = str(Path(__file__).parents[2])
    return {**os.environ, "PYTHONPATH": root, **environment}


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file under the folder with what is in it."""
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }
