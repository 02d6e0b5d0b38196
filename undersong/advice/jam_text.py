"""Advice for a jam as text.

Public: jam_text.
"""

from collections.abc import Iterator, Sequence

from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from tune.key import Key
from undersong.advice.cadence import cadence
from undersong.advice.jam import Jam, KeyNotPlayed, KeyPlayed, Sitting
from undersong.advice.retuning import retuned
from undersong.sheet.text_signs import plain
from undersong.wording import aligned, listed, wrap


def jam_text(jam: Jam, width: int = 80, whole: bool = False) -> str:
    """The page, in ASCII. width: columns; whole: every tuning key by key, not only the best."""
    evening = jam.evening
    frets = ", ".join(map(fret_label, evening.own.extra_frets)) or "none"
    keys = ", ".join(map(str, evening.keys))
    capos = ", ".join(fret_label(capo) for capo in evening.capos if capo) or "none"
    lines = wrap(
        plain(f"For {keys} on {evening.own.name} (extra frets: {frets}; capos tried: {capos})"),
        width,
    )
    lines += ["", *_tables(_HEADS, [_row(sitting, jam) for sitting in jam.sittings], width)]
    if any(sitting.played for sitting in jam.sittings):
        lines += wrap(_LEGEND, width)
    lines += _without_third(jam.sittings, width)
    if any(not sitting.finished and not sitting.late for sitting in jam.sittings):
        lines += wrap("at least: proven to come after the best, and not solved to the end", width)
    if any(sitting.late for sitting in jam.sittings):
        lines += wrap("out of time: may yet be better; allow more with --time-limit", width)
    lines += wrap(
        plain(f"Solved in each key, a bar of each chord: {_cadences(evening.keys)}."), width
    )
    sounding = ", ".join(f"{each.name} is {_strings(each.instrument)}" for each in jam.sittings)
    lines += wrap(f"As the strings sound, bass to melody (C4 is middle C): {sounding}.", width)
    told = [each for at, each in enumerate(jam.sittings) if each.finished and (whole or at == 0)]
    for sitting in told:
        lines += ["", *_whole(sitting, jam, width, best=sitting is jam.sittings[0])]
    lines += _lacking([each for each in jam.sittings if each not in told], width)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _cadences(keys: Sequence[Key]) -> str:
    """``D G A D in D major``, key by key."""
    told = []
    for key in dict.fromkeys(keys):
        chords = [str(change.chord) for bar in cadence(key).bars for change in bar.chords]
        told.append(f"{' '.join(chords)} in {key}")
    return "; ".join(told)


_HEADS = ("tuning", "keys", "in all", "work", "no drone", "capo moved", "tuned anew")

_LEGEND = (
    "ms: of hand work; 2 x 500 ms: twice, and each counts as much as 500 ms of hand work; "
    "no drone: open strings neither root nor fifth of the key; tuned anew: by so many semitones"
)


def _row(sitting: Sitting, jam: Jam) -> tuple[str, ...]:
    keys, prices = jam.evening.keys, jam.evening.prices
    count = len(keys) - sum(keys.count(each.key) for each in sitting.not_played)
    if not sitting.finished:
        told = "out of time" if sitting.late else f"at least {sitting.total} ms"
        return (sitting.name, "-", told, *"----")
    if not sitting.played:
        return (sitting.name, f"0 of {len(keys)}", *"-----")
    return (
        sitting.name,
        f"{count} of {len(keys)}",
        f"{sitting.total} ms" if sitting.proven else f"at most {sitting.total} ms",
        f"{sum(each.cost for each in sitting.played)} ms",
        _times(sum(each.no_drone for each in sitting.played), prices.no_drone),
        _times(sitting.moves, prices.capo_move),
        _times(sitting.semitones, prices.retune),
    )


def _times(count: int, price: int) -> str:
    """``2 x 750 ms``: how often, and what one counts."""
    return f"{count} x {price} ms" if count else "-"


_WHOLE = "\N{NO-BREAK SPACE}"
"""Between words that stay on one line."""


