"""Other processes of this machine: how many there is room for, and Ctrl-C kept from them.

Public: cores, deaf.
"""

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager


def cores() -> int:
    """How many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@contextmanager
def deaf() -> Iterator[None]:
    """Whatever threads and processes begin meanwhile, and those that these begin, never hear
    Ctrl-C, which is for this thread alone: it hears it at the end."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    _begin_helper()  # when Python begins it later, it lets Ctrl-C through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin_helper() -> None:
    """Python's own, which cleans up after processes that were ended at once: it need not say so."""
    from multiprocessing.resource_tracker import ensure_running

    quiet = "ignore:resource_tracker:UserWarning"
    sys.warnoptions.append(quiet)  # it is begun with the same
    try:
        ensure_running()
    finally:
        sys.warnoptions.remove(quiet)
