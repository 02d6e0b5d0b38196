"""Measuring in a process of its own, as a player's command is one.

Public: alone, told, load, both, Answered.
"""

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from importlib import import_module
from typing import Any


@dataclass(frozen=True)
class Answered:
    """Seconds that something took in a process that had loaded everything and solved nothing, and
    of the same once more."""

    first: float
    again: float


def alone(module: str, call: str) -> dict[str, Any]:
    """The fields of what ``call`` gives, a call of that benchmark's function, written as Python."""
    code = f"from benchmarks import alone, {module}; alone.told({module}.{call})"
    done = subprocess.run(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, check=True
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def told(found: Any) -> None:
    """For the process that asked; found: a dataclass of plain values."""
    print(json.dumps(asdict(found)))


def load() -> None:
    """What a search loads where it first wants it, so that it is no part of what is told."""
    for module in ("solver.proof", "undersong.check", "undersong.levels"):
        import_module(module)


def both(work: Callable[[], object], clock: Callable[[], float]) -> Answered:
    """Twice in this process, by the seconds of ``clock``."""
    load()
    seconds = []
    for _ in range(2):
        begun = clock()
        work()
        seconds.append(clock() - begun)
    return Answered(*seconds)
