"""How soon the command line answers.

Each run is a process of its own, started as a player starts it. Bytecode is kept between runs, as
on a player's machine; one run to warm up is told apart, since the first after installing reads
everything from disk. The targets are the project's own: the help within 0.1 s, the README's first
command (32 bars as played) within 1.5 s, and the search the smaller part of it.
"""

import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

from benchmarks.rows import Row

TUNE = "harrow-lane"
HELP_RUNS = 15
TUNE_RUNS = 7
HELP_SECONDS = 0.1
TUNE_SECONDS = 1.5
SEARCH_SHARE = 0.5
_SEARCHED = re.compile(r"searched for ([0-9.]+) s")


def run() -> list[Row]:
    command = _command()
    bare = tuple(_timed(sys.executable, "-c", "pass")[0] for _ in range(HELP_RUNS))
    first_help, _ = _timed(*command, "--help")
    helps = tuple(_timed(*command, "--help")[0] for _ in range(HELP_RUNS))
    first_tune, _ = _timed(*command, "arrange", TUNE)
    tunes = [_timed(*command, "arrange", TUNE) for _ in range(TUNE_RUNS)]
    searches = [_searched(told) for _, told in tunes]
    shares = tuple(search / whole for search, (whole, _) in zip(searches, tunes, strict=True))
    return [
        Row("Python alone", bare, "s"),
        Row("--help, first", (first_help,), "s"),
        Row("--help", helps, "s", HELP_SECONDS),
        Row(f"arrange {TUNE}, first", (first_tune,), "s"),
        Row(f"arrange {TUNE}", tuple(whole for whole, _ in tunes), "s", TUNE_SECONDS),
        Row("  of it the search", tuple(searches), "s"),
        Row("  the search's share", shares, "", SEARCH_SHARE),
    ]


def _command() -> tuple[str, ...]:
    """The installed script, or else the module."""
    script = shutil.which("undersong", path=str(Path(sys.executable).parent))
    return (script,) if script else (sys.executable, "-m", "undersong")


def _timed(*command: str) -> tuple[float, str]:
    """Seconds that the command took, and what it said on stderr."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    begun = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=True)
    return time.perf_counter() - begun, done.stderr


def _searched(told: str) -> float:
    found = _SEARCHED.search(told)
    if found is None:
        raise ValueError(f"the command did not say how long it searched: {told!r}")
    return float(found.group(1))
