"""Which key and tuning, as text: a table of the best, what each wants and loses, and what became of
all other combinations.

Public: keys_text.
"""

from collections.abc import Iterator

from solver.singing import TUNEFUL
from tune.key import Key
from undersong.advice.combinations import Combination
from undersong.advice.keys import KeyAdvice, KeyRow
from undersong.advice.losses import bars_listed
from undersong.advice.tuning_names import strung, tuning_name
from undersong.compared import bar_cell
from undersong.sheet.setting_words import instrument_words
from undersong.sheet.text_signs import plain
from undersong.wording import aligned, listed, many, wrap


def keys_text(advice: KeyAdvice, texture: str, width: int = 80) -> str:
    """Plain ASCII, lines of at most ``width`` columns but for the table."""
    asked = advice.asked
    sings = f", for the voice {asked.choices.voice}" if asked.choices.voice else ""
    own = asked.choices.own
    head = f"{asked.tune.title}, in {asked.tune.key}: {texture}, {instrument_words(own)}{sings}"
    lines = [*wrap(plain(head), width), ""]
    if advice.rows:
        heads = ("", "tuning", "key", "work", "hardest bar", "median")
        lines += aligned(heads, [_cells(n, row) for n, row in enumerate(advice.rows, 1)])
        lines.append("")
        for number, row in enumerate(advice.rows, 1):
            for sentence in _details(row, asked.tune.key, texture):
                lines += wrap(plain(f"{number}  {sentence}"), width, subsequent_indent="   ")
        lines.append("")
    for sentence in (*_as_it_is(advice), *_told(advice, texture in TUNEFUL)):
        lines += wrap(plain(sentence), width)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _cells(number: int, row: KeyRow) -> tuple[str, ...]:
    proof = row.arrangement.proof
    gap = "" if row.proven else f" (at least {proof.bound})"
    rating = row.arrangement.difficulty
    bar = bar_cell(row.arrangement.tune, (rating.hardest_bar.bar,))
    return (
        str(number),
        row.best.words(),
        str(row.key),
        f"{row.cost} ms{gap}",
        f"{bar}: {rating.hardest} %",
        f"{rating.median} %",
    )


def moved_words(one: Combination, texture: str) -> str:
    """``5 semitones up``: where the tune goes, and with it whoever sings it; where the instrument
    plays the melody, in which octave it is sung besides."""
    octave = one.octave or 0
    if texture in TUNEFUL:
        if not octave:
            return _far(one.semitones)
        far = many(abs(octave), "octave") if abs(octave) > 1 else "an octave"
        return f"{_far(one.semitones)}, sung {far} {'higher' if octave > 0 else 'lower'}"
    return _far(one.semitones + 12 * octave)


def _far(by: int) -> str:
    if not by:
        return "the tune's own pitch"
    if abs(by) == 12:
        return f"an octave {'up' if by > 0 else 'down'}"
    return f"{many(abs(by), 'semitone')} {'up' if by > 0 else 'down'}"


def _details(row: KeyRow, key: Key, texture: str) -> Iterator[str]:
    words = row.best.retuning.words()
    proven = "proven" if row.proven else f"at most {row.arrangement.proof.gap} ms above the best"
    tuned = "; ".join(words) or "nothing to tune or move"
    yield f"{proven}; {moved_words(row.best, texture)}; {tuned}"
    if row.best.retuning.caution():
        yield f"caution: {row.best.retuning.caution()}"
    for loss in row.lost.words():
        yield f"lost: {loss}"
    if row.also:
        others = [f"{one.words()} in {key.transposed(one.semitones)}" for one in row.also]
        yield f"the same frets and fingers play {', or '.join(dict.fromkeys(others))}"


def _as_it_is(advice: KeyAdvice) -> Iterator[str]:
    """Where she is now."""
    own, voice, tune = advice.asked.choices.own, advice.asked.choices.voice, advice.asked.tune
    now = advice.as_it_is
    where = f"As it is now, {strung(own, tuning_name(own))} in {tune.key}"
    if now is None:
        if voice is not None and not voice.octaves(tune, 0):
            yield f"{where}: the voice cannot sing it."
        else:
            yield f"{where}: not looked at."
    elif now.why:
        yield f"{where}: it cannot be played: {now.why}."
    elif now.row is not None:
        yield f"{where}: row {now.row}."
    elif now.least:
        yield f"{where}: {'' if now.exact else 'at least '}{now.least} ms."


def _others(number: int) -> str:
    return f"{number} other{' is' if number == 1 else 's are'}"


def _told(advice: KeyAdvice, tuneful: bool) -> Iterator[str]:
    """What became of the others."""
    parts = ["tuning", "capo", "key and octave" if tuneful else "key"]
    parts[2:2] = ["extra frets"] if len(advice.asked.choices.extras) > 1 else []
    yield (
        f"{many(advice.looked_at, 'combination')} of {listed(parts)}, {advice.problems} of them "
        "different for the hand."
    )
    for why, count in advice.cannot:
        yield f"{count} cannot be played: {why}."
    for near in advice.nearest:
        lacks = f"the chord{'s' * (len(near.chords) > 1)} {listed(near.chords)}"
        if near.notes:
            names = tuple(dict.fromkeys(note.name for note in near.notes))
            lacks = f"{listed(names)} in {bars_listed(note.bar for note in near.notes)}"
        by = near.combination.semitones
        far = f", {_far(by)}," if by else ""
        yield (
            f"Nearest to being played: {near.combination.words()} in "
            f"{advice.asked.tune.key.transposed(by)}{far} lacks {lacks}."
        )
    if advice.unsung:
        them = "it" if advice.unsung == 1 else "them"
        yield (
            f"{many(advice.unsung, 'more key')} left out: the voice cannot sing {them} in any "
            "octave."
        )
    if advice.ruled_out:
        yield (
            f"{_others(advice.ruled_out)} proven to win no place: none of them costs less than "
            f"{advice.least} ms."
        )
    if advice.no_better:
        yield f"{advice.no_better} with more frets cost no less than without them."
    if advice.not_looked_at:
        yield (
            f"{advice.not_looked_at} were not looked at, or not to the end: there was no time; "
            "one of them may be better. Allow more with --time-limit."
        )
    if not advice.rows and not advice.not_looked_at:
        yield "So none is left: try more tunings, capos, keys or extra frets."
