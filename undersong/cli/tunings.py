"""``undersong tunings``: the tunings that come with the program."""

import click

from undersong.cli.table import show


@click.command("tunings")
def command() -> None:
    """List the tunings, bass string first. Any other can be typed: --tuning 'D3 A3 D4'."""
    from fretboard.presets import tunings
    from fretboard.tuning import pitch_name

    rows = [
        (info.name, " ".join(map(pitch_name, info.pitches)), info.word, info.meaning)
        for info in tunings()
    ]
    show(("tuning", "pitches", "word", "what it is for"), rows)
