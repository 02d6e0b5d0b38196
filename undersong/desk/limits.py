"""How much the desk takes on at once, in one place.

Public: MOST_BODY, MOST_WAITING_BYTES, BODY_SECONDS, HEAD_SECONDS, SEARCHES, WAITING, SECONDS,
MOST_MEMORY, ERRANDS.
"""

MOST_BODY = 16_000_000
"""Bytes of one request: a tune of eight megabytes in base64, and an answer."""

MOST_WAITING_BYTES = 64_000_000
"""Bytes of all requests that are being read at one time."""

BODY_SECONDS = 30.0
"""Seconds that a request's body may take to arrive: from the same machine it takes none."""

HEAD_SECONDS = 15.0
"""Seconds until a connection must have asked for something."""

SEARCHES = 2
"""Searches that run at one time; each uses several threads."""

WAITING = 8
"""Searches that wait for their turn; beyond, the desk says that it is busy."""

SECONDS = 120.0
"""What one search may take at most, whatever the page asks for."""

MOST_MEMORY = 3 << 30
"""Bytes that the process may hold; a search that goes beyond is stopped."""

ERRANDS = 4
"""Pages, sounds and files that are made at one time."""
