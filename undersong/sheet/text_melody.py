"""Where a solo's melody lies on the bass string, in a player's words.

Public: melody_words.
"""

from solver.result import Arrangement
from undersong.compared import named_bars
from undersong.sheet.hands import carrier_of


def melody_words(made: Arrangement, from_capo: bool = False) -> str:
    """One sentence: in which bars, up to which fret, and how many of these notes the melody string
    does not have; empty where the bass string carries no melody note. from_capo: the fret is
    counted from the capo."""
    instrument, capo = made.instrument, made.instrument.capo
    last = len(instrument.courses) - 1
    carried = [
        (moment, choice.grip.frets[0])
        for moment, choice in zip(made.moments, made.choices, strict=True)
        if carrier_of(moment, choice, instrument) == 0
    ]
    if not carried:
        return ""
    limit = capo + made.style.melody_highest
    within = {instrument.pitch(last, f) for f in instrument.frets(last) if capo <= f <= limit}
    lacking = sum(moment.melody not in within for moment, _ in carried)
    bars = {moment.bar for moment, _ in carried}
    reason = "to spare the hand"
    if lacking:
        every = lacking == len(carried)
        notes = "these notes" if every else f"{lacking} of these {len(carried)} notes"
        reason = f"since the melody string does not have {notes}"
        if len(carried) == 1:
            reason = "since the melody string does not have this note"
    top = instrument.label(max(fret for _, fret in carried), from_capo)
    return (
        f"The melody goes to the bass string in {named_bars(made.tune, sorted(bars))}, up to fret "
        f"{top}, {reason}."
    )
