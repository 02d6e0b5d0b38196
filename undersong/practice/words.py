"""What a practice plan says, sentence by sentence; the text and the pages say the same.

Public: TITLE, rung_rows, title, opening, briefly, how_to_practise, how_to_loop, caution, warm_up,
spot_title, spot_reason, spot_how, ladder_note, rests, rest_after, closing, fingers, lines, minutes.
"""

from collections.abc import Sequence

from fretboard.hand import CAUTION
from solver.result import Arrangement
from tune.bar_names import PICKUP, bar_name
from tune.time import Tempo
from undersong.compared import named_bars
from undersong.practice.ladder import HAS_TIME, Rung
from undersong.practice.plan import PAUSE, WARM_UP, Plan, Spot
from undersong.practice.timing import plan_seconds
from undersong.sheet.setting_words import hand_called
from undersong.sheet.text_bar import tempo_words
from undersong.sheet.text_difficulty import parts_words
from undersong.sheet.text_signs import finger_words
from undersong.wording import capital

TITLE = "Practice plan"

SITTING = 20 * 60
"""Seconds that nobody should practise beyond without a long break (common practice, no source)."""


def rung_rows(spot: Spot, rungs: Sequence[Rung]) -> dict[str, list[str]]:
    """The rows of a ladder: what stands before each, and a figure for each rung; what is the same
    at every tempo is told above it, not here."""
    rows = {"beats a minute": [str(rung.tempo) for rung in rungs]}
    if not spot.steady:
        rows["asks in all"] = [f"{rung.rating} %" for rung in rungs]
    rows["of the time"] = [f"{rung.hurry} %" for rung in rungs]
    return rows


def title(arrangement: Arrangement) -> str:
    return " ".join(arrangement.tune.title.split())


