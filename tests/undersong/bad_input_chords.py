"""Bad input to ``undersong chords``, and charts that do not go with a tune: one row each."""

from tests.undersong.bad_input import GOOD_ABC, GOOD_CHART, Bad

FILES = {"gate.abc": GOOD_ABC}


def _chords(name: str, options: tuple[str, ...], *says: str) -> Bad:
    return Bad(name, ("chords", "harrow-lane", *options), says)


def _laid(name: str, chart: str, *says: str) -> Bad:
    """A chart laid over the good ABC tune."""
    files = {**FILES, "laid.chart": chart}
    return Bad(name, ("arrange", "gate.abc", "--chords", "laid.chart"), says, files)


ROWS = (
    Bad("chords: no tune", ("chords",), ("TUNE is missing", "undersong chords --help")),
    Bad(
        "chords: a chart has no melody",
        ("chords", "gate.chart"),
        ("Gate Left Open has no melody", "ABC or MusicXML"),
        {"gate.chart": GOOD_CHART},
    ),
    Bad(
        "chords: rests alone",
        ("chords", "rests.abc"),
        ("Rests has no melody",),
        {"rests.abc": "X:1\nT:Rests\nM:4/4\nL:1/4\nK:D\nz4|]\n"},
    ),
    Bad("chords: no such file", ("chords", "gone.abc"), ("gone.abc", "no such file")),
    _chords("chords: unknown addition", ("--more", "jazz"), "--more", "'jazz'", "secondary"),
    _chords("chords: how often", ("--per", "beat"), "--per", "half-bar", "'beat'"),
    _chords("chords: unknown form", ("--form", "midi"), "--form", "'midi'", "abc"),
    _chords("chords: transposed too far", ("--transpose", "40"), "--transpose", "-24 to 24"),
    _chords("chords: unknown weight", ("--weight", "high-bass=3"), "--weight", "'high-bass'"),
    _chords("chords: weight in words", ("--weight", "change=dear"), "whole number of points"),
    _chords("chords: weight below nothing", ("--weight", "change=-1"), "between 0 and", "-1"),
    _chords("chords: no such weights", ("--weights", "mine.toml"), "--weights", "mine.toml"),
    _chords("chords: time in words", ("--time-limit", "long"), "--time-limit", "'long'"),
    _chords("chords: wrong suffix", ("--to", "out.pdf"), "--to", "out.pdf", ".chart, .txt"),
    _chords("chords: no folder", ("--to", "far/away.chart"), "--to", "no folder far"),
    _chords("chords: a folder", ("--to", "."), "--to", "this is a folder"),
    Bad(
        "chords: over the tune itself",
        ("chords", "gate.txt", "--form", "abc", "--to", "gate.txt"),
        ("--to gate.txt", "the tune itself"),
        {"gate.txt": GOOD_ABC},
    ),
    Bad(
        "chart: chords from nowhere",
        ("arrange", "gate.chart"),
        ("gate.chart", "line 4", "proposed by Undersong", "'the moon'", "take the line away"),
        {"gate.chart": GOOD_CHART.replace("| D | G", "chords: the moon\n| D | G")},
    ),
    _laid("laid: another key", GOOD_CHART.replace("key: D", "key: G"), "G major", "D major"),
    _laid("laid: a bar too few", "\n".join([*GOOD_CHART.splitlines()[:3], "| D | G |"]),
          "3 written bars", "the chart 2"),
    _laid("laid: a bar too short", GOOD_CHART.replace("| G A7 |", "| (3/4) G |"),
          "bar 2", "longer"),
    _laid("laid: repeats", GOOD_CHART.replace("| D | G", "|: D | G").replace("D |\n", "D :|\n"),
          "bar 1", "repeats"),
    _laid("laid: silence", GOOD_CHART.splitlines()[0] + "\nkey: D\nmetre: 4/4\n| N.C. | . | . |",
          "no chords to lay"),
    Bad(
        "laid: no such chart",
        ("arrange", "gate.abc", "--chords", "gone.chart"),
        ("--chords", "gone.chart", "no such file"),
        FILES,
    ),
    Bad(
        "laid: a word that is none",
        ("arrange", "gate.abc", "--chords", "jazz"),
        ("--chords", "proposed", "chart", "'jazz'"),
        FILES,
    ),
)  # fmt: skip
