"""``python -m benchmarks NAME``: measures, prints a table, exits 1 where a target is missed.

A new benchmark is one file with a ``run()`` that gives its rows, and one row of ``BENCHMARKS``.
"""

import sys
from importlib import import_module

from benchmarks.rows import show

BENCHMARKS = {
    "advice": "what a table of keys and tunings takes beside one answer",
    "alternatives": "what five alternatives take beside one answer",
    "book": "what a book of 1,000 tunes takes with two workers beside one, and its memory",
    "desk": "how soon the desk's page, and a slider's answer, stand in the browser",
    "growth": "how seconds and memory of a search grow from 32 to 512 bars",
    "levels": "what five nested levels take beside one answer at the hardest",
    "proof": "a proof under conditions beside a plain model, and beside one pass",
    "resolve": "how soon a session answers again when one wish changes",
    "stability": "how many bars hang on whose movement constants one believes",
    "sheets": "how soon a page of 32 bars is engraved, to SVG and to PDF",
    "sound": "how soon a recording is made, and how much memory it takes",
    "startup": "how soon --help answers, and how long the README's first command takes",
}
"""Name of the module → what it measures."""


def main(arguments: list[str]) -> int:
    if len(arguments) != 1 or arguments[0] not in BENCHMARKS:
        print("usage: python -m benchmarks NAME", file=sys.stderr)
        for name, meaning in BENCHMARKS.items():
            print(f"  {name}: {meaning}", file=sys.stderr)
        return 2
    rows = import_module(f"benchmarks.{arguments[0]}").run()
    show(rows)
    return 0 if all(row.met for row in rows) else 1


sys.exit(main(sys.argv[1:]))
