"""Ctrl-C while a library calls back into Python: held back, and handed on once it is done.

An exception that is raised inside such a call back is printed and forgotten by the library, which
then goes on with a file that lacks what was being written. So nothing is raised there: the signal
is noted, and the handler that was there before hears of it between two calls.

Public: interrupts_held.
"""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def interrupts_held() -> Iterator[Callable[[], None]]:
    """Holds Ctrl-C back; gives a function that hands on what was noted so far, to be called
    wherever an exception can be raised. What is noted after its last call is handed on at the end,
    unless something else went wrong. Only the main thread hears of Ctrl-C, so elsewhere nothing is
    held, nor where it was not to raise anything."""
    handler = signal.getsignal(signal.SIGINT)
    if threading.current_thread() is not threading.main_thread() or not callable(handler):
        yield lambda: None
        return
    noted: list[FrameType | None] = []

    def hand_on() -> None:
        if noted:
            frame = noted[-1]
            noted.clear()
            handler(signal.SIGINT, frame)

    signal.signal(signal.SIGINT, lambda _, frame: noted.append(frame))
    try:
        yield hand_on
    finally:
        signal.signal(signal.SIGINT, handler)
    hand_on()
