"""Against music21, on the public-domain collections it carries, read where they are installed.

Compared are the pitches in order (tied notes as one, grace notes left out, of notes struck
together the highest) and the whole length. music21 is first given what it can read: by ABC 2.1
its rules of accidentals, and the text without the signs before which it loses a note.

What remains different is laid to a reason that the text itself shows, and in each of them the
standard is on our side (the section is named below). Our own errors are counted too: every one is
something that no reader could guess, such as words written as chords.
"""

import random
import re
import warnings
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest

from tests.tune.abc_tune import chords
from tune.errors import TuneError
from tune.readers.abc import read_abc
from tune.readers.abc.bars import read_chord
from tune.readers.abc.file import split_file
from tune.time import quarters
from tune.tune import Tune

COLLECTIONS = {"oneills1850": 2009, "ryansMammoth": 1059, "airdsAirs": 1180}
SAMPLE = 25
OWN = sorted((Path(__file__).parents[2] / "corpus").glob("*.abc"))
assert OWN, "the bundled tunes are gone"
_QUOTED = re.compile(r'"([^"]*)"')

REASONS = {
    "two voices (§7)": r"^\[?V:",
    "inline fields passed over (§3.2)": r"\[[KLM]:",
    "grace notes counted in a tuplet (§4.12: they have no length)": r"\(\d[^|]*?\{",
    "broken rhythm in a chain, undefined (§4.4)": r"[<>][^A-Ga-g|]*[A-Ga-g][^A-Ga-g<>|]*[<>]",
    "lengths such as 3// or /// (§4.3)": r"\d//|///",
    "ties of notes struck together (§4.17)": r"\[[^\]|]*-[^\]|]*\]|\][\d/]*-",
    "accidentals of notes struck together (§4.2)": r"\[[^\]|]*[_^=]",
}
"""Why music21 and we may differ, and what in the text shows it."""


@dataclass(frozen=True)
class Heard:
    pitches: tuple[int, ...]
    length: Fraction


def _root() -> Path:
    import music21

    return Path(music21.__file__).parent / "corpus"


def collection(name: str) -> list[str]:
    """Every tune of a collection, as text of its own."""
    tunes = []
    for path in sorted((_root() / name).glob("*.abc")):
        for tune in split_file(path.read_bytes().decode("latin-1")).tunes:
            tunes.append("\n".join(line.text for line in tune.lines))
    return tunes


def words_as_words(text: str) -> str:
    """The tune with ``"^Segno"`` for ``"Segno"``: in the collections words stand as chords."""

    def quoted(match: re.Match[str]) -> str:
        words = match[1]
        if words[:1] in ("^", "_", "<", ">", "@") or words in tuple("012345"):
            return match[0]
        try:
            read_chord(words)
        except TuneError:
            return f'"^{words}"'
        return match[0]

    lines = text.split("\n")
    return "\n".join(
        line if re.match("[A-Za-z]:", line) else _QUOTED.sub(quoted, line) for line in lines
    )


def ours(tune: Tune) -> Heard:
    heard: list[int] = []
    tied = False
    for bar in tune.bars:
        for note in bar.notes:
            if note.grace:
                continue
            if note.midi is not None and not tied:
                heard.append(note.midi)
            tied = note.tied
    return Heard(tuple(heard), sum((quarters(bar.length) for bar in tune.bars), Fraction(0)))


def for_music21(text: str) -> str:
    """The tune without decorations and annotations, with z for x, and air round repeat signs."""
    lines = []
    for line in text.split("\n"):
        if re.match("[A-Za-z]:", line):
            lines.append(line)
            continue
        parts = re.split(r'("[^"]*"|\[[A-Za-z]:[^\]]*\]|![^!\s]+!)', line)
        for index, part in enumerate(parts):
            if index % 2 == 0:
                bare = re.sub("[H-Wh-w~]", "", part).replace("x", "z").replace("X", "Z")
                parts[index] = re.sub(r"(::|:\|)", r" \1 ", bare)
            elif part[0] == "!" or part[1:2] in tuple("^_<>@012345"):
                parts[index] = ""
        lines.append("".join(parts))
    return "%abc-2.1\n" + "\n".join(lines)


def theirs(text: str) -> Heard:
    from music21 import converter, harmony

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = converter.parse(for_music21(text), format="abc", forceSource=True)
    heard: list[int] = []
    length = Fraction(0)
    for note in score.parts[0].recurse().notesAndRests:
        if isinstance(note, harmony.ChordSymbol) or note.duration.isGrace:
            continue
        length += Fraction(note.quarterLength).limit_denominator(100_000)
        goes_on = note.tie is not None and note.tie.type in ("stop", "continue")
        if not note.isRest and not (goes_on and heard[-1:] == [max(p.midi for p in note.pitches)]):
            heard.append(max(pitch.midi for pitch in note.pitches))
    return Heard(tuple(heard), length.limit_denominator(10_000))


