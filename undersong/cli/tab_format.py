"""``undersong tab-format``: the page that says how tab that was typed is read."""

import click


@click.command("tab-format")
def command() -> None:
    """Show how 'undersong check' reads tab that somebody typed, on one page."""
    from importlib.resources import files

    click.echo(files("undersong").joinpath("tab.md").read_text(encoding="utf-8").rstrip())
