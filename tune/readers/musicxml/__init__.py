"""MusicXML 4.0 (``.musicxml``, ``.xml``; ``.mxl`` through ``tune.readers.musicxml.mxl``) as a Tune.

The tree is read here, from bytes that ``tree`` has found safe, and not by music21: that
library parses with a parser that trusts its input, drops endings and degrees of chords on some
files, tells nobody what it passed over, and takes a quarter of a second to import. It is the
oracle of the tests instead. Source: the MusicXML 4.0 specification and schema.

What is read: one part (the first, or the one asked for), its first voice, sounding pitches, chord
symbols, repeats and endings, words. What is passed over is listed in ``Tune.notices``.

Public: read_musicxml.
"""

from pathlib import PurePath
from xml.etree.ElementTree import Element

from tune.errors import Place, TuneError
from tune.readers.musicxml.bars import assemble
from tune.readers.musicxml.measure import PartState, RawBar, read_measure
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.repeats import Repeats, read_repeats
from tune.readers.musicxml.tree import parse, shown, text
from tune.readers.usual import usual_tempo
from tune.tune import Tune


def read_musicxml(data: bytes, file: str = "", choose: str | None = None) -> Tune:
    """The tune in a MusicXML document; ``choose`` is a part's number, name or id.

    Raises TuneError with the file and, where there is one, the bar.
    """
    if data.startswith(b"PK\x03\x04"):
        from tune.readers.musicxml.mxl import unpack

        data = unpack(data, file)
    try:
        return _read(parse(data, file), file, choose)
    except TuneError as error:
        raise error.at(Place(file)) from None


def _read(score: Element, file: str, choose: str | None) -> Tune:
    notices = Notices()
    part = _part(score, choose, notices)
    measures = part.findall("measure")
    if len(measures) > 4096:
        raise TuneError("the part has more than 4096 bars")
    state = PartState(_first_voice(measures), notices)
    raw: list[RawBar] = []
    repeats: list[Repeats] = []
    open_endings: tuple[int, ...] = ()
    for index, measure in enumerate(measures):
        number = _number(measure, index, raw[-1].number if raw else 0)
        try:
            raw.append(read_measure(measure, number, state))
            repeats.append(read_repeats(measure, open_endings))
        except TuneError as error:
            raise error.at(Place(bar=number)) from None
        open_endings = repeats[-1].open_endings
    bars, tempo = assemble(raw, repeats, notices)
    if tempo is None:
        tempo = usual_tempo(bars[0].metre)
        notices.add(f"no tempo is given; taken as {tempo.per_minute} beats a minute")
    tune = Tune(
        _title(score, file, notices),
        bars[0].key,
        bars[0].metre,
        tempo,
        bars,
        composer=_creator(score),
        source=text(score.find("identification/source")),
        licence="; ".join(filter(None, map(text, score.findall("identification/rights")))),
        notices=notices.told(),
    )
    return tune.transposed(state.transposition[0] if state.transposition else 0)


def _part(score: Element, choose: str | None, notices: Notices) -> Element:
    """The part to read; the others are told."""
    listed = {part.get("id", ""): text(part.find("part-name")) for part in score.iter("score-part")}
    parts = score.findall("part")
    if not parts:
        raise TuneError("the MusicXML holds no part")
    names = [listed.get(part.get("id", ""), "") for part in parts]
    chosen = 0 if choose is None else _chosen(choose.strip(), parts, names)
    for index, part in enumerate(parts):
        if index != chosen:
            chords = ", with its chord symbols," if part.find("measure/harmony") is not None else ""
            notices.add(f"part {index + 1} {shown(names[index])!r}{chords} ignored")
    return parts[chosen]


def _chosen(choose: str, parts: list[Element], names: list[str]) -> int:
    """The index of the part that was asked for, by number, name or id."""
    for index, (part, name) in enumerate(zip(parts, names, strict=True)):
        if choose.casefold() in (str(index + 1), name.casefold(), part.get("id", "").casefold()):
            return index
    offered = ", ".join(f"{i + 1} {shown(name)!r}" for i, name in enumerate(names[:12]))
    raise TuneError(f"there is no part {shown(choose)!r}; choose one of {offered}")


def _first_voice(measures: list[Element]) -> str:
    """Voice 1 of the first staff, or the voice its first note is in where there is none."""
    first = ""
    for measure in measures:
        for note in measure.iter("note"):
            if (text(note.find("staff")) or "1") != "1":
                continue
            voice = text(note.find("voice")) or "1"
            if voice == "1":
                return "1"
            first = first or voice
    return first or "1"


def _number(measure: Element, index: int, last: int) -> int:
    """The bar's printed number; 0 for a pickup; an unnumbered bar keeps the one before."""
    printed = measure.get("number", "").strip()
    if index == 0 and measure.get("implicit") == "yes":
        return 0
    if printed.isascii() and printed.isdigit() and len(printed) <= 6:
        return int(printed)
    return last if printed or measure.get("implicit") == "yes" else index + 1


def _title(score: Element, file: str, notices: Notices) -> str:
    """The work's title, else the movement's, else what is printed as the title, else the file."""
    for path in ("work/work-title", "movement-title"):
        title = text(score.find(path))
        if title:
            return title
    for credit in score.findall("credit"):
        if text(credit.find("credit-type")) == "title" and text(credit.find("credit-words")):
            return text(credit.find("credit-words"))
    title = PurePath(file).stem.strip(" -") or "Untitled"
    notices.add(f"no title is given; called {title!r}")
    return title


def _creator(score: Element) -> str:
    """The composer, or whoever is named without a role."""
    creators = score.findall("identification/creator")
    for role in ("composer", "arranger", None):
        names = [text(creator) for creator in creators if creator.get("type") == role]
        if any(names):
            return ", ".join(filter(None, names))
    return ""
