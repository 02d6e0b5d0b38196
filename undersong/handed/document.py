"""The report on a tab as a JSON document for programs; its schema is ``report.schema.json`` beside
this module. Whole numbers, ms and percent; frets by their numbers as the tab writes them.

Public: report_json, report_schema, FORMAT, VERSION.
"""

from dataclasses import asdict
from typing import Any

from undersong.handed.checking import Checked
from undersong.handed.finding import Finding
from undersong.handed.mending import Change
from undersong.handed.rated import in_time_at, too_fast
from undersong.handed.times import time_of
from undersong.handed.unmended import hints, put_in
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

FORMAT = "undersong tab report"
VERSION = 1


def report_json(checked: Checked) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    return laid_out(_document(checked)) + "\n"


def report_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.handed", "report.schema.json")


def _document(checked: Checked) -> dict[str, Any]:
    tab, tune = checked.tab, checked.subject.tune
    times = time_of(tune)
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": tune.title,
        "sound": checked.sound,
        "in_time": checked.in_time if checked.rating is not None else None,
        "tab": {
            "form": tab.form,
            "bars": len(tab.bars) if tab.barred else None,
            "melody_first": tab.turned,
            "six_plus_is_7": tab.numbering.seven_is_six_plus,
            "from_capo": bool(tab.numbering.capo),
        },
        "missing_bars": [tune.bars[index].number for index in checked.missing],
        "missing_times": [
            {"bar": tune.bars[tune.played[number - 1].written].number, "time": times[number]}
            for number in checked.times_missing
        ],
        "warnings": list(checked.warnings),
        "findings": [_finding(finding) for finding in checked.findings],
        "columns_left_out": checked.missed,
        "mend": _mend(checked),
        "unknown": checked.why,
        "cost": _cost(checked),
        "difficulty": _difficulty(checked),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "bar_of_tab": finding.bar + 1 if finding.bar >= 0 else None,
        "where": finding.where,
        "line": finding.line or None,
        "column": finding.column or None,
        "kind": finding.kind,
        "fault": finding.fault,
        "words": finding.words,
        "again": [
            {"bar_of_tab": one.bar + 1, "line": one.line or None, "column": one.column or None}
            for one in finding.again[1:]
        ],
    }


def _mend(checked: Checked) -> dict[str, Any] | None:
    if checked.nearest is None:
        return None
    return {
        "manner": checked.manner,
        "proof": asdict(checked.nearest.proof),
        "changes": [_change(checked, change) for change in checked.changes],
        "more_for_the_manner": checked.asides,
        "put_in": [
            {
                "where": one.where,
                "string": one.course,
                "fret": _fret(checked, one.fret),
            }
            for one in put_in(checked)
        ],
        "besides": [
            {
                "where": hint.where,
                "string": hint.course,
                "old": _fret(checked, hint.old),
                "new": [_fret(checked, fret) for fret in hint.frets],
            }
            for hint in hints(checked)
        ],
    }


def _change(checked: Checked, change: Change) -> dict[str, Any]:
    return {
        "bar_of_tab": change.bar + 1,
        "where": change.where,
        "line": change.line,
        "column": change.column,
        "string": change.course,
        "old": _fret(checked, change.old),
        "new": _fret(checked, change.new),
        "times": change.times,
        "times_through": list(change.turns),
        "wish": change.wish,
        "why": change.why or None,
    }


def _fret(checked: Checked, fret: int) -> str | None:
    return None if fret < 0 else checked.subject.label(fret)


def _cost(checked: Checked) -> dict[str, Any] | None:
    if checked.nearest is None or checked.best is None:
        return None
    return {"mended": checked.nearest.cost, "best": checked.best.cost}


def _difficulty(checked: Checked) -> dict[str, Any] | None:
    rating = checked.rating
    if rating is None:
        return None
    late = too_fast(rating)
    return {
        "hardest": rating.hardest,
        "hardest_bar": rating.hardest_bar.bar,
        "median": rating.median,
        "too_fast": [bar.bar for bar in late],
        "in_time_at": in_time_at(checked) if late else checked.subject.tune.tempo.per_minute,
    }
