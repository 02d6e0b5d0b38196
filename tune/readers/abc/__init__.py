"""The ABC reader: text in, one ``Tune`` out (the ABC music standard 2.1, December 2011).

Read are the first voice's notes, rests, chord symbols, repeats, endings, parts, lyrics, changes of
metre, key and tempo. What cannot be used is told in the tune's ``notices``, each kind once with
the first bar it stands in; what would change the music if it were left out is a TuneError with
file, line, bar and column.

Where the file is silent: no key is C major, no metre is free metre (ABC 2.1 §3.1.6), no unit
length follows the metre (§3.1.7), no tempo is ``usual_tempo``.

Public: read_abc, abc_tunes.
"""

from dataclasses import replace

from tune.errors import Place, TuneError
from tune.key import Key
from tune.readers.abc.bars import finished_bars
from tune.readers.abc.body import Body, Header
from tune.readers.abc.fields import FREE_METRE
from tune.readers.abc.file import chosen_tune, split_file
from tune.readers.usual import usual_tempo
from tune.tune import Bar, Tune

_LICENCE_WORDS = ("copyright", "©", "licen", "public domain", "creative commons", "cc by", "cc0")


def abc_tunes(text: str) -> tuple[tuple[str, str], ...]:
    """(X: number, title) of every tune in the file, in its order."""
    return tuple((tune.number, tune.title) for tune in split_file(text).tunes)


def read_abc(text: str, file: str = "", choose: str | None = None) -> Tune:
    """The tune in ``text``; ``choose`` is an X: number or a title where there are several.

    ``file`` is the name that error messages give. Raises TuneError.
    """
    try:
        parts = split_file(text)
        found = chosen_tune(parts.tunes, choose, file)
        body = Body()
        draft = body.read(parts.header, found.lines)
        if not draft.bars:
            line = found.lines[-1].number if found.lines else 1
            raise TuneError("the tune has no notes before its end", Place(line=line))
        bars, notices = finished_bars(draft, file)
        header = body.header
        metre = header.metre or FREE_METRE
        tune = Tune(
            title=found.title or "Untitled",
            key=header.key.key if header.key else Key(),
            metre=metre,
            tempo=body.tempo or usual_tempo(metre),
            bars=bars,
            composer=_joined(header, "C"),
            source=_joined(header, "SBOZ"),
            licence=_licence(header),
        )
        notices += _unheard(tune.bars, {played.written for played in tune.played})
        notices += _parts(header, tune.bars)
        if not found.titles:
            notices += (f"the tune has no T: line; it is called {tune.title}",)
        if found.lost:
            notices += (
                f"an empty line ends a tune, so line {found.lost[0]} is not read; "
                "take the empty line out if it belongs to the tune",
            )
        semitones = body.shift.semitones
        if semitones:
            notices += (f"the tune is moved by {semitones:+d} semitones, as transpose= asks",)
            tune = tune.transposed(semitones)
        return replace(tune, notices=notices)
    except TuneError as error:
        raise error.at(Place(file)) from None


def _joined(header: Header, letters: str) -> str:
    """The texts of some fields, those about licence left out of ``Z``."""
    texts = [
        text
        for letter in letters
        for text in header.texts.get(letter, [])
        if letter != "Z" or not _about_licence(text)
    ]
    return "; ".join(dict.fromkeys(texts))


def _about_licence(text: str) -> bool:
    return any(word in text.lower() for word in _LICENCE_WORDS)


def _licence(header: Header) -> str:
    texts = [text for text in header.texts.get("Z", []) if _about_licence(text)]
    return "; ".join([*([header.copyright] if header.copyright else []), *texts])


def _parts(header: Header, bars: tuple[Bar, ...]) -> tuple[str, ...]:
    """A notice when the header's order of parts is not simply the written one."""
    written = "".join(bar.section for bar in bars)
    return tuple(
        f"the order of parts P:{text} is not followed; the bars stand as written"
        for text in header.texts.get("P", [])
        if "".join(text.split()) != written
    )


def _unheard(bars: tuple[Bar, ...], heard: set[int]) -> tuple[str, ...]:
    """A notice of bars that the repeats and endings as written never come to."""
    lost = sorted({bar.number for index, bar in enumerate(bars) if index not in heard})
    if not lost:
        return ()
    named = ", ".join(str(number) for number in lost)
    return (f"the repeats as written never come to bar {named}; check the endings",)
