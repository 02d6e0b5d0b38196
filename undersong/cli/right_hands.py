"""``undersong right-hands``: which strings are struck when."""

import click

from undersong.cli.table import show


@click.command("right-hands")
def command() -> None:
    """List the right-hand patterns. A TOML file of your own works in a name's place."""
    from solver.righthand import right_hands

    rows = [
        (hand.name, " ".join(str(metre) for metre, _ in hand.bars), hand.meaning)
        for hand in right_hands()
    ]
    show(("name", "metres", "what is struck"), rows)
