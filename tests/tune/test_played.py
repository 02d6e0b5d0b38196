"""Repeats and endings unfolded: hand-worked rows, and music21's own expander as oracle."""

import random
from dataclasses import dataclass

import pytest

from tune.errors import TuneError
from tune.played import MOST_PLAYED_BARS, unfold


@dataclass(frozen=True)
class Sketch:
    """A bar as unfolding needs it."""

    number: int
    length: int = 4
    repeat_start: bool = False
    repeat_times: int = 1
    endings: tuple[int, ...] = ()


def sketch(text: str) -> list[Sketch]:
    """Bars from words like ``A |:B C:| 1D:| 1,3E:|3``, each a letter for its number."""
    bars = []
    for number, word in enumerate(text.split(), start=1):
        start = word.startswith("|:")
        body, sign, times = word.removeprefix("|:").partition(":|")
        digits = body[:-1]
        endings = tuple(int(part) for part in digits.split(",")) if digits else ()
        bars.append(Sketch(number, 4, start, int(times or 2) if sign else 1, endings))
    return bars


def played(text: str) -> str:
    letters = [word.removeprefix("|:").partition(":|")[0][-1] for word in text.split()]
    return "".join(letters[bar.written] for bar in unfold(sketch(text)))


@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("A B C", "ABC"),
        ("A B:| C", "ABABC"),
        ("A |:B C:| D", "ABCBCD"),
        ("|:A B:| |:C D:|", "ABABCDCD"),
        ("A:| B:| C", "AABBC"),  # start signs left out: back to the last repeat
        ("|:A:| |:B:|", "AABB"),
        ("A:|3 B", "AAAB"),
        ("|:A 1B:| 2C D", "ABACD"),
        ("|:A 1B:| 2C:| D", "ABACD"),  # a sign at the last ending repeats no more
        ("|:A 1B 1C:| 2D 2E F", "ABCADEF"),
        ("A 1,3B:| 2C:| D", "ABACABD"),
        ("|:A 1,2B:| 3C D", "ABABACD"),
        ("|:A 1B:| 2C:| 3D E", "ABACADE"),
        ("|:A 1B 2C D", "ABACD"),  # the sign of the first ending forgotten
        ("A |:B 1C:| D E", "ABCBDE"),  # the number of the second ending forgotten
        ("A 1B:| 2C D 1E:| 2F", "ABACDEDF"),  # a second group without a start sign
        ("A 1B:| 2C 1D:| 2E", "ABACDE"),  # groups that touch: a number comes up again
        ("|:A 1B:| 2C |:D 1E:| 2F", "ABACDEDF"),
        ("|:A |:B:| C:| D", "ABBCCD"),  # start signs do not nest
        ("|:A 1B:| |:2C D", "ABA" + "D"),  # a start sign ends the group; C is never heard
        ("A 2B C", "AC"),
        ("|:A B", "AB"),
    ],
)
def test_unfolding(written: str, heard: str) -> None:
    """Common practice, no source."""
    assert played(written) == heard


def test_played_bars_know_their_place() -> None:
    bars = unfold(sketch("A |:B C:|"))
    assert [bar.number for bar in bars] == [1, 2, 3, 4, 5]
    assert [bar.turn for bar in bars] == [1, 1, 1, 2, 2]
    assert [bar.start for bar in bars] == [0, 4, 8, 12, 16]


def test_a_first_ending_at_the_end_of_the_tune_needs_a_second() -> None:
    with pytest.raises(TuneError, match=r"bar 2: no ending is marked for time 2"):
        unfold(sketch("|:A 1B:|"))


def test_there_is_an_end_to_repeats() -> None:
    with pytest.raises(TuneError, match=f"more than {MOST_PLAYED_BARS} bars"):
        unfold([Sketch(1, repeat_times=MOST_PLAYED_BARS + 1)])
    assert len(unfold([Sketch(1, repeat_times=MOST_PLAYED_BARS)])) == MOST_PLAYED_BARS


def _random_piece(rng: random.Random) -> str:
    words: list[str] = []
    letters = iter("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    for section in range(rng.randint(1, 3)):
        plain = [next(letters) for _ in range(rng.randint(1, 3))]
        kind = rng.choice(("once", "repeat", "endings"))
        if kind != "once" and (section or rng.random() < 0.5):
            plain[0] = f"|:{plain[0]}"
        if kind == "repeat":
            plain[-1] += ":|"
        words += plain
        if kind == "endings":
            words += [f"1{next(letters)}:|", f"2{next(letters)}"]
    return " ".join(words)


def _expanded(text: str) -> str:
    """What music21 plays."""
    from music21 import bar, note, spanner, stream

    part = stream.Part()
    letters = []
    for number, sketched in enumerate(sketch(text), start=1):
        measure = stream.Measure(number=number)
        measure.append(note.Note("C4", quarterLength=4))
        if sketched.repeat_start:
            measure.leftBarline = bar.Repeat(direction="start")
        if sketched.repeat_times > 1:
            measure.rightBarline = bar.Repeat(direction="end")
        part.append(measure)
        if sketched.endings:
            part.insert(0, spanner.RepeatBracket(measure, number=sketched.endings[0]))
        letters.append(text.split()[number - 1].removeprefix("|:").partition(":|")[0][-1])
    expanded = part.expandRepeats().getElementsByClass(stream.Measure)
    return "".join(letters[measure.number - 1] for measure in expanded)


def test_music21_unfolds_the_same_bars() -> None:
    rng = random.Random(11)
    pieces = [_random_piece(rng) for _ in range(40)]
    assert any("2" in piece for piece in pieces)
    assert any(":|" in piece for piece in pieces)
    for piece in pieces:
        assert played(piece) == _expanded(piece), piece
