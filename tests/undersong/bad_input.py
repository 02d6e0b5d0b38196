"""What a row of the bad-input table is, and a good tune to go wrong with.

Public: Bad, GOOD_ABC, GOOD_CHART, musicxml.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

GOOD_ABC = """X:1
T:Gate Left Open
M:4/4
L:1/4
Q:1/4=96
K:D
"D"D F A F|"G"G B "A7"A2|"D"d4|]
"""
GOOD_CHART = "title: Gate Left Open\nkey: D\nmetre: 4/4\n| D | G A7 | D |\n"


@dataclass(frozen=True)
class Bad:
    """arguments: after ``undersong``; says: phrases that the one line on stderr must have; files:
    name → content, laid in the folder first; stdin: what is piped in."""

    name: str
    arguments: tuple[str, ...]
    says: tuple[str, ...]
    files: Mapping[str, str | bytes] = field(default_factory=dict)
    stdin: str | bytes | None = None


def musicxml(measures: str, title: str = "Gate Left Open") -> str:
    """A whole MusicXML file with those measures in its one part."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<score-partwise version="4.0">\n'
        f"<work><work-title>{title}</work-title></work>\n"
        '<part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list>\n'
        f'<part id="P1">\n{measures}\n</part>\n</score-partwise>\n'
    )
