"""The first pages of a handout: the tune, and of each level what it teaches, what is new against
the one before, how hard it is and where it stands; the usual caution at the head; then how the
pages are read and used.

Public: cover_leaves.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from statistics import median_low

from fretboard.hand import CAUTION
from fretboard.tuning import pitch_name
from solver.result import Arrangement
from tune.bar_names import bars_named
from undersong.compared import named_bars
from undersong.levels import LevelSet, Made, Step, why_not
from undersong.practice import words as words_of
from undersong.sheet.boxes import how_to_read
from undersong.sheet.flow import LEADING, Block, Leaf, heading, paragraph, snug
from undersong.sheet.handout.options import HandoutOptions
from undersong.sheet.handout.part import Part, name_of
from undersong.sheet.lettering import POINT, number, rule, shortened, words, wrapped
from undersong.sheet.setting_words import hand_called, instrument_words
from undersong.wording import capital

_NUMERAL = 14.0
"""mm at the left of a level's words, for its number."""


def cover_leaves(
    found: LevelSet,
    steps: Sequence[Step],
    parts: Mapping[int, Part],
    begins: Mapping[int, int],
    options: HandoutOptions,
) -> tuple[Leaf, ...]:
    """steps: what changes from level to level; parts: by the level's number, of those that came
    out; begins: the page of the handout that each begins on, from 1."""
    first = found.met[0].arrangement
    assert first is not None, "a level that came out has an arrangement"
    room, k = options.room, options.enlarged
    title = name_of(first.tune)
    new = {step.higher: step for step in steps}
    small = 9 * POINT * k
    blocks = [
        heading(title, room, 24 * POINT * k, title="What each level teaches"),
        *(
            paragraph(line, room, 10 * POINT * k, gap=1.2 * k, joined=True)
            for line in _head(first, found)
        ),
        paragraph(CAUTION, room, small, bold=True, gap=2 * k, joined=True),
        _line(room, k),
    ]
    for made in found.made:
        part = parts.get(made.level.number)
        facts = _facts(made, part, begins.get(made.level.number, 0)) if part else ""
        blocks += _card(made, facts, new.get(made.level.number), options)
    explained: list[Block] = []
    for name, lines in _explained(first, found, options).items():
        explained.append(paragraph(name, room, small, bold=True, gap=2 * k, joined=True))
        explained += [paragraph(line, room, small, gap=0.8 * k) for line in lines]
    foot = shortened(title, 0.6 * room, 8 * POINT * k)

    def paged(parts: list[Block]) -> tuple[Leaf, ...]:
        return snug(parts, options.paper, lambda page, pages: foot, 8 * POINT * k)

    one = paged([*blocks, _line(room, k), *explained])
    if len(one) == 1:
        return one
    return paged([*blocks, replace(explained[0], fresh=True), *explained[1:]])


def _head(made: Arrangement, found: LevelSet) -> Iterator[str]:
    """Who made the tune and where it is from, and what all versions have in common."""
    tune, instrument = made.tune, made.instrument
    if tune.composer.strip():
        yield " ".join(tune.composer.split())
    levels = _how_many(len(found.met), len(found.made))
    tuning = "-".join(pitch_name(pitch) for pitch in instrument.tuning)
    capo = f"capo at {instrument.label(instrument.capo)}" if instrument.capo else "no capo"
    hand = "played with a noter" if made.hand.noter else hand_called(made.hand)
    yield (
        f"{levels}. {tune.key}, tuning {tuning}, {capo}; {instrument_words(instrument)}; {hand}."
    )
    source = "; ".join(" ".join(text.split()) for text in (tune.source, tune.licence) if text)
    if source:
        yield f"The tune: {source}"


def _how_many(printed: int, asked: int) -> str:
    """How many levels the handout has; of those that were asked for some may not be met."""
    if asked == 1:
        return "One level"
    of = f"{printed} of {asked}" if printed < asked else f"{asked}"
    return f"{of} levels" + (", the easiest first" if printed > 1 else "")


