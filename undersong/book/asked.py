"""What is asked of one tune, solved: one version, or one for each level; or why not.

Public: Answered, answered, fault_of_ours.
"""

from dataclasses import dataclass, replace

from solver.conditions import Conditions
from solver.errors import ArrangeError, NotFound, NotPlayable, Unfulfillable
from solver.result import PROVEN, Arrangement
from solver.watch import OutOfTime, Watch
from tune.tune import Tune
from undersong.book.entry import Failure
from undersong.book.settings import Asking, Settings
from undersong.book.source import Source
from undersong.levels.level import Level
from undersong.levels.level_set import Made
from undersong.session import Session, WrongAnswer


@dataclass(frozen=True)
class Answered:
    """arrangements: with their levels' numbers; failures: what there is none of, and why; timed:
    whether more time might change any of it; lasting: whether the same would come out again."""

    arrangements: tuple[tuple[int | None, Arrangement], ...] = ()
    failures: tuple[Failure, ...] = ()
    timed: bool = False
    lasting: bool = True


def answered(
    tune: Tune, asking: Asking, source: Source, settings: Settings, watch: Watch
) -> Answered:
    """The best that holds what is asked, each version checked; what cannot be is a failure with
    what would mend it."""
    name = asking.name
    try:
        wishes = settings.wishes if source.wishes is None else settings.wishes.over(source.wishes)
        conditions = wishes.conditions()
        session = _session(tune, asking, settings)
        try:
            if asking.levels is None:
                return _one(session, conditions, settings, watch)
            return _levels(session, asking, conditions, settings, watch)
        except (NotPlayable, Unfulfillable) as error:
            return _cannot(error, session, conditions, name, settings)
    except (NotFound, OutOfTime) as error:
        lost = [level.number for level in asking.levels] if asking.levels else [None]
        failures = tuple(Failure(number, str(error), (), name, True) for number in lost)
        return Answered(failures=failures, timed=True)
    except ArrangeError as error:
        return Answered(failures=(Failure(None, str(error), (), name),))
    except Exception as error:
        return Answered(failures=(fault_of_ours(error, name),), lasting=False)


def fault_of_ours(error: Exception, texture: str = "") -> Failure:
    """What nobody expected, as a failure that says so; texture: the one asked for, if any."""
    if isinstance(error, WrongAnswer):
        reason = str(error)
    else:
        words = " ".join(f"{type(error).__name__}: {error}".split()).rstrip(": ")
        reason = (
            f"a fault of this program ({words}); please report it with the tune and the settings"
        )
    return Failure(None, reason, (), texture, ours=True)


def _session(tune: Tune, asking: Asking, settings: Settings) -> Session:
    style = asking.style
    if style.texture == "bass" and settings.usual_ceiling:
        from solver.bass_part import usual_bass_ceiling

        style = replace(style, bass_ceiling=usual_bass_ceiling(tune, settings.instrument))
    return Session(tune, instrument=settings.instrument, hand=settings.hand, style=style)


def _one(session: Session, conditions: Conditions, settings: Settings, watch: Watch) -> Answered:
    made = session.arrange(settings.weights, conditions, watch=watch)
    return Answered(((None, made),), timed=made.proof.status != PROVEN)


def _levels(
    session: Session, asking: Asking, conditions: Conditions, settings: Settings, watch: Watch
) -> Answered:
    found = session.levels(asking.levels, settings.weights, conditions, watch=watch)
    arrangements: list[tuple[int | None, Arrangement]] = []
    failures: list[Failure] = []
    timed = not found.proven
    hardest = True
    for one in reversed(found.made):
        if one.arrangement is not None:
            arrangements.insert(0, (one.level.number, one.arrangement))
        else:
            mends = one.nearest[: settings.mends]
            timed = timed or one.open
            if hardest and not mends:
                mends, late = _mends_of_level(session, one.level, conditions, settings)
                timed = timed or late
            failures.insert(0, _unmet(one, mends, asking.name))
        hardest = False
    return Answered(tuple(arrangements), tuple(failures), timed)


def _unmet(one: Made, mends: tuple[str, ...], name: str) -> Failure:
    """A level that there is no version of, as a failure."""
    return Failure(one.level.number, one.why, mends, name, one.open)


def _mends_of_level(
    session: Session, level: Level, conditions: Conditions, settings: Settings
) -> tuple[tuple[str, ...], bool]:
    """What would mend the hardest level, where it cannot be met, with which none can: the changes,
    and whether there was no time for some."""
    try:
        own = session.in_style(level.style(session.style, session.instrument))
        caps = level.limits(session.instrument)
        return _mends(own, replace(level.conditions(conditions), limits=caps), settings)
    except (NotFound, OutOfTime):
        return (), True  # the reason stands with the level already
    except ArrangeError:
        return (), False


def _cannot(
    error: Exception, session: Session, conditions: Conditions, name: str, settings: Settings
) -> Answered:
    """The reason, and what would mend it."""
    try:
        mends, timed = _mends(session, conditions, settings)
    except (NotFound, OutOfTime):
        mends, timed = (), True  # the reason stands all the same
    except ArrangeError:
        mends, timed = (), False
    failure = Failure(None, str(error), mends, name)
    return Answered(failures=(failure,), timed=timed)


def _mends(
    session: Session, conditions: Conditions, settings: Settings
) -> tuple[tuple[str, ...], bool]:
    """The cheapest changes that would do, each solved, and whether there was no time for some;
    looked for to the end where the time is enough, so that the same are told each time."""
    if not settings.mends:
        return (), False
    from undersong.mends import mends_of

    watch = Watch(seconds=settings.seconds)
    try:
        clash = session.clash(conditions, settings.weights, watch)
        if clash is None:
            return (), False
        wanted = session.wanted(conditions)
        found = mends_of(wanted, clash, settings.weights, watch, settings.transpose)
    except OutOfTime:
        return (), True
    return found.told(settings.mends), bool(found.untried)
