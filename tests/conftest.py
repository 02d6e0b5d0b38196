"""What every test wants: Ctrl-C is heard, also where a shell that has no job control started the
tests in the background and left it to be ignored."""

import signal


def pytest_configure() -> None:
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
