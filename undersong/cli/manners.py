"""``undersong manners``: what the bass can do."""

import click

from undersong.cli.table import show


@click.command("manners")
def command() -> None:
    """List the bass manners, as --bass takes them."""
    from solver.manners import MANNERS

    rows = [(name, meaning) for name, (meaning, _) in MANNERS.items()]
    show(("name", "what the bass does"), rows)
