"""A tune as it was read, before it is arranged.

Public: read_view.
"""

from contextlib import suppress
from typing import Any

from tune.errors import TuneError
from tune.melody import sung
from tune.readers.chart import write_chart
from tune.tune import Tune
from undersong.sheet.text_bar import tempo_words


def read_view(tune: Tune) -> dict[str, Any]:
    """chart: its chords as a chart to edit, None where it has none or no chart can say them."""
    chart = None
    if tune.has_chords:
        with suppress(TuneError):
            chart = write_chart(tune)
    return {
        "title": tune.title,
        "composer": tune.composer,
        "key": str(tune.key),
        "metre": str(tune.metre),
        "tempo": tempo_words(tune.tempo),
        "bars": len([bar for bar in tune.bars if bar.number]),
        "has_chords": tune.has_chords,
        "has_melody": bool(sung(tune)),
        "notices": list(tune.notices),
        "chart": chart,
    }
