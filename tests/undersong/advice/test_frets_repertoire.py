"""Advice on extra frets for many tunes: totals, the best and the page, for rows made up by hand."""

import json
from dataclasses import replace

from jsonschema import Draft202012Validator

from solver.errors import ArrangeError
from solver.watch import Watch
from tests.undersong.advice.fretted import IN_D, OWN, boards, made_up, piece
from undersong.advice.all_frets import on_all
from undersong.advice.frets import PLAYED, UNKNOWN, Outcome, Row
from undersong.advice.frets_document import advice_schema, frets_json
from undersong.advice.frets_text import frets_text
from undersong.advice.piece import Piece


def test_totals_add_up() -> None:
    with_1, with_8 = made_up().totals
    assert (with_1.playable, with_1.opened, with_1.closed) == (3, ("B",), ())
    assert (with_1.easier, with_1.saved) == (1, 100)
    assert (with_1.harder, with_1.more_least, with_1.more_most) == (1, 50, 50)
    assert (with_8.easier, with_8.saved) == (1, 100)
    assert (with_8.harder, with_8.more_least, with_8.more_most) == (1, 0, 30)


def test_which_helps_most_goes_by_tunes_then_by_ms_and_ties_are_told() -> None:
    advice = made_up()
    first, second, third = advice.rows

    def best(*rows: Row) -> list[str]:
        return [total.fretboard.words for total in replace(advice, rows=rows).best]

    def row(old: Row, *costs: int) -> Row:
        return replace(old, others=tuple(Outcome(PLAYED, ms, ms, ms) for ms in costs))

    assert best(first, second, third) == ["with 1+"], "the tune that both open costs less with it"
    assert best(first, row(second, 600, 600), third) == ["with 1+", "with 8+"]
    assert best(first, second, row(third, 850, 699)) == ["with 8+"], "it saves more"
    assert best(first, row(second, 9000, 1), row(third, 700, 799)) == ["with 1+"]
    only_8 = replace(second, others=(second.own, row(second, 9000).others[0]))
    assert best(row(first, 1, 1000), only_8) == ["with 8+"], "a tune more counts before all ms"
    assert best(row(first, 1000, 1001)) == []
    assert best() == []
    tied = replace(advice, rows=(first, row(second, 600, 600), third))
    assert "1+ or 8+ would help most, each alike" in frets_text(tied, "song", 400)


def test_the_page_says_what_a_fret_more_does() -> None:
    """Words by hand, for one tune and for many."""
    advice = made_up()

    def page(*rows: Row) -> str:
        return frets_text(replace(advice, rows=rows), "song", 400)

    many = page(*advice.rows)
    assert "1 more tune can be played (B)" in many
    assert "1 tune is easier, by 100 ms of hand work in all" in many
    assert "1 tune costs more, by 50 ms in all" in many
    assert "A fret more narrows the room behind the next one" in many
    first, second, _ = advice.rows
    assert "1+ would help most: with it the tune is easier, by 100 ms." in page(first)
    assert "1+ would help most: with it the tune can be played." in page(second)
    never = replace(second, others=(second.own, second.own))
    assert "none would help: not with one fret more can the tune be played." in page(never)
    late = replace(first, others=(Outcome(UNKNOWN, proven=False),) * 2)
    assert "Which fret more would help is not known" in page(late)
    for width in (40, 80, 120):
        text = frets_text(advice, "song", width)
        prose = [line for line in text.splitlines() if "  " not in line.strip()]
        assert max(map(len, prose)) <= width
        assert text.isascii()


def test_what_cannot_be_read_or_arranged_is_left_out_and_told() -> None:
    def broken() -> Piece:
        raise ArrangeError("it has no melody")

    pieces = [("good", lambda: piece(IN_D)), ("bad", broken)]
    advice = on_all(pieces, OWN, boards(), Watch(), 60.0)
    assert [row.title for row in advice.rows] == [IN_D.title]
    assert advice.left_out == (("bad", "it has no melody"),)
    assert "left out: bad: it has no melody" in frets_text(advice, "song")


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(advice_schema())
    document = json.loads(frets_json(made_up(), "song"))
    Draft202012Validator(advice_schema()).validate(document)