def _facts(made: Made, part: Part, page: int) -> str:
    """Where the level stands, how hard it is, its shapes."""
    rated = made.ratings
    assert made.arrangement is not None
    hardest = max(rated, key=lambda bar: (rated[bar], -bar))
    bar = named_bars(made.arrangement.tune, (hardest,))
    many, fresh = part.shapes
    shapes = f"{many} shape{'s' * (many != 1)}"
    if many and not fresh:
        shapes += ", none of them new"
    elif fresh < many:
        shapes += f", {fresh} of them new"
    return (
        f"Page {page}. Hardest is {bar}: {rated[hardest]} %, half of the bars "
        f"{median_low(rated.values())} % or less. {shapes}."
    )


def _card(made: Made, facts: str, step: Step | None, options: HandoutOptions) -> list[Block]:
    """A level's number, large, and beside it what there is to say."""
    k, room = options.enlarged, options.room - _NUMERAL * options.enlarged
    there = made.arrangement is not None
    ink = "#000" if there or options.contrast else "#777"
    lines: list[tuple[str, float, bool]] = [
        (text, 11 * POINT * k, True)
        for text in wrapped(made.level.teaches, room, 11 * POINT * k, True)
    ]
    size = 9.5 * POINT * k
    if there:
        lines += [(text, size, False) for text in wrapped(facts, room, size)]
    else:
        why = f"{'Not met' if made.open else 'Cannot be met'}: {why_not(made)}."
        lines += [(text, size, False) for text in wrapped(why, room, size)]
    height = sum(size * LEADING for _, size, _ in lines)

    def draw(left: float, top: float) -> str:
        large = 24 * POINT * k
        drawn = [
            words(left, top + large * 0.74, str(made.level.number), large, bold=True, fill=ink)
        ]
        y = top
        for text, size, bold in lines:
            drawn.append(words(left + _NUMERAL * k, y + size, text, size, bold=bold, fill=ink))
            y += size * LEADING
        return "".join(drawn)

    blocks = [Block(max(height, 9 * k), draw, 5.5 * k, joined=step is not None)]
    if step is not None:
        told = [f"New against level {step.lower}:", *step.changes]
        if not step.new:
            told = [f"Against level {step.lower}, {step.changes[0]}.", *step.changes[1:]]
        for at, text in enumerate(told):
            blocks.append(_point(text, at > 0, options, at + 1 < len(told)))
    return blocks


def _point(text: str, listed: bool, options: HandoutOptions, joined: bool) -> Block:
    """A line of what is new, with a mark before it where it is one of several."""
    k = options.enlarged
    indent = (_NUMERAL + (4.0 if listed else 0.0)) * k
    size = 9.5 * POINT * k
    block = paragraph(capital(text), options.room, size, indent=indent)

    def draw(left: float, top: float) -> str:
        mark = ""
        if listed:
            x, y = left + (_NUMERAL + 1.4) * k, top + size * 0.68
            mark = f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(0.6 * k)}" fill="#000"/>'
        return mark + block.draw(left, top)

    return Block(block.height, draw, 0.7 * k, joined)


def _line(room: float, k: float) -> Block:
    return Block(
        0.3 * k, lambda left, top: rule(left, top, left + room, top, 0.3 * k), 4 * k, joined=True
    )


def _explained(
    first: Arrangement, found: LevelSet, options: HandoutOptions
) -> dict[str, list[str]]:
    """How the pages are read and used, a title and its sentences each."""
    return {
        "The figures": list(_figures(found)),
        "The shapes": [f"New is what no easier level has. {how_to_read(first, options.diagrams)}"],
        "The practice plans": [
            f"{words_of.how_to_practise()} {words_of.how_to_loop()} {words_of.rests()}"
        ],
    }


def _figures(found: LevelSet) -> Iterator[str]:
    """What the percents are, and how good the versions are."""
    yield (
        "Percent: what the hardest moment of a bar asks of this hand: the share of the time that "
        "the move needs or of the hand's greatest stretch, and a little for a shift, a finger laid "
        "across strings and each finger put down."
    )
    if len(found.met) > 1:
        yield "No bar of an easier level is harder than the same bar of the next."
    raised = sorted({bar for one in found.met for bar in one.raised})
    if raised:
        yield (
            f"{capital(bars_named(raised))}: made harder in a higher level than there need "
            "be, so that an easier level can be met at all."
        )
    if found.proven:
        yield "Each version is proven to be the best that keeps to its level and to the next one."
    else:
        yield "Not every version is proven the best: the search was out of time."
