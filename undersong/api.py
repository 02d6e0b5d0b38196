"""What a program does with this project: read a tune, arrange it, verify the answer.

Everything here is exported by ``undersong`` itself. Settings may be given by name (``"standard"``,
``"small"``) or as the values that ``instrument`` and ``hand`` make.

Public: read_tune, arrange, verify.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from tune.errors import Place, TuneError
from tune.tune import Tune

if TYPE_CHECKING:
    from scoring.weights import Weights
    from solver.conditions import Conditions
    from solver.result import Arrangement
    from solver.style import Style
    from solver.watch import Watch
    from undersong.check import Fault


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
    conditions: "Conditions | None" = None,
    time_limit: float = 60.0,
    watch: "Watch | None" = None,
) -> "Arrangement":
    """The best arrangement of the tune that holds the conditions, checked before it is given out.

    tune: a Tune, or what ``read_tune`` takes; instrument, hand: values, preset names or files (a
    hand also a measured span in mm); style, weights, conditions: the defaults where not given;
    time_limit: seconds; out of time the best found so far is given, its proof saying by how much
    it may miss; watch: instead of a limit, one that also tells progress and can stop the search.

    Raises what ``Session.arrange`` raises, and TuneError or FretboardError for music, instruments
    and hands that cannot be. Whoever asks again for the same tune keeps a ``Session``.
    """
    from solver.conditions import NONE
    from solver.watch import Watch
    from undersong.session import Session

    session = Session(tune, instrument=instrument, hand=hand, style=style)
    watch = Watch(seconds=time_limit) if watch is None else watch
    return session.arrange(weights, NONE if conditions is None else conditions, watch=watch)


def verify(arrangement: "Arrangement") -> "tuple[Fault, ...]":
    """What is wrong with an arrangement, whoever made it; empty where nothing is.

    The check shares no code with the search.
    """
    from undersong.check import check

    return check(arrangement)
