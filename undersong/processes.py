"""Other processes of this machine: how many there is room for, and Ctrl-C kept from them.

Public: cores, deaf.
"""

import os
import signal
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
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
