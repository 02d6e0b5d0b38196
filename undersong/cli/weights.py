"""``undersong weights``: what each wish may cost, and what each movement counts."""

import click

from undersong.cli.table import show


@click.command("weights")
def command() -> None:
    """List the weights: how many ms of hand work one unit of each counts."""
    from scoring.terms import TERMS

    rows = [
        (term.about.name, str(term.about.default), term.about.unit, term.about.meaning)
        for term in TERMS
    ]
    show(("name", "ms", "for each", "what it means"), rows)
