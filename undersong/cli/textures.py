"""``undersong textures``: what the player may be doing."""

import click

from undersong.cli.table import show


@click.command("textures")
def command() -> None:
    """List the textures, as --texture takes them, and the bass manners of each."""
    from solver.style import TEXTURES, manners_in, usual_manner

    def manners(texture: str) -> str:
        return ", ".join(sorted(manners_in(texture), key=usual_manner(texture).__ne__))

    rows = [(name, meaning, manners(name)) for name, meaning in TEXTURES.items()]
    show(("name", "what is played", "bass manners, the usual one first"), rows)