def _tables(heads: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """Columns; where the page has no room for them, each row as a sentence of its own."""
    table = aligned(heads, rows)
    if max(map(len, table)) <= width:
        return table
    lines = []
    for first, *cells in rows:
        told = [
            f"{head} {cell.replace(' ', _WHOLE)}"
            for head, cell in zip(heads[1:], cells, strict=True)
            if cell != "-"
        ]
        line = f"{first}: {'; '.join(told)}"
        lines += [part.replace(_WHOLE, " ") for part in wrap(line, width, subsequent_indent="  ")]
    return lines


def _without_third(sittings: Sequence[Sitting], width: int) -> list[str]:
    """Which keys count as played though their own chord lacks its third; alike tunings together."""
    alike: dict[str, list[str]] = {}
    for sitting in sittings:
        keys = dict.fromkeys(
            str(each.key)
            for each in sitting.played
            if str(cadence(each.key).bars[0].chords[0].chord) in each.no_third
        )
        if keys:
            alike.setdefault(", ".join(keys), []).append(sitting.name)
    if not alike:
        return []
    told = "; ".join(f"{keys} in {listed(names)}" for keys, names in alike.items())
    words = (
        "counted as played, though somewhere the key's own chord has no third, and is neither "
        f"major nor minor there: {told}"
    )
    return wrap(plain(words), width)


def _lacking(sittings: Sequence[Sitting], width: int) -> Iterator[str]:
    """Which keys those tunings do not play, and the first reason; alike tunings together."""
    alike: dict[tuple[str, str], list[str]] = {}
    for sitting in sittings:
        if sitting.not_played:
            keys = ", ".join(str(each.key) for each in sitting.not_played)
            first = sitting.not_played[0]
            capo, why = first.why[0]
            there = f"with a capo at {fret_label(capo)}" if capo else "without a capo"
            key = f"{first.key} " if len(sitting.not_played) > 1 else ""
            told = f"{key}{there}, {why.partition(';')[0]}"
            alike.setdefault((keys, told), []).append(sitting.name)
    if alike:
        yield from ("", *wrap("Not to be played in the other tunings, and why the first:", width))
    for (keys, told), names in alike.items():
        line = plain(f"{keys} in {listed(names)}: {told}")
        yield from wrap(line, width, initial_indent="  ", subsequent_indent="    ")


def _whole(sitting: Sitting, jam: Jam, width: int, best: bool) -> Iterator[str]:
    what = "Sit down in" if best and sitting.played else "In"
    change = retuned(jam.evening.own, sitting.instrument, jam.evening.made_for)
    tuned = f": {'; '.join(change.words())}" if change.strings else ", as it is strung"
    yield from wrap(plain(f"{what} {sitting.name} ({_strings(sitting.instrument)}){tuned}."), width)
    if change.caution():
        yield from wrap(plain(f"Caution: {change.caution()}."), width)
    if sitting.played:
        yield from _tables(
            ("key", "capo", "work", "open strings", "scale on the melody string", "no third in"),
            [_key(each, sitting.instrument) for each in sitting.played],
            width,
        )
    for each in sitting.not_played:
        yield from wrap(plain(_why(each)), width, subsequent_indent="  ")


def _key(each: KeyPlayed, strung: Instrument) -> tuple[str, ...]:
    drones = " ".join(_note(pitch + each.capo) for pitch in strung.tuning)
    foreign = [_note(p + each.capo) for p, degree in zip(strung.tuning, each.open, strict=True)
               if degree == "outside the scale"]  # fmt: skip
    told = f"{drones} (not in the key: {', '.join(dict.fromkeys(foreign))})" if foreign else drones
    return (
        str(each.key),
        fret_label(each.capo) if each.capo else "none",
        f"{each.cost} ms" if each.proven else f"{each.cost} ms, not proven",
        told,
        _scale(each),
        ", ".join(each.no_third) or "-",
    )


def _scale(each: KeyPlayed) -> str:
    """The lowest octave of the scale."""
    if not each.scales:
        return "not whole"
    scale = each.scales[0]
    extra = f" with {', '.join(map(fret_label, scale.extra))}" if scale.extra else ""
    return f"frets {fret_label(scale.first)} to {fret_label(scale.last)}{extra}"


def _why(each: KeyNotPlayed) -> str:
    """The first reason, and the capos under which it is no better."""
    (capo, first), *others = each.why
    there = f"with a capo at {fret_label(capo)}" if capo else "without a capo"
    nor = ", ".join(fret_label(fret) if fret else "none" for fret, _ in others)
    rest = f" (nor with the capo at {nor})" if nor else ""
    return f"{each.key} cannot be played{rest}: {there}, {first}"


def _strings(instrument: Instrument) -> str:
    return " ".join(map(pitch_name, instrument.tuning))


def _note(pitch: int) -> str:
    return pitch_name(pitch).rstrip("0123456789-")
