"""MusicXML of arrangements by chance: valid, and read back without loss.

Oracles: the published schema of MusicXML 4.0; this project's own reader for the staff part; a plain
walk of the tab part's tree, which shares nothing with the writer.
"""

from hypothesis import HealthCheck, given, settings

from solver.result import Arrangement
from tests.tune.musicxml_score import valid
from tests.undersong.arranged import arrangements
from tests.undersong.sheet.read_back import same_staff, same_tab
from undersong.sheet.musicxml import to_musicxml


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(arrangements())
def test_whatever_is_played_is_valid_and_read_back(made: Arrangement) -> None:
    document = to_musicxml(made).encode()
    valid(document)
    tune = same_staff(document, made)
    same_tab(document, made, tune)
    assert to_musicxml(made).encode() == document
