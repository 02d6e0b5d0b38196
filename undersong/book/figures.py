"""What a part of a book says in figures.

Public: part_of.
"""

from solver.result import PROVEN, Arrangement
from undersong.book.entry import Part


def part_of(arrangement: Arrangement, level: int | None, file: str) -> Part:
    """The arrangement's figures; level: its number, None for none; file: its document's name."""
    from fretboard.frets import fret_label
    from fretboard.tuning import pitch_name
    from undersong.compared import bar_cell, figures
    from undersong.sheet.used import used_shapes

    tune, instrument = arrangement.tune, arrangement.instrument
    rating, proof = arrangement.difficulty, arrangement.proof
    used = used_shapes(arrangement)
    return Part(
        level=level,
        texture=arrangement.style.texture,
        title=tune.title,
        key=str(tune.key),
        tuning=" ".join(map(pitch_name, instrument.tuning)),
        capo=fret_label(instrument.capo),
        cost=arrangement.cost,
        proven=proof.status == PROVEN,
        gap=proof.gap,
        hardest=rating.hardest,
        hardest_bar=bar_cell(tune, (rating.hardest_bar.bar,)),
        median=rating.median,
        shapes=figures(arrangement).shapes,
        first_shape=str(used[0].shape) if used else "",
        file=file,
    )
