"""Ctrl-C kept from helpers: it is for the thread that answers it.

Public: deaf.
"""

import signal
from collections.abc import Iterator
from contextlib import contextmanager


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
