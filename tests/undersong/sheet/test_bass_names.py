"""What a page calls the bass of a solo; degrees counted here by thirds and fifths, in semitones."""

import pytest

from solver.style import Style
from tests.undersong.arranged import found
from tune.readers.abc import read_abc
from tune.tune import Tune
from undersong.sheet.bass_names import shown_role
from undersong.sheet.text import text_tab

HEAD = "X:1\nT:Harrow Lane Exercise\nM:4/4\nL:1/4\nQ:1/4=100\nK:D\n"


def tune(bars: str) -> Tune:
    return read_abc(HEAD + bars)


@pytest.mark.parametrize(
    "bars",
    [
        '"G" B d g b | "D" a f d A | "A7" e g e c | "D" d4 |',
        '"Bm" d f b f | "Em" g e B e | "A" c e a e | "D" d4 |',
        '"D/F#" f a d\' a | "G" g b d\' b | "A7" a g e c | "D" d4 |',
    ],
)
def test_the_open_string_has_its_place_in_the_chord_where_it_has_one(bars: str) -> None:
    made = found(tune(bars), Style(texture="solo"))
    drones = 0
    for moment, choice in zip(made.moments, made.choices, strict=True):
        shown = shown_role(moment, choice, made.instrument)
        if choice.role != "drone":
            assert shown == choice.role
            continue
        drones += 1
        assert moment.chord is not None
        root = "C D EF G A B".index(moment.chord.root[0]) + moment.chord.root.count("#")
        up = (2 - root) % 12  # D, the open string, above the root
        names = {0: "root", 3: "third", 4: "third", 7: "fifth", 10: "seventh"}
        third = 3 if moment.chord.quality.startswith("m") else 4
        here = {0, third, 7} | ({10} if moment.chord.quality.endswith("7") else set())
        assert shown == (names[up] if up in here else "drone")
    assert drones, "no open string in a drone's place: the tune checks nothing"
    page = text_tab(made)
    legend = page.split("Bass row")[1]
    pairs = zip(made.moments, made.choices, strict=True)
    used = {shown_role(moment, choice, made.instrument) for moment, choice in pairs}
    assert ("open string, whatever the chord" in " ".join(legend.split())) == ("drone" in used)
