"""``undersong tunes``: the bundled tunes."""

import click

from undersong.cli.table import show


@click.command("tunes")
def command() -> None:
    """List the bundled tunes. Each is reached by its name, from any folder."""
    import corpus
    from tune.readers import read

    rows = []
    for name in corpus.names():
        tune = read(str(corpus.path(name)))
        bars = sum(bar.number > 0 for bar in tune.bars)
        played = sum(tune.bars[bar.written].number > 0 for bar in tune.played)
        count = str(bars) if bars == played else f"{bars}, played {played}"
        rows.append((name, tune.title, str(tune.key), str(tune.metre), count))
    show(("name", "title", "key", "metre", "bars"), rows)
