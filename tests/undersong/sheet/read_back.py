"""What a MusicXML document says, held against the arrangement that it was written from.

The staff part is read by this project's reader, whose own oracle is music21 (tests/tune); the tab
part by a plain walk of its tree.

Public: same_staff, same_tab, tab_bars, Struck.
"""

from dataclasses import dataclass, replace

from lxml import etree

from fretboard.frets import fret_label
from solver.result import Arrangement
from tune.chord import LETTERS
from tune.melody import Sung, sung
from tune.readers.musicxml import read_musicxml
from tune.time import QUARTER
from tune.tune import Tune


@dataclass(frozen=True, order=True)
class Struck:
    """A string that is struck. tick: from the bar's start; string: 1 is nearest to the player;
    label: the printed fret; midi: as the pitch says."""

    tick: int
    string: int
    fret: int
    label: str
    finger: str
    midi: int
    damped: bool


def same_staff(document: bytes, made: Arrangement) -> Tune:
    """The tune in the staff part, once it is known to sound and to read as the one arranged."""
    asked = made.tune
    tune = read_musicxml(document, "harrow.musicxml")
    assert sung(tune) == tuple(_at(tune, note) for note in sung(asked))
    assert len(tune.played) == len(asked.played)
    for here, there in zip(tune.played, asked.played, strict=True):
        one, other = tune.bars[here.written], asked.bars[there.written]
        assert one.length == other.length
        assert (one.metre, one.key, one.number) == (other.metre, other.key, other.number)
        assert one.chords == other.chords
        assert _words(tune, here.written) == _words(asked, there.written)
        graces = [[n.midi for n in bar.notes if n.grace and n.midi] for bar in (one, other)]
        assert graces[0] == graces[1]
        assert _marks(tune, here.written) == _marks(asked, there.written)
    assert _sections(tune) == _sections(asked)
    assert (tune.key, tune.metre) == (asked.key, asked.metre)
    for words in ("title", "composer", "source", "licence"):
        assert getattr(tune, words) == " ".join(getattr(asked, words).split())
    return tune


def _at(tune: Tune, note: Sung) -> Sung:
    """A sung note with the index that its played bar has in the tune read back."""
    return replace(note, written=tune.played[note.bar - 1].written)


def _words(tune: Tune, written: int) -> list[dict[int, str]]:
    """Verse → syllable of every note that has any."""
    notes = tune.bars[written].notes
    return [{v: word for v, word in enumerate(n.lyrics) if word} for n in notes if any(n.lyrics)]


def _marks(tune: Tune, written: int) -> list[tuple[str, ...]]:
    return [note.marks for note in tune.bars[written].notes if note.marks]


def _sections(tune: Tune) -> list[tuple[int, str]]:
    return [
        (played.number, " ".join(tune.bars[played.written].section.split()))
        for played in tune.played
        if tune.bars[played.written].section
    ]


def same_tab(document: bytes, made: Arrangement, tune: Tune) -> None:
    """Every stroke of the arrangement stands in the tab, in order, and no other; tune: the staff
    part read, which says how the bars are played. Where the file says that the first time's
    fingers stand, they are not compared."""
    bars = tab_bars(document)
    written = [bars[played.written] for played in tune.played]
    first_stands = b'name="repeats"' in document
    assert made.style.texture == "bass" or not first_stands
    asked: list[list[Struck]] = [[] for _ in made.tune.played]
    courses = len(made.instrument.courses)
    for moment, choice in zip(made.moments, made.choices, strict=True):
        for course in range(courses):
            if not choice.struck[course]:
                continue
            fret, finger = choice.grip.frets[course], choice.grip.fingers[course]
            asked[moment.bar - 1].append(
                Struck(
                    moment.offset,
                    courses - course,
                    fret - made.instrument.capo,
                    fret_label(fret),
                    "TIMRP"[finger] if finger >= 0 else "",
                    made.instrument.tuning[course] + fret,
                    course == 0 and moment.damped,
                )
            )
    if first_stands:
        written, asked = (
            [[replace(one, finger="") for one in bar] for bar in bars] for bars in (written, asked)
        )
    assert [sorted(bar) for bar in written] == [sorted(bar) for bar in asked]


def tab_bars(document: bytes) -> list[list[Struck]]:
    """Every written bar's strokes, as the second part has them."""
    score = etree.fromstring(document, etree.XMLParser(no_network=True, load_dtd=False))
    part = score.findall("part")[1]
    divisions = int(part.findtext("measure/attributes/divisions"))
    bars: list[list[Struck]] = []
    for measure in part.findall("measure"):
        clock = onset = 0
        struck: list[Struck] = []
        for note in measure.findall("note"):
            if note.find("chord") is None:
                onset = clock
                clock += int(note.findtext("duration"))
            if note.find("rest") is None and "stop" not in _ties(note):
                struck.append(_struck(note, onset * QUARTER // divisions))
        bars.append(sorted(struck))
    return bars


def _ties(note: etree._Element) -> list[str]:
    return [tie.get("type", "") for tie in note.findall("tie")]


def _struck(note: etree._Element, tick: int) -> Struck:
    technical = note.find("notations/technical")
    assert technical is not None
    step = note.findtext("pitch/step")
    octave, alter = int(note.findtext("pitch/octave")), int(note.findtext("pitch/alter", "0"))
    return Struck(
        tick,
        int(technical.findtext("string")),
        int(technical.findtext("fret")),
        technical.findtext("other-technical").removeprefix("fret "),
        technical.findtext("fingering", ""),
        12 * (octave + 1) + LETTERS[step] + alter,
        note.find("notations/articulations/staccato") is not None,
    )
