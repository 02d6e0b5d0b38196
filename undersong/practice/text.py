"""The practice plan as a page of text.

Public: practice_text.
"""

from textwrap import wrap

from undersong.practice import words
from undersong.practice.plan import Plan, Spot
from undersong.sheet.folding import fold, looped
from undersong.sheet.options import SheetOptions
from undersong.sheet.text_bar import Reading
from undersong.sheet.text_signs import plain
from undersong.sheet.text_system import draw, string_names, systems

_CELL = 6


def practice_text(plan: Plan, options: SheetOptions | None = None) -> str:
    """No line wider than ``options.width``; a newline at its end."""
    options = options or SheetOptions()
    width = options.width

    def told(text: str) -> list[str]:
        return wrap(plain(text, options.unicode), width)

    lines = told(f"{words.TITLE}: {words.title(plan.arrangement)}")
    for text in (*words.opening(plan), words.caution(), words.warm_up(plan)):
        lines += ["", *told(text)]
    for number, spot in enumerate(plan.spots, 1):
        lines += ["", "", *told(words.spot_title(spot, number)), *told(words.spot_reason(spot)), ""]
        lines += loop_lines(spot, options)
        lines += ["", *told(words.spot_how(spot)), "", *_ladder(spot, width), ""]
        lines += told(words.ladder_note(spot))
        lines += told(words.rest_after())
    if plan.spots:
        lines += ["", "", *told(words.closing(plan))]
        lines += ["", *told(words.fingers(plan))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def loop_lines(spot: Spot, options: SheetOptions) -> list[str]:
    """The tab of the loop."""
    reading = Reading(spot.at(spot.target.per_minute), options)
    label = max(len(name) for name in (*string_names(reading), "bass")) + 1
    folding, lines = fold(reading.arrangement), list[str]()
    if spot.rounds > 1:
        folding = looped(folding)
    for system in systems(reading, folding, label):
        lines += ([""] if lines else []) + draw(reading, system, label, last=False)
    return lines


def _ladder(spot: Spot, width: int) -> list[str]:
    """Tempi, and beneath each what it asks, as many on a line as there is room for."""
    label = max(map(len, words.rung_rows(spot, spot.rungs))) + 1
    many = max(1, (width - label) // _CELL)
    lines: list[str] = []
    for at in range(0, len(spot.rungs), many):
        for name, row in words.rung_rows(spot, spot.rungs[at : at + many]).items():
            lines.append(f"{name:<{label}}" + "".join(f"{cell:>{_CELL}}" for cell in row))
    return lines
