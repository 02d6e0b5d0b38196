"""``undersong hands``: the hands that come with the program, with the caution about reach."""

import click

from undersong.cli.table import show


@click.command("hands")
def command() -> None:
    """List the hands. A measured span (--hand 190mm) or a TOML file of your own works as well.

    'undersong own-files' says how to write such a file."""
    from fretboard.hand import CAUTION, MEASURE
    from fretboard.presets import hands

    rows = [(info.name, f"{info.hand.span_mm} mm", info.meaning) for info in hands()]
    show(("name", "span", "what it is"), rows, after=f"{MEASURE}\n\n{CAUTION}")
