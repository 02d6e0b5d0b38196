"""Signs over the notes: what is kept as a mark, and what is told once (ABC 2.1, §4.14–4.16)."""

import pytest

from tests.tune.abc_tune import read
from tune.tune import Tune


def marks(tune: Tune) -> list[tuple[str, ...]]:
    return [n.marks for bar in tune.bars for n in bar.notes]


@pytest.mark.parametrize(
    ("sign", "mark"),
    [
        ("!1!", "finger 1"),
        ("!5!", "finger 5"),
        ('"2"', "finger 2"),
        ('"^3"', "finger 3"),
        ("!0!", "open string"),
        ("!open!", "open string"),
        ("!fermata!", "fermata"),
        ("H", "fermata"),
        ("+fermata+", "fermata"),
        ("!hammer-on!", "hammer-on"),
        ('"^H"', "hammer-on"),
        ("!pull-off!", "pull-off"),
        ('"_P"', "pull-off"),
    ],
)
def test_kept(sign: str, mark: str) -> None:
    tune = read(f"A4 {sign}B4|")
    assert marks(tune) == [(), (mark,)]
    assert tune.notices == ()


def test_several_marks_on_one_note_and_on_notes_struck_together() -> None:
    assert marks(read("!1!!fermata!A4 [!2!C!3!E]4|")) == [
        ("finger 1", "fermata"),
        ("finger 2", "finger 3"),
    ]


@pytest.mark.parametrize(
    ("music", "kind"),
    [
        (".A4 .B4|", "staccato mark"),
        ("~A4 ~B4|", "roll"),
        ("TA4 !trill!B4|", "trill"),
        ("uA4 vB4|", "bowing mark"),
        ("!p!A4 !ff!B4|", "dynamic mark"),
        ("!crescendo(!A4 !<)!B4|", "dynamic mark"),
        ("MA4 PB4|", "mordent"),
        ("LA4 !>!B4|", "accent"),
        ("!D.C.!A4 !dacapo!B4|", "jump sign (da capo)"),
        ("!fine!A4 B4|", "jump sign (fine)"),
        ("SA4 B4|", "jump sign (segno)"),
        ("!wibble!A4 B4|", "wibble"),
    ],
)
def test_all_else_is_told_once_a_kind(music: str, kind: str) -> None:
    tune = read(f"z8|{music}{music}")
    assert tune.notices == (f"bar 2: {kind} ignored",)
    assert set(marks(tune)) == {()}


def test_slurs_are_told_once() -> None:
    assert read("(AB)(AB)(AB)AB|.(AB) (ABABAB)|").notices == ("bar 1: slurs ignored",)


def test_an_unknown_small_letter_is_told() -> None:
    assert read("kA4 kB4|").notices == ("bar 1: the sign k has no meaning and is ignored",)


def test_letters_can_be_given_a_meaning() -> None:
    """§4.16."""
    assert marks(read("kA4 B4|", "U:k=!fermata!")) == [("fermata",), ()]
    assert marks(read("TA4 B4|", 'U:T="^H"')) == [("hammer-on",), ()]
    assert marks(read("A4|[U:w=!1!]wA4|")) == [(), ("finger 1",)]
    unset = read("TA8|", "U:T=!nil!")
    assert (marks(unset), unset.notices) == ([()], ())


def test_signs_over_a_bar_line_are_told() -> None:
    assert read("A8!fermata!|B8|").notices == ("bar 1: signs over a bar line are ignored",)


def test_words_below_the_tune_are_told() -> None:
    assert read("A8|\nW:la la\nW:la").notices == (
        "the words in W: lines below the tune are not kept",
    )