def minutes(seconds: float) -> str:
    """Whole minutes, counted up."""
    count = int(-(-seconds // 60))
    return "1 minute" if count == 1 else f"{count} minutes"


def opening(plan: Plan) -> list[str]:
    """What it is, and for whom."""
    made = plan.arrangement
    lines = [
        f"For the {hand_called(made.hand)}, and {tempo_words(made.tune.tempo)}. {_lasting(plan)}",
    ]
    lines.append(how_to_practise() if plan.spots else _NOTHING)
    return lines


_NOTHING = "There is no change to practise: the hand need neither move nor stretch."


def _lasting(plan: Plan) -> str:
    seconds = plan_seconds(plan)
    often = "; take it in several sittings" if seconds > SITTING else ""
    return f"About {minutes(seconds)} with all rests{often}."


def how_to_practise() -> str:
    return (
        "The hardest change comes first. Each is played round and round, slowly, then a little "
        "faster. Beneath each tempo stands how much of what your hand can do the loop asks, and "
        "how much of its time the most hurried move needs. Go on to the next tempo when every "
        "round was easy; if one was not, go back one. You need not reach the last on the first "
        "day."
    )


def how_to_loop() -> str:
    """What is left out where places are told in few words."""
    return (
        "In the rest after a round take the hand off the strings and go back to the beginning. "
        "Where the reach decides, every tempo asks the same, and the ladder says only the time "
        "that the most hurried move needs: place the shape without haste, and let go of it in "
        "every rest."
    )


def briefly(plan: Plan) -> str:
    """How long it takes and what comes first, where all else is said elsewhere."""
    return f"{_lasting(plan) if plan.spots else _NOTHING} {warm_up(plan)}"


def caution() -> str:
    return CAUTION


def warm_up(plan: Plan) -> str:
    """What comes before everything."""
    how = f"Warm up for {minutes(WARM_UP)}: "
    if plan.easiest is None:
        return f"{how}play the open strings slowly, with the right hand alone."
    bar = named_bars(plan.arrangement.tune, (plan.easiest.bar,))
    return (
        f"{how}play the open strings slowly, then {bar}, the easiest in which the hand moves "
        f"({plan.easiest.rating} %)."
    )


def spot_title(spot: Spot, number: int) -> str:
    """Such as ``1. Bars 4-5 (1st time), for bar 5 (1st time)``."""
    tune = spot.arrangement.tune
    where = named_bars(tune, (spot.bar,))
    if spot.first == spot.last:
        return f"{number}. {capital(where)}"
    bars = named_bars(tune, (spot.first, spot.last))
    each = [named_bars(tune, (bar,)) for bar in (spot.first, spot.last)]
    if any(name.startswith(bar_name(PICKUP)) for name in each):
        bars = " and ".join(each)
    elif ", " in bars:
        bars = f"bars {' and '.join(name.removeprefix('bar ') for name in each)}"
    return f"{number}. {capital(bars)}, for {where}"


def _parts(spot: Spot) -> str:
    return parts_words(spot.parts, spot.arrangement.hand.noter)


def spot_reason(spot: Spot, brief: bool = False) -> str:
    """Why it is hard at the target tempo, and whether slowness helps; brief: in few words."""
    words = f"At {tempo_words(spot.target)}: {spot.parts.rating} %, {_parts(spot)}."
    if brief:
        words += " The reach decides, at every tempo." * spot.reaches
        return words if spot.steady else words + _harder(spot)
    if spot.reaches:
        words += (
            " The reach decides, and is the same at every tempo: place it without haste, and let "
            "go of it in every rest."
        )
    if not spot.steady:
        return words + _harder(spot)
    so = _harder(spot) or f" So the loop asks {spot.rungs[0].rating} % at each."
    return words + (
        f"{so.removesuffix('.')}; the ladder says only how much of its time the most hurried move "
        "needs."
    )


def _harder(spot: Spot) -> str:
    """That another bar of the loop decides what the loop asks; nothing where none does."""
    if spot.harder is None:
        return ""
    bar = named_bars(spot.arrangement.tune, (spot.harder,))
    when = "at every tempo" if len({rung.rating for rung in spot.rungs}) == 1 else "there"
    return f" The loop asks {spot.rungs[-1].rating} % {when}, since {bar} in it is harder."


def spot_how(spot: Spot, brief: bool = False) -> str:
    """How often, and the rest after each round; brief: in few words."""
    rounds = {1: "once", 2: "twice"}.get(spot.rounds, f"{spot.rounds} times")
    rest = "1 bar" if spot.rest == 1 else f"{spot.rest} bars"
    if brief:
        return f"Each tempo {rounds}, {rest} of rest after every round."
    return (
        f"Play each tempo {rounds}; after every round {rest} of rest: take the hand off the "
        "strings and go back to the beginning."
    )


def ladder_note(spot: Spot) -> str:
    """What is to be known of its rungs beyond the hand, if any; else nothing."""
    over = [rung for rung in spot.rungs if not rung.has_time]
    if not over:
        return ""
    if spot.ladder.fastest is None:
        return (
            f"No tempo brings this within {HAS_TIME} % of what the hand as it is set can do: try "
            "another fingering, or an easier level, before you practise it."
        )
    fast = tempo_words(Tempo(spot.target.beat, spot.ladder.fastest))
    return (
        f"Up to {fast} the hand has time; beyond that the loop asks more than {HAS_TIME} % of "
        "what it can do as it is set. Stay below until it is easy, or choose a slower tempo for "
        "the tune."
    )


def rests() -> str:
    """What ``rest_after`` says, once for all places."""
    return f"After each place rest for {PAUSE} seconds: let the arm hang and the fingers open."


def rest_after() -> str:
    return f"Rest for {PAUSE} seconds: let the arm hang and the fingers open."


def closing(plan: Plan) -> str:
    """The whole tune."""
    tempo = plan.arrangement.tune.tempo
    slow = Tempo(tempo.beat, plan.whole.tempo)
    every, beyond = "every bar", ""
    if plan.never:
        bars = capital(named_bars(plan.arrangement.tune, plan.never))
        every = "every other bar"
        beyond = (
            f" {bars}: more than the hand as it is set "
            "can do at any tempo; try another fingering, or an easier level, first."
        )
    if plan.whole.tempo == tempo.per_minute:
        return f"Then the whole tune at {tempo_words(slow)}: the hand has time in {every}.{beyond}"
    return (
        f"Then the whole tune at {tempo_words(slow)}, the fastest at which the hand has time in "
        f"{every}; {tempo_words(tempo)} only when that is easy.{beyond}"
    )


def fingers(plan: Plan) -> str:
    """What the letters beside the figures mean."""
    letters = finger_words(plan.arrangement.hand).items()
    return "Fingers: " + ", ".join(f"{one} {word}" for one, word in letters) + "."


def lines(plan: Plan, bass_on_top: bool) -> str:
    """Which of the tab's lines is which string; nothing where there is one alone."""
    if plan.arrangement.style.texture == "bass":
        return ""
    top, under = ("bass", "melody") if bass_on_top else ("melody", "bass")
    return f"The top line of the tab is the {top} string, the lowest the {under} string."
