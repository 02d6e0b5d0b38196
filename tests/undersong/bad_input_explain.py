"""Bad options and files of the commands that compare, explain and learn; one row each."""

import shlex

from tests.undersong.bad_input import GOOD_CHART, Bad


def _row(command: str, name: str, options: str, *says: str, **files: str | bytes) -> Bad:
    named = {file.replace("_", "."): content for file, content in files.items()}
    return Bad(f"{command}: {name}", (command, *shlex.split(options)), says, named)


COMPARE = (
    _row("compare", "no file", "", "two files at least", "--to FILE.json"),
    _row("compare", "one file", "a.json", "two files at least"),
    _row("compare", "no such file", "a.json b.json", "a.json", "cannot be read", "No such file"),
    _row("compare", "no JSON", "a.json b.json", "a.json", a_json="{", b_json="{"),
    _row("compare", "a tune", "a.chart b.chart", "a.chart", a_chart=GOOD_CHART, b_chart=GOOD_CHART),
    _row("compare", "other JSON", "a.json b.json", "a.json", "no arrangement", a_json="{}"),
    _row("compare", "no text", "a.json b.json", "a.json", "no text", a_json=b"\xff\xfe\x00"),
    _row("compare", "a narrow page", "a.json b.json --width 20", "--width", "40 to 400"),
    _row("compare", "no such suffix", "a.json b.json --to c.pdf", "--to c.pdf", ".txt or .json"),
    _row("compare", "no such folder", "a.json b.json --to no/c.txt", "--to no/c.txt", "no folder"),
    _row("compare", "twice the same", "a b --to c.txt --to c.txt", "--to c.txt", "twice"),
    _row(
        "compare", "over an answer", "a.json b.json --to b.json", "one of the answers", b_json="{}"
    ),
    _row("compare", "unknown option", "a.json b.json --loud", "--loud", "compare --help"),
)

WHY = (
    _row("why", "no tune", "--bar 1", "TUNE is missing", "undersong why --help"),
    _row("why", "no bar named", "harrow-lane", "--bar", "such as --bar 9"),
    _row("why", "a bar in words", "harrow-lane --bar last", "--bar", "0 to 9999", "'last'"),
    _row("why", "no such bar", "harrow-lane --bar 99", "no bar 99", "it has bars"),
    _row("why", "no such time", "harrow-lane --bar 1 --time 9", "bar 1", "no time 9"),
    _row("why", "time nought", "harrow-lane --bar 1 --time 0", "--time", "1 to 999"),
    _row("why", "too many others", "harrow-lane --bar 1 --more 21", "--more", "0 to 20"),
    _row("why", "a narrow page", "harrow-lane --bar 1 --width 8", "--width", "40 to 400"),
    _row("why", "no time", "harrow-lane --bar 1 --time-limit 0", "--time-limit", "seconds"),
    _row("why", "no such file", "a.json --bar 1", "a.json", "cannot be read"),
    _row("why", "other JSON", "a.json --bar 1", "a.json", "no arrangement", a_json="[]"),
    _row("why", "a hand beside a file", "a.json --bar 1 --hand small", "--hand", "of its own"),
)

LEARN = (
    _row("learn", "nothing named", "", "TUNE is missing", "undersong learn --help"),
    _row("learn", "nothing liked", "harrow-lane", "nothing is pinned", "--pin or --keep"),
    _row("learn", "only forbidden", "harrow-lane --forbid '1: barred'", "nothing is pinned"),
    _row("learn", "no such file", "a.json", "a.json", "cannot be read"),
    _row("learn", "other JSON", "a.json", "a.json", "no arrangement", a_json='{"format": 1}'),
    _row("learn", "no text", "a.json", "a.json", "no text", a_json=b"\xff\xfe\x00"),
    _row("learn", "a tune among files", "harrow-lane b.chart --pin '1: bass 0'", "b.chart",
         b_chart=GOOD_CHART),
    _row("learn", "no TOML to write", "a.json --to w.txt", "--to w.txt", ".toml"),
    _row("learn", "no such folder", "a.json --to no/w.toml", "--to no/w.toml", "no folder"),
    _row("learn", "no rounds", "a.json --rounds 0", "--rounds", "1 to 10000"),
    _row("learn", "no time", "a.json --time-limit -1", "--time-limit", "seconds"),
    _row("learn", "a weight that is none", "a.json --weight joy=3", "joy", a_json="{}"),
    _row("learn", "a bad pin", "harrow-lane --pin '1: bass 99'", "--pin", "fret 99"),
    _row("learn", "a bar that is not there", "harrow-lane --pin '99: bass 0'", "bar 99"),
)  # fmt: skip

ROWS = (*COMPARE, *WHY, *LEARN)
