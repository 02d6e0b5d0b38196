"""``undersong chart-format``: the page that says how to type a chart."""

import click


@click.command("chart-format")
def command() -> None:
    """Show how to type a chart: title, key, metre and bars of chords, in two minutes."""
    from importlib.resources import files

    click.echo(files("undersong").joinpath("chart.md").read_text(encoding="utf-8").rstrip())
