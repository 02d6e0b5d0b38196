"""The sheet of diagrams: every shape of an arrangement on pages.

Public: shape_leaves, new_shapes, how_to_read.
"""

from collections.abc import Collection, Sequence

from fretboard.hand import CAUTION
from fretboard.tuning import pitch_name
from solver.conditions.few_shapes import LearnedShape
from solver.result import Arrangement
from undersong.sheet.boxes.drawing import BESIDE, SPACE, diagram
from undersong.sheet.boxes.options import DiagramOptions
from undersong.sheet.boxes.stretch import CLOSE, WIDE, Fit, Stretch, stretch_for
from undersong.sheet.flow import Block, Leaf, heading, paragraph, snug, spread
from undersong.sheet.lettering import POINT, shortened
from undersong.sheet.setting_words import instrument_words
from undersong.sheet.text_signs import finger_words
from undersong.sheet.used import UsedShape, used_shapes


def shape_leaves(arrangement: Arrangement, options: DiagramOptions) -> tuple[Leaf, ...]:
    """The pages; one at the least, which says so where every string is open."""
    paper, k = options.paper, options.enlarged
    room = paper.room_mm[0]
    title = " ".join(arrangement.tune.title.split())
    used = used_shapes(arrangement)
    blocks = [heading(f"{title}: shapes", room, 17 * POINT * k, title="Shapes")]
    blocks.append(paragraph(_what(arrangement), room, 10 * POINT * k, gap=1.5, joined=True))
    if used:
        stretch = _stretch(arrangement, options, used)
        legend = f"{how_to_read(arrangement, options)} {_drawn(arrangement, options, stretch)}"
        blocks.append(paragraph(legend, room, 9 * POINT * k, gap=2.5, joined=True))
        blocks += _rows(arrangement, options, stretch, used)
    else:
        blocks.append(paragraph("None: every string is open.", room, 10 * POINT * k, gap=3))
    blocks.append(paragraph(CAUTION, room, 8.5 * POINT * k, gap=4))
    foot = shortened(f"{title}: shapes", 0.8 * room, 8 * POINT * k)
    return snug(blocks, paper, lambda page, of: foot, 8 * POINT * k)


def new_shapes(
    arrangement: Arrangement, options: DiagramOptions, known: Collection[LearnedShape]
) -> list[Block]:
    """How many shapes are not among those that are known, and their diagrams in rows."""
    room, k = options.paper.room_mm[0], options.enlarged
    every = used_shapes(arrangement)
    fresh = [used for used in every if used.shape not in known]
    old = len(every) - len(fresh)
    if not fresh:
        none = "No new shape: " + (
            "all are known from an easier level." if every else "every string is open."
        )
        return [paragraph(none, room, 10 * POINT * k, gap=1.5 * k)]
    stretch = _stretch(arrangement, options, fresh, CLOSE)
    what = "new shape" if known else "shape"
    told = f"{len(fresh)} {what}{'s' * (len(fresh) > 1)} in order of first use."
    if old:
        told += f" {old} more {'are' if old > 1 else 'is'} known from an easier level."
    told += f" {_drawn(arrangement, options, stretch)}"
    return [
        paragraph(told, room, 10 * POINT * k, gap=1.5 * k, joined=True),
        *_rows(arrangement, options, stretch, fresh),
    ]


def _stretch(
    arrangement: Arrangement,
    options: DiagramOptions,
    used: Sequence[UsedShape],
    fit: Fit = WIDE,
) -> Stretch:
    k = options.enlarged
    wide = options.paper.room_mm[0] + SPACE * k
    return stretch_for(arrangement.instrument, used, wide, BESIDE * k, k, fit)


def _rows(
    arrangement: Arrangement,
    options: DiagramOptions,
    stretch: Stretch,
    used: Sequence[UsedShape],
) -> list[Block]:
    k = options.enlarged
    drawn = [
        diagram(arrangement, options, stretch, shape, order) for order, shape in enumerate(used, 1)
    ]
    wide, many = options.paper.room_mm[0] + SPACE * k, stretch.columns
    return [spread(drawn[at : at + many], wide, 5 * k, many) for at in range(0, len(drawn), many)]


def _what(arrangement: Arrangement) -> str:
    """The strings and the hand."""
    instrument, used = arrangement.instrument, used_shapes(arrangement)
    tuning = "-".join(pitch_name(pitch) for pitch in instrument.tuning)
    capo = f"capo at {instrument.label(instrument.capo)}" if instrument.capo else "no capo"
    many = "1 shape" if len(used) == 1 else f"{len(used)} shapes"
    return f"{many} in order of first use. Tuning {tuning}, {capo}; {instrument_words(instrument)}."


def how_to_read(arrangement: Arrangement, options: DiagramOptions) -> str:
    """What a diagram shows, in words."""
    start = "capo" if arrangement.instrument.capo else "nut"
    side = "right" if options.left_handed else "left"
    top = "bass" if options.bass_on_top else "melody"
    letters = ", ".join(
        f"{letter} {word}" for letter, word in finger_words(arrangement.hand).items()
    )
    return (
        f"The fretboard as it lies on the lap: the {top} string at the top, the {start} at the "
        f"{side}; frets stand as far apart as on the instrument. {letters}: just behind the fret. "
        f"At the {start} stands the tab's number, x for a silent string. Beneath: the notes that "
        "sound, bass to melody."
    )


def _drawn(arrangement: Arrangement, options: DiagramOptions, stretch: Stretch) -> str:
    """How far up, and how large."""
    instrument = arrangement.instrument
    last = instrument.label(stretch.frets[-1], options.from_capo)
    counted = ", counted from the capo" if instrument.capo and options.from_capo else ""
    return f"Drawn up to fret {last}{counted}, at {round(100 * stretch.share)} % of the size."
