"""The sheet of diagrams: every shape of an arrangement on pages.

Public: shape_blocks, shape_leaves.
"""

from collections.abc import Collection

from fretboard.hand import CAUTION
from fretboard.tuning import pitch_name
from solver.conditions.few_shapes import LearnedShape
from solver.result import Arrangement
from undersong.sheet.boxes.drawing import BESIDE, SPACE, diagram
from undersong.sheet.boxes.options import DiagramOptions
from undersong.sheet.boxes.stretch import Stretch, stretch_for
from undersong.sheet.flow import Block, Leaf, heading, leaves, paragraph, spread
from undersong.sheet.lettering import POINT, shortened
from undersong.sheet.text_signs import finger_words
from undersong.sheet.used import used_shapes


def shape_leaves(arrangement: Arrangement, options: DiagramOptions) -> tuple[Leaf, ...]:
    """The pages; one at the least, which says so where every string is open."""
    paper, k = options.paper, options.enlarged
    room = paper.width_mm - 2 * paper.margin_mm
    title = " ".join(arrangement.tune.title.split())
    blocks = [heading(f"{title}: shapes", room, 17 * POINT * k, title="Shapes")]
    blocks.append(paragraph(_what(arrangement), room, 10 * POINT * k, gap=1.5, joined=True))
    blocks += shape_blocks(arrangement, options)
    blocks.append(paragraph(CAUTION, room, 8.5 * POINT * k, gap=4))
    foot = shortened(f"{title}: shapes", 0.8 * room, 8 * POINT)
    return leaves(blocks, paper, lambda page, of: foot)


def shape_blocks(
    arrangement: Arrangement, options: DiagramOptions, known: Collection[LearnedShape] | None = None
) -> list[Block]:
    """What they show in words, and the diagrams in rows; known: shapes that are not new, None
    where none is marked as new."""
    paper, k = options.paper, options.enlarged
    room = paper.width_mm - 2 * paper.margin_mm
    used = used_shapes(arrangement)
    if not used:
        return [paragraph("None: every string is open.", room, 10 * POINT * k, gap=3)]
    stretch = stretch_for(arrangement.instrument, used, room + SPACE * k, BESIDE * k, k)
    blocks = [
        paragraph(_legend(arrangement, options, stretch), room, 9 * POINT * k, gap=2.5, joined=True)
    ]
    drawn = [
        diagram(
            arrangement,
            options,
            stretch,
            shape,
            order,
            known is not None and shape.shape not in known,
        )
        for order, shape in enumerate(used, 1)
    ]
    column = stretch.columns
    for at in range(0, len(drawn), column):
        blocks.append(spread(drawn[at : at + column], room + SPACE * k, 5 * k, column))
    return blocks


def _what(arrangement: Arrangement) -> str:
    """The strings and the hand."""
    instrument, used = arrangement.instrument, used_shapes(arrangement)
    tuning = "-".join(pitch_name(pitch) for pitch in instrument.tuning)
    capo = f"capo at {instrument.label(instrument.capo)}" if instrument.capo else "no capo"
    many = "1 shape" if len(used) == 1 else f"{len(used)} shapes"
    return f"{many} in order of first use. Tuning {tuning}, {capo}; {instrument.name}."


def _legend(arrangement: Arrangement, options: DiagramOptions, stretch: Stretch) -> str:
    """How to read them."""
    instrument = arrangement.instrument
    last = instrument.label(stretch.frets[-1], options.from_capo)
    start = "capo" if instrument.capo else "nut"
    side = "right" if options.left_handed else "left"
    top = "bass" if options.bass_on_top else "melody"
    letters = ", ".join(
        f"{letter} {word}" for letter, word in finger_words(arrangement.hand).items()
    )
    counted = ", counted from the capo" if instrument.capo and options.from_capo else ""
    return (
        f"The fretboard as it lies on the lap: the {top} string at the top, the {start} at the "
        f"{side}, up to fret {last}{counted}; frets stand as far apart as on the instrument, drawn "
        f"at {round(100 * stretch.share)} %. {letters}: just behind the fret. At the {start} "
        "stands the tab's number, x for a silent string. Beneath: the notes that sound, bass to "
        "melody."
    )
