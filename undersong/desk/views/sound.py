"""When the bars of a recording begin, so that the page can follow it.

Public: sound_view.
"""

from typing import Any

from solver.result import Arrangement
from undersong.compared import printed_bars
from undersong.sound.sound_options import SoundOptions
from undersong.sound.starts import bar_starts


def sound_view(arrangement: Arrangement, options: SoundOptions) -> dict[str, Any]:
    """Seconds from the recording's beginning."""
    starts = bar_starts(arrangement, options)
    return {
        "seconds": starts.seconds,
        "begins": starts.begins,
        "bars": [
            {
                "played": number,
                "number": printed_bars(arrangement.tune, (number,)),
                "seconds": seconds,
            }
            for number, seconds in starts.bars
        ],
    }
