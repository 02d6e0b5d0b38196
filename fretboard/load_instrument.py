"""An instrument from its TOML table: which frets lie under which course, tuning and lengths.

A file may leave anything out; what is left out is as on the standard instrument. Keys::

    meaning = "one line for the list"
    tuning = "D3 A3 D4"            # open strings, bass first: three or four
    whole_frets = 14               # frets 1 to 14
    extra_frets = ["6+", "13+"]    # or "chromatic": a fret at every semitone
    scale = "27in"                 # or millimetres: 686
    spacing = 16                   # mm from course to course
    doubled = ["melody"]           # courses that are a close pair of strings
    [partial_frets]
    "1+" = ["melody"]              # a fret that runs under these courses only

Courses are named bass, middle, melody; on four courses bass, middle, inner melody, melody.

Public: instrument_from, INSTRUMENT_KEYS.
"""

from fretboard.errors import FretboardError
from fretboard.frets import fret_label, fret_semitones
from fretboard.instrument import COURSE_NAMES, Course, Instrument
from fretboard.reading import Table
from fretboard.tuning import parse_tuning

INSTRUMENT_KEYS = (
    "meaning", "tuning", "whole_frets", "extra_frets", "scale", "spacing", "doubled",
    "partial_frets",
)  # fmt: skip
_TUNING = "D3 A3 D4"
_WHOLE_FRETS = 14
_EXTRA_FRETS = ("6+",)
_SCALE_MM = 27 * 25.4
_SPACING_MM = 16


def instrument_from(table: Table, name: str) -> Instrument:
    """The instrument that the table describes; FretboardError names file and key."""
    table.text("meaning", "")
    typed = table.text("tuning", _TUNING)
    scale, spacing = table.mm("scale", _SCALE_MM), table.mm("spacing", _SPACING_MM)
    try:
        tuning = parse_tuning(typed)
    except FretboardError as error:
        raise FretboardError(f"{table.where}: {error}") from None
    names = COURSE_NAMES[len(tuning)]
    everywhere = _frets_everywhere(table)
    partial = _partial_frets(table, names, everywhere)
    doubled = _courses(table, "doubled", names)
    courses = tuple(
        Course(pitch, tuple(sorted(everywhere | partial[course])), course in doubled)
        for course, pitch in zip(names, tuning, strict=True)
    )
    try:
        return Instrument(name, courses, scale, spacing)
    except FretboardError as error:
        raise FretboardError(f"{table.where}: {error}") from None


def _frets_everywhere(table: Table) -> frozenset[int]:
    """The frets that run under every course, in semitones."""
    count = table.whole("whole_frets", _WHOLE_FRETS)
    if not 7 <= count <= 21:
        raise table.error("whole_frets", "7 to 21")
    last = fret_semitones(str(count))
    if table.values.get("extra_frets") == "chromatic":
        return frozenset(range(1, last + 1))
    labels = table.texts("extra_frets") if "extra_frets" in table.values else _EXTRA_FRETS
    whole = {fret_semitones(str(number)) for number in range(1, count + 1)}
    return frozenset(whole | {_extra(table, "extra_frets", label, last) for label in labels})


def _partial_frets(
    table: Table, names: tuple[str, ...], everywhere: frozenset[int]
) -> dict[str, set[int]]:
    """Course name → the frets that run under it but not under all."""
    given = table.table("partial_frets")
    partial: dict[str, set[int]] = {name: set() for name in names}
    for label in given.values:
        fret = _extra(given, label, label, max(everywhere))
        if fret in everywhere:
            raise FretboardError(
                f"{given.where}: fret {label} runs under every course already; "
                "take it out here or out of extra_frets"
            )
        for course in _courses(given, label, names):
            partial[course].add(fret)
    return partial


def _extra(table: Table, key: str, label: str, last: int) -> int:
    """The semitones of an extra fret; complains of whole numbers and of frets past the last."""
    where = table.where if key == label else f"{table.where}: {key}"
    chromatic = '; or "chromatic" for all' if key == "extra_frets" else ""
    try:
        semitones = fret_semitones(label)
    except FretboardError as error:
        raise FretboardError(f"{where}: {error}{chromatic}") from None
    if not fret_label(semitones).endswith("+"):
        raise FretboardError(
            f"{where}: {label} is a whole-number fret; extra frets are written "
            "such as 1+, 6+, 8+, 13+"
        )
    if semitones > last:
        raise FretboardError(
            f"{where}: fret {label} lies past the last whole fret, {fret_label(last)}; "
            "raise whole_frets"
        )
    return semitones


def _courses(table: Table, key: str, names: tuple[str, ...]) -> tuple[str, ...]:
    """The course names given under the key."""
    given = table.texts(key)
    if set(given) - set(names):
        raise table.error(key, f"courses out of {', '.join(names)}")
    return given
