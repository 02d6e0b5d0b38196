"""``undersong own-files``: the page that says how to write a hand, instrument or right hand."""

import click


@click.command("own-files")
def command() -> None:
    """Show how to write a hand, an instrument or a right hand of your own, on one page."""
    from importlib.resources import files

    click.echo(files("undersong").joinpath("own.md").read_text(encoding="utf-8").rstrip())
