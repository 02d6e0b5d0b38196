"""Where a chart's chords come from, and whether they still are what was proposed.

A chart that the program writes for proposed chords bears a mark that is reckoned from them. Read
back, the chords are proposed only while they agree with the mark; changed by hand they are edited.
How they are typed makes no difference (``D . . .``, ``D`` and a bar left as it was are alike). A
line that was typed without a mark is taken at its word. Likewise a drone is one only while nothing
but the tonic's open fifth sounds.

Public: origin_line, read_origin, origin_of.
"""

import re
import zlib
from collections.abc import Iterator, Sequence

from tune.chord import Chord
from tune.errors import TuneError
from tune.key import Key
from tune.readers.chart.fields import ORIGINS, short
from tune.tune import DRONE, EDITED, GIVEN, PROPOSED, Bar

_MARK = re.compile(r"(.*?)\s*,\s*mark\s+([0-9a-f]{8})", re.IGNORECASE)


def origin_line(origin: str, bars: Sequence[Bar]) -> str:
    """What stands after ``chords:`` for chords of that origin."""
    words = ORIGINS[origin]
    return f"{words}, mark {_mark(bars)}" if origin == PROPOSED else words


def origin_of(words: str, bars: Sequence[Bar], key: Key) -> str:
    """Where the chords of those bars come from, ``words`` being what the chart says of it; key: at
    the start. Raises TuneError as ``read_origin`` does."""
    origin, mark = read_origin(words)
    if origin == PROPOSED and mark and mark != _mark(bars):
        return EDITED
    if origin == DRONE and [chord for *_, chord in _changes(bars)] != [Chord(key.tonic, "5")]:
        return GIVEN
    return origin


def read_origin(words: str) -> tuple[str, str]:
    """The origin that the words claim and the mark after them, "" for none; TuneError for words
    that say nothing known."""
    marked = _MARK.fullmatch(words.strip())
    plain = " ".join((marked[1] if marked else words).lower().split())
    known = {name: origin for origin, said in ORIGINS.items() for name in (origin, said.lower())}
    if plain not in known:
        raise TuneError(
            f"chords are {', or '.join(ORIGINS.values())}, not {short(words)!r}; or take the line "
            "away"
        )
    return known[plain], marked[2].lower() if marked else ""


def _mark(bars: Sequence[Bar]) -> str:
    """Eight signs that other chords would hardly have: a checksum (CRC-32) of every change."""
    text = "\n".join(
        f"{index} {tick} {chord.symbol if chord else 'N.C.'}"
        for index, tick, chord in _changes(bars)
    )
    return f"{zlib.crc32(text.encode()):08x}"


def _changes(bars: Sequence[Bar]) -> Iterator[tuple[int, int, Chord | None]]:
    """(bar's index, tick, chord) wherever the chord becomes another, as written."""
    last: Chord | str | None = "none yet"
    for index, bar in enumerate(bars):
        for change in bar.chords:
            if change.chord != last:
                yield index, change.tick, change.chord
            last = change.chord