def reason(text: str) -> str:
    """Why music21 may differ on this tune; empty when the text shows no reason."""
    return next((why for why, sign in REASONS.items() if re.search(sign, text, re.M)), "")


def compare(texts: list[str]) -> tuple[Counter[str], list[str]]:
    """How many agree, differ for which reason, or are errors; and tunes that differ for none."""
    from music21.exceptions21 import Music21Exception

    counts: Counter[str] = Counter()
    unexplained: list[str] = []
    for text in map(words_as_words, texts):
        try:
            mine = ours(read_abc(text))
        except TuneError as error:
            counts[f"our error: {re.sub(r'[0-9]+', '#', error.message)[:60]}"] += 1
            continue
        try:
            agrees = mine == theirs(text)
        except Music21Exception:
            agrees = False
        counts["agree" if agrees else reason(text) or "unexplained"] += 1
        if not agrees and not reason(text):
            unexplained.append(text)
    return counts, unexplained


def _report(name: str, counts: Counter[str]) -> float:
    both = sum(n for kind, n in counts.items() if not kind.startswith("our error"))
    share = counts["agree"] / both
    print(f"{name}: {counts['agree']} of {both} tunes agree with music21 ({share:.2%})")
    for kind, count in counts.most_common():
        print(f"  {count:5} {kind}")
    return share


def test_a_sample_of_the_collections() -> None:
    texts = [text for name in COLLECTIONS for text in collection(name)]
    assert len(texts) == sum(COLLECTIONS.values())
    counts, unexplained = compare(random.Random(1850).sample(texts, SAMPLE))
    assert not unexplained
    assert _report("sample", counts) >= 0.9
    assert counts["agree"] >= 20


@pytest.mark.slow
@pytest.mark.parametrize("name", COLLECTIONS)
def test_whole_collections(name: str) -> None:
    counts, unexplained = compare(collection(name))
    assert sum(counts.values()) == COLLECTIONS[name]
    assert not unexplained
    assert _report(name, counts) >= 0.98
    errors = sum(count for kind, count in counts.items() if kind.startswith("our error"))
    assert errors <= 0.04 * COLLECTIONS[name]


def test_words_that_stand_as_chords_are_errors_in_the_collections_too() -> None:
    """What music21 drops, or reads as a chord: "f" for forte as F."""
    kinds: Counter[str] = Counter()
    for text in random.Random(3).sample(collection("ryansMammoth"), 150):
        if words_as_words(text) == text:
            continue
        with pytest.raises(TuneError) as caught:
            read_abc(text)
        kinds["chord" if "words that are no chord" in caught.value.message else "other"] += 1
    assert kinds["chord"] > 20
    assert kinds["other"] <= kinds["chord"] // 10


# -- tunes with chords ---------------------------------------------------------------------------


def _nottingham() -> list[str]:
    texts = collection("nottingham-dataset")
    assert len(texts) == 2
    return texts


def _chords_agree(text: str) -> int:
    """Compare place and pitch classes of every chord; the number of chords compared."""
    from music21 import converter, harmony, stream

    tune = read_abc(text)
    score = converter.parse("%abc-2.1\n" + text, format="abc", forceSource=True)
    expected = [
        (Fraction(symbol.offset), frozenset(pitch.pitchClass for pitch in symbol.pitches))
        for measure in score.parts[0].getElementsByClass(stream.Measure)
        for symbol in measure.getElementsByClass(harmony.ChordSymbol)
        if not isinstance(symbol, harmony.NoChord)
    ]
    found = [
        (quarters(c.tick), c.chord.pitch_classes | {c.chord.bass_pitch_class})
        for bar in tune.bars
        for c in bar.chords
        if c.chord
    ]
    assert found == expected
    return len(found)


def test_the_chords_of_the_nottingham_tune_agree() -> None:
    text = _nottingham()[0]
    assert _chords_agree(text) == text.count('"') // 2 > 20
    assert compare([text])[0] == Counter(agree=1)


@pytest.mark.parametrize("path", OWN, ids=lambda path: path.stem)
def test_our_own_tunes_agree(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert ours(read_abc(text)) == theirs(text)
    assert _chords_agree(text) > 5


def test_the_other_nottingham_tune_has_a_chord_that_no_one_can_read() -> None:
    """``"D/f+"``, of which music21 makes a wrong chord; with it mended all chords are read."""
    text = _nottingham()[1]
    with pytest.raises(TuneError, match=r"bar 15, column 21: .*'D/F\+'"):
        read_abc(text)
    symbols = [name for _, _, name in chords(read_abc(text.replace("D/f+", "D/f#")))]
    assert symbols[:6] == ["Am", "E7", "Am", "E7", "Am", "Dm"]
    assert symbols[-6:] == ["Am", "Am/G", "D/F#", "F", "E7", "Am"]
    assert len(symbols) == text.count('"') // 2
