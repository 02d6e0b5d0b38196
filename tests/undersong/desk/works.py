"""Works for tests."""

from dataclasses import replace
from typing import Any

from undersong.desk.work import Settings, Source, Work

CHART = """title: Two Chairs by the Stove
key: D
metre: 4/4
tempo: 100

| D | G | A | D |
"""


def work(chart: str = CHART, **settings: Any) -> Work:
    """A short tune with those settings."""
    return Work(Source(chart=chart), settings=replace(Settings(), **settings))
