"""Lists: ruled where stdout is a terminal (NO_COLOR honoured), plain aligned columns elsewhere.

Public: show.
"""

import sys
from collections.abc import Sequence

import click

from undersong.wording import aligned


def show(heads: Sequence[str], rows: Sequence[Sequence[str]], after: str = "") -> None:
    """Prints a table, and under it a paragraph where one is given."""
    if sys.stdout.isatty():
        _ruled(heads, rows, after)
        return
    click.echo("\n".join(aligned(heads, rows)))
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
