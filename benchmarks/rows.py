"""What a benchmark gives: rows of measurements, some with a target.

Public: Row, show, machine, held_mib.
"""

import os
import platform
import resource
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median


@dataclass(frozen=True)
class Row:
    """name; values: one a run, in ``unit``; target: what their median may not exceed, None for a
    figure that is only told; note: a word more, printed behind."""

    name: str
    values: tuple[float, ...]
    unit: str
    target: float | None = None
    note: str = ""

    @property
    def middle(self) -> float:
        return median(self.values)

    @property
    def met(self) -> bool:
        return self.target is None or self.middle <= self.target


def show(rows: Sequence[Row]) -> None:
    """The machine, then a line a row: runs, least, median, most, target, and whether it is met."""
    print(machine())
    wide = max(len(row.name) for row in rows)
    head = f"{'runs':>5} {'min':>8} {'median':>8} {'max':>8} {'target':>8}"
    print(f"{'':{wide}} {head}")
    for row in rows:
        target = "" if row.target is None else f"{row.target:.3f}"
        verdict = "" if row.target is None else "  met" if row.met else "  MISSED"
        verdict += f"  ({row.note})" if row.note else ""
        print(
            f"{row.name:{wide}} {len(row.values):5} {_shown(min(row.values))} "
            f"{_shown(row.middle)} {_shown(max(row.values))} {target:>8} {row.unit}{verdict}"
        )


def _shown(value: float) -> str:
    """A whole number as it is, any other with three places."""
    return f"{value:8}" if isinstance(value, int) else f"{value:8.3f}"


def held_mib() -> float:
    """MiB that this process has held at most."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def machine() -> str:
    """The machine that the figures belong to."""
    name = platform.machine()
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        lines = []
    for line in lines:
        if line.startswith("model name"):
            name = line.partition(":")[2].strip()
            break
    return (
        f"Python {platform.python_version()}, {platform.system()}, {name}, "
        f"{os.cpu_count()} cores, load {_load()}"
    )


def _load() -> str:
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "unknown"
