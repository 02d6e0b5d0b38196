"""What was learned, in words and as a file of weights.

Public: lesson_text, lesson_toml.
"""

from undersong.learn import ALREADY, BEST, NEAREST, Lesson, Lot


def lesson_text(lesson: Lesson) -> str:
    """A line for each like, what is suggested, and how sure all of this is."""
    lines = [_lot(lot.name, lot.before, lot.after) for lot in lesson.lots]
    if lesson.changed:
        lines += ["", "suggested:"]
        lines += [
            f"  --weight {name}={new}  (now {now})" for name, (now, new) in lesson.changed.items()
        ]
        lines += [_besides(lot) for lot in lesson.lots if lot.besides is not None]
    lines += ["", _verdict(lesson)]
    if lesson.against:
        lines.append(_against(lesson))
    return "\n".join(lines) + "\n"


def lesson_toml(lesson: Lesson) -> str:
    """A file for --weights: every weight that is not its default."""
    rows = [f"{name} = {ms}" for name, ms in lesson.weights.changed]
    return "\n".join(["# suggested by undersong learn; ms of hand work", *rows]) + "\n"


def _lot(name: str, before: int | None, after: int | None) -> str:
    if before is None or after is None:
        return f"{name}: there was no time to see"
    now = f"{before} ms above the best now" if before else "the best now"
    then = f"{after} ms above it then" if after else "the best then"
    return f"{name}: {now}, {then}"


def _besides(lot: Lot) -> str:
    """What the weights change where nothing was pinned."""
    change = f"{lot.besides} would change too" if lot.besides else "no other bar would change"
    return f"under these weights, with nothing pinned, {change}"


def _verdict(lesson: Lesson) -> str:
    if lesson.end == ALREADY:
        if lesson.clear:
            return "what is liked is the best already; that is proven"
        return (
            "what is liked is as good as the best already, and no weights within their limits "
            "make it better than all that cost the same"
        )
    rounds = "1 round" if lesson.rounds == 1 else f"{lesson.rounds} rounds"
    if lesson.end == BEST:
        least = ", and no smaller change would do" if lesson.least else ""
        tie = "" if lesson.clear else "; others cost just as much, and one of them may come out"
        return f"under these weights what is liked is proven best{least}{tie} ({rounds})"
    if lesson.end == NEAREST:
        least = "proven the least" if lesson.least else "the least that was found"
        left = sum(lot.after or 0 for lot in lesson.lots)
        return (
            f"no weights were found that make all of this best; these leave {left} ms in all, "
            f"{least} ({rounds})"
        )
    known = [lot.after for lot in lesson.lots if lot.after is not None]
    if not known:
        return "there was no time to find the best even now; allow more time with --time-limit"
    left = sum(known)
    return (
        f"out of time after {rounds}: the least that any weights tried have left is {left} ms "
        "in all, and there may be better ones; allow more time with --time-limit"
    )


def _against(lesson: Lesson) -> str:
    if len(lesson.against) == 1:
        word = (
            "no weights within their limits make it best"
            if lesson.sure
            else ("no weights were found that make it best")
        )
        return f"{lesson.against[0]} alone: {word}"
    word = "proven" if lesson.sure else "as far as was found"
    return (
        f"these contradict one another, and would not with any one left out ({word}): "
        f"{', '.join(lesson.against)}"
    )
