"""What the desk remembers between two questions: open sessions, and answers by their documents.

A session keeps what did not change since the last time, so the same tune in the same hands is
answered in a fraction of the time. Everything here can be forgotten at any moment: the page brings
the work and the document with each question.

Public: Store.
"""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from contextlib import contextmanager
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from solver.watch import Watch
from undersong.desk.settings import Begun, session_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from solver.result import Arrangement
    from undersong.levels import LevelSet
    from undersong.session import Session

Value = TypeVar("Value")


class Shelf(Generic[Value]):
    """The last so many values, by their keys."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[Hashable, Value] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: Hashable) -> Value | None:
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: Hashable, value: Value) -> Value:
        """The value that now stands there: one that came first stays."""
        with self._lock:
            value = self._values.setdefault(key, value)
            self._values.move_to_end(key)
            while len(self._values) > self._most:
                self._values.popitem(last=False)
            return value

    def clear(self) -> None:
        with self._lock:
            self._values.clear()


class _Open:
    """A session, which only one search can use at a time."""

    def __init__(self, make: "Callable[[], Session]") -> None:
        self.lock = threading.Lock()
        self._make = make
        self._session: Session | None = None

    @property
    def session(self) -> "Session":
        if self._session is None:
            self._session = self._make()
        return self._session


class Store:
    """Everything that is remembered."""

    def __init__(self) -> None:
        self._sessions: Shelf[_Open] = Shelf(4)
        self._answers: Shelf[Arrangement] = Shelf(40)
        self._documents: Shelf[Arrangement] = Shelf(40)
        self._drawings: Shelf[dict[str, Any]] = Shelf(12)
        self._levels: Shelf[LevelSet] = Shelf(4)

    @contextmanager
    def session(self, asked: Begun, watch: Watch, use: str = "") -> "Iterator[Session]":
        """The session for that work, when no other search uses it any more; use: a word for long
        searches, which have one of their own, so that the page's next answer need not wait for
        them. Raises Stopped and OutOfTime while it waits."""
        key = (use, asked.tune, asked.instrument, asked.hand, asked.style)
        opened = self._sessions.put(key, _Open(lambda: session_of(asked)))
        while not opened.lock.acquire(timeout=0.05):
            watch.look()
        try:
            yield opened.session
        finally:
            opened.lock.release()

    def answer(self, asked: Begun) -> "Arrangement | None":
        """What was proven best for that work."""
        return self._answers.get(asked)

    def remember(self, asked: Begun, answer: "Arrangement") -> None:
        """Remembers an answer that time cannot better."""
        from solver.result import PROVEN

        if answer.proof.status == PROVEN:
            self._answers.put(asked, answer)

    def read(self, document: str) -> "Arrangement":
        """The arrangement of a document; SheetError, one sentence, for what is none."""
        from undersong.sheet.document import from_json

        key = _key(document)
        known = self._documents.get(key)
        return known or self._documents.put(key, from_json(document, "the answer"))

    def note(self, document: str, answer: "Arrangement") -> None:
        """Remembers which arrangement a document is."""
        self._documents.put(_key(document), answer)

    def levels(self, asked: Begun) -> "LevelSet | None":
        """The levels that were made of that work."""
        return self._levels.get(asked)

    def remember_levels(self, asked: Begun, found: "LevelSet") -> None:
        self._levels.put(asked, found)

    def drawn(self, answer: "Arrangement", width: int) -> dict[str, Any]:
        """Its drawing, so many mm wide, made but once for the same hands: weights and proofs are
        not drawn."""
        from undersong.desk.views.drawing import drawing_view

        key = (answer.tune, answer.instrument, answer.hand, answer.style, answer.choices)
        known = self._drawings.get((width, key))
        return known or self._drawings.put((width, key), drawing_view(answer, width))

    def forget(self) -> None:
        """Lets go of everything."""
        shelves = (self._sessions, self._answers, self._documents, self._drawings, self._levels)
        for shelf in shelves:
            shelf.clear()


def _key(document: str) -> bytes:
    return sha256(document.encode("utf-8", "surrogatepass")).digest()
