"""What a program does with this project: read a tune, arrange it, verify the answer.

Everything here is exported by ``undersong`` itself. Settings may be given by name (``"standard"``,
``"small"``) or as the values that ``instrument`` and ``hand`` make.

Public: read_tune, arrange, arrange_timed, verify, WrongAnswer, Progress.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from tune.errors import Place, TuneError
from tune.tune import Tune

if TYPE_CHECKING:
    from scoring.weights import Weights
    from solver.result import Arrangement
    from solver.search import Answer
    from solver.style import Style
    from undersong.check import Fault

Progress = Callable[[str, int, int], None]
"""Called with the stage's name, what is done of it, and how much there is."""


class WrongAnswer(RuntimeError):  # noqa: N818  what it is, not only that something failed
    """The search gave an answer that the independent check refuses: a fault of this program.

    faults: what the check found, one sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        super().__init__(
            f"the answer was thrown away because it failed its check: {faults[0]}{more}; "
            "this is a fault of the program, please report it with the tune and the settings"
        )


def read_tune(source: str | Path, choose: str | None = None, form: str | None = None) -> Tune:
    """The tune in a file, on standard input (``-``), or bundled under that name.

    A bundled tune's bare name (``harrow-lane``) always means the bundled tune; its whole file name
    does where no such file lies in the current folder. choose: which tune (ABC: X: number or
    title) or part (MusicXML: number, name or id) of the file; form: ``abc``, ``musicxml``, ``mxl``
    or ``chart`` where the suffix does not say it. ``Tune.notices`` tells what could not be used.
    Raises TuneError, one sentence with file and place.
    """
    import corpus
    from tune.readers import read

    name = str(source)
    if name == "-" or (name not in corpus.names() and _is_there(name)):
        return read(name, choose, form)
    try:
        return read(str(corpus.path(name)), choose, form)
    except TuneError:
        raise
    except ValueError as error:
        if _looks_like_a_file(name):
            return read(name, choose, form)  # which says that there is no such file
        names = str(error).rstrip("?")
        raise TuneError(f"{names}; or name a file, or - for standard input") from None


def _is_there(name: str) -> bool:
    """Whether that is the name of a file; TuneError for a folder's."""
    try:
        if name.strip() and Path(name).is_dir():
            raise TuneError("this is a folder; name a file in it", Place(name))
        return bool(name.strip()) and Path(name).exists()
    except OSError as error:
        raise TuneError(f"no file can have that name ({error.strerror})", Place(name)) from None


def _looks_like_a_file(name: str) -> bool:
    return "/" in name or "\\" in name or bool(Path(name).suffix)


def arrange(
    tune: Tune | str | Path,
    *,
    instrument: Instrument | str = "standard",
    hand: Hand | str | int = "medium",
    style: "Style | None" = None,
    weights: "Weights | None" = None,
    seconds: float = 60.0,
    progress: Progress | None = None,
) -> "Arrangement":
    """The best arrangement of the tune, checked before it is given out.

    tune: a Tune, or what ``read_tune`` takes; instrument, hand: values, preset names or files (a
    hand also a measured span in mm); style, weights: the defaults where not given; seconds: how
    long the proof may take (building the graph is extra); out of time the best found so far is
    given, its proof saying by how much it may miss.

    Raises NotPlayable where a bar cannot be played as asked, ArrangeError, TuneError or
    FretboardError for settings and music that cannot be, WrongAnswer where our own check fails.
    """
    return arrange_timed(
        tune,
        instrument=instrument,
        hand=hand,
        style=style,
        weights=weights,
        seconds=seconds,
        progress=progress,
    )[0]


def arrange_timed(
    tune: Tune | str | Path,
    *,
    instrument: Instrument | str = "standard",
    hand: Hand | str | int = "medium",
    style: "Style | None" = None,
    weights: "Weights | None" = None,
    seconds: float = 60.0,
    progress: Progress | None = None,
) -> "tuple[Arrangement, float]":
    """As ``arrange``, with the seconds that the search took (no part of the arrangement, which is
    the same every time)."""
    from fretboard import presets
    from scoring.weights import Weights
    from solver.result import UNPROVEN, Arrangement, Proof
    from solver.search import search
    from solver.style import Style

    tune = tune if isinstance(tune, Tune) else read_tune(tune)
    strung = instrument if isinstance(instrument, Instrument) else presets.instrument(instrument)
    played_by = hand if isinstance(hand, Hand) else presets.hand(hand)
    style = Style() if style is None else style
    weights = Weights() if weights is None else weights
    answer = search(tune, strung, played_by, style, weights, seconds=seconds, progress=progress)
    unproven = Arrangement(
        tune=tune,
        instrument=strung,
        hand=played_by,
        style=style,
        weights=weights,
        moments=answer.moments,
        choices=answer.choices,
        proof=Proof(UNPROVEN, answer.bound, max(0, answer.cost - answer.bound)),
    )
    return _certified(unproven, answer), answer.seconds


def verify(arrangement: "Arrangement") -> "tuple[Fault, ...]":
    """What is wrong with an arrangement, whoever made it; empty where nothing is.

    The check shares no code with the search.
    """
    from undersong.check import check

    return check(arrangement)


def _certified(arrangement: "Arrangement", answer: "Answer") -> "Arrangement":
    """The arrangement with the proof it deserves; WrongAnswer where it fails its check."""
    from solver.result import PROVEN, Proof

    faults = [str(fault) for fault in verify(arrangement)]
    if arrangement.cost != answer.cost:
        faults.append(
            f"the search counted {answer.cost} ms of hand work, evaluation {arrangement.cost}"
        )
    if answer.cost < answer.bound or (answer.optimal and answer.cost != answer.bound):
        faults.append(
            f"the answer costs {answer.cost} ms, which its bound of {answer.bound} rules out"
        )
    if faults:
        raise WrongAnswer(tuple(faults))
    if not answer.optimal:
        return arrangement
    return replace(arrangement, proof=Proof(PROVEN, answer.bound, 0))
