"""Serving the desk: the port, the browser, and an end that leaves nothing behind.

Public: serve, free_port, FIRST_PORT.
"""

import asyncio
import errno
import os
import signal
import socket
import threading
import webbrowser
from collections.abc import Callable
from typing import Any

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from undersong.desk.app import Desk, make_app
from undersong.desk.limits import HEAD_SECONDS

FIRST_PORT = 8474
TRIES = 20


class _Impatient(H11Protocol):
    """Closes connections on which nothing whole was asked in time: half-open ones would pile up."""

    def connection_made(self, transport: Any) -> None:
        super().connection_made(transport)
        self._due = self.loop.call_later(HEAD_SECONDS, self._look)

    def connection_lost(self, exc: Exception | None) -> None:
        self._due.cancel()
        super().connection_lost(exc)

    def _look(self) -> None:
        if self.cycle is None and not self.transport.is_closing():
            self.transport.close()


def free_port(host: str, port: int | None) -> socket.socket:
    """A socket that listens there; port: None for the first of a few that is free. OSError where
    the port that was asked for is taken."""
    ports = range(FIRST_PORT, FIRST_PORT + TRIES) if port is None else (port,)
    failed: OSError | None = None
    for number in ports:
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        listening = socket.socket(family, socket.SOCK_STREAM)
        listening.set_inheritable(False)
        try:
            if os.name != "nt":  # where it would let two programs have the same port
                listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind((host, number))
            listening.listen(128)
        except OSError as error:
            listening.close()
            failed = error
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
        else:
            return listening
    assert failed is not None, "there was a port to try"
    raise failed


def serve(
    desk: Desk, listening: socket.socket, address: str, *, browser: bool, say: Callable[[str], None]
) -> None:
    """Serves until it is told to end: by Ctrl-C, a signal, or the terminal that goes away."""
    config = uvicorn.Config(
        make_app(desk),
        http=_Impatient,
        ws="none",
        lifespan="on",
        log_config=None,
        access_log=False,
        server_header=False,
        date_header=False,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=64 * 1024,
    )
    server = uvicorn.Server(config)
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, lambda number, frame: server.handle_exit(number, frame))
    say(f"the desk is at {address} (Ctrl-C ends it)")
    if browser:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    try:
        asyncio.run(server.serve(sockets=[listening]))
    except KeyboardInterrupt:
        pass
    finally:
        listening.close()
