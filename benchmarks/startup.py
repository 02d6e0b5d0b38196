"""How soon the command line answers.

Each run is a process of its own, started as a player starts it. Bytecode is kept between runs, as
on a player's machine; one run to warm up is told apart, since the first after installing reads
everything from disk. Processor seconds stand beside the clock's, because a busy machine stretches
only the latter. The targets are the project's own: the help within 0.1 s, the README's first
command (32 bars as played) within 1.5 s, and the search the smaller part of it.
"""

import os
import re
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from benchmarks.rows import Row

TUNE = "harrow-lane"
HELP_RUNS = 15
TUNE_RUNS = 7
HELP_SECONDS = 0.1
TUNE_SECONDS = 1.5
SEARCH_SHARE = 0.5
_SEARCHED = re.compile(r"searched for ([0-9.]+) s")


@dataclass(frozen=True)
class Run:
    """One process: seconds by the clock and of processor time, and what it said on stderr."""

    clock: float
    processor: float
    told: str

    @property
    def searched(self) -> float:
        """The seconds that the command says it searched for."""
        found = _SEARCHED.search(self.told)
        if found is None:
            raise ValueError(f"the command did not say how long it searched: {self.told!r}")
        return float(found.group(1))


def run() -> list[Row]:
    command = _command()
    bare = [_timed(sys.executable, "-c", "pass") for _ in range(HELP_RUNS)]
    first_help = _timed(*command, "--help")
    helps = [_timed(*command, "--help") for _ in range(HELP_RUNS)]
    first_tune = _timed(*command, "arrange", TUNE)
    tunes = [_timed(*command, "arrange", TUNE) for _ in range(TUNE_RUNS)]
    return [
        Row("Python alone", tuple(each.clock for each in bare), "s"),
        Row("--help, first", (first_help.clock,), "s"),
        Row("--help", tuple(each.clock for each in helps), "s", HELP_SECONDS),
        Row("  processor time", tuple(each.processor for each in helps), "s"),
        Row(f"arrange {TUNE}, first", (first_tune.clock,), "s"),
        Row(f"arrange {TUNE}", tuple(each.clock for each in tunes), "s", TUNE_SECONDS),
        Row("  processor time", tuple(each.processor for each in tunes), "s"),
        Row("  of it the search", tuple(each.searched for each in tunes), "s"),
        Row(
            "  the search's share",
            tuple(each.searched / each.clock for each in tunes),
            "",
            SEARCH_SHARE,
        ),
    ]


def _command() -> tuple[str, ...]:
    """The installed script, or else the module."""
    script = shutil.which("undersong", path=str(Path(sys.executable).parent))
    return (script,) if script else (sys.executable, "-m", "undersong")


def _timed(*command: str) -> Run:
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = os.times()
    begun = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=True)
    clock = time.perf_counter() - begun
    after = os.times()
    user = after.children_user - before.children_user
    system = after.children_system - before.children_system
    return Run(clock, user + system, done.stderr)
