"""``undersong instruments``: the instruments that come with the program."""

import click

from undersong.cli.table import show


@click.command("instruments")
def command() -> None:
    """List the instruments. A TOML file of your own works in a name's place.

    'undersong own-files' says how to write one."""
    from fretboard.frets import fret_label
    from fretboard.presets import instruments
    from fretboard.tuning import pitch_name

    rows = []
    for info in instruments():
        made = info.instrument
        rows.append(
            (
                info.name,
                " ".join(pitch_name(course.open) for course in made.courses),
                f"{made.scale_mm:.0f} mm",
                fret_label(max(course.frets[-1] for course in made.courses)),
                info.meaning,
            )
        )
    show(("name", "open strings", "scale", "last fret", "what it is"), rows)
