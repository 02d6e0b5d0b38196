"""A chart that has another pickup than the tune that its chords are to be laid over.

Public: refuse_other_pickup.
"""

from tune.bar_names import PICKUP
from tune.errors import TuneError
from tune.readers.chart.fields import length_text
from tune.tune import Tune


def refuse_other_pickup(tune: Tune, chart: Tune) -> None:
    """Raises TuneError, with the line to write or to take away, where one has a pickup and the
    other none, or one of another length; nothing where neither has one or both the same."""
    ours, theirs = _pickup(tune), _pickup(chart)
    if ours == theirs:
        return
    line = f"'pickup: {ours}'"
    if not theirs:
        raise TuneError(
            f"the tune has a pickup of {ours}, which the chart lacks; write the line {line} before "
            "the chart's first bar; a chord may follow the length"
        )
    if not ours:
        raise TuneError(
            f"the chart has a pickup of {theirs}, which the tune lacks; take away its line "
            f"'pickup: {theirs}', or its short first bar"
        )
    raise TuneError(
        f"the tune's pickup lasts {ours} and the chart's {theirs}; write the chart's as {line}"
    )


def _pickup(tune: Tune) -> str:
    """Its length as charts write it; empty where there is none."""
    first = tune.bars[0]
    return length_text(first.length) if first.number == PICKUP else ""
