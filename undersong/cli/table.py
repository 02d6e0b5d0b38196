"""Lists: ruled where stdout is a terminal (NO_COLOR honoured), plain aligned columns elsewhere.

Public: show.
"""

import sys
from collections.abc import Sequence

import click


def show(heads: Sequence[str], rows: Sequence[Sequence[str]], after: str = "") -> None:
    """Prints a table, and under it a paragraph where one is given."""
    if sys.stdout.isatty():
        _ruled(heads, rows, after)
        return
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    for row in (heads, *rows):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        click.echo("  ".join(cells).rstrip())
    if after:
        click.echo()
        click.echo(after)


def _ruled(heads: Sequence[str], rows: Sequence[Sequence[str]], after: str) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(*heads, box=box.SIMPLE_HEAD, pad_edge=False)
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    console = Console()
    console.print(table)
    if after:
        console.print(Text(after))
