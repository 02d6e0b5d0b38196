"""``undersong set-format``: the page that says how to write a set down."""

import click


@click.command("set-format")
def command() -> None:
    """Show how to write a set file, and what the prices of a set are, on one page."""
    from importlib.resources import files

    click.echo(files("undersong").joinpath("set.md").read_text(encoding="utf-8").rstrip())
