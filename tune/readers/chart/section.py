"""What a chart's section means for its bars: played twice, with endings, or as the signs say.

Public: Section, close.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from tune.errors import Place, TuneError
from tune.readers.chart.fields import short
from tune.tune import Bar


@dataclass
class Section:
    """A section: times is how often it is played, None where nothing is said; line: where it
    begins, 0 for the bars before the first section; first: the index of its first bar.
    """

    name: str = ""
    times: int | None = None
    line: int = 0
    first: int = 0


def close(section: Section, bars: Sequence[Bar]) -> list[Bar]:
    """The section's bars with their repeat signs.

    Signs typed among the bars are left as they are; else ``twice`` and the like, or endings,
    repeat the whole section.
    """
    groups = _ending_groups(bars)
    signed = any(bar.repeat_start or bar.repeat_times > 1 for bar in bars)
    place = Place(line=section.line or None)
    called = f"the section {short(section.name)}" if section.name else "the passage"
    if signed and (section.times or 1) > 1:
        raise TuneError(
            f"{called} is played more than once by its name and by signs; leave one", place
        )
    if signed or (not groups and (section.times or 1) == 1):
        return list(bars)
    done = list(bars)
    done[0] = replace(done[0], repeat_start=True)
    if not groups:
        done[-1] = replace(done[-1], repeat_times=section.times or 1)
        return done
    passes = [number for group in groups for number in bars[group[0]].endings]
    times = section.times or max(passes)
    if sorted(passes) != list(range(1, times + 1)):
        raise TuneError(
            f"{called} is played {'once' if times == 1 else f'{times} times'} and has endings for "
            f"{', '.join(map(str, passes))}; write one ending for each time",
            place,
        )
    for before, after in pairwise(groups):
        if before[-1] + 1 != after[0]:
            raise TuneError(f"bars stand between the endings of {called}; put them before", place)
        done[before[-1]] = replace(done[before[-1]], repeat_times=2)
    return done


def _ending_groups(bars: Sequence[Bar]) -> list[list[int]]:
    """Indices of neighbouring bars that belong to one ending."""
    groups: list[list[int]] = []
    for index, bar in enumerate(bars):
        if not bar.endings:
            continue
        if groups and groups[-1][-1] == index - 1 and bars[index - 1].endings == bar.endings:
            groups[-1].append(index)
        else:
            groups.append([index])
    return groups
