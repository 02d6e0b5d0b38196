"""What a desk begins with: its secrets, its address, and the tune that it opens.

Public: new_secret, hosts_of, address_of, work_for.
"""

import secrets
from pathlib import Path

from tune.readers.source import read_bytes
from undersong.desk.work import Source, Work


def new_secret() -> str:
    return secrets.token_urlsafe(24)


def hosts_of(host: str, port: int) -> frozenset[str]:
    """What a request's Host may say."""
    own = f"[{host}]" if ":" in host else host.lower()
    return frozenset(f"{name}:{port}" for name in (own, "127.0.0.1", "localhost", "[::1]"))


def address_of(host: str, port: int, key: str) -> str:
    name = f"[{host}]" if ":" in host else host
    return f"http://{name}:{port}/" + (f"?key={key}" if key else "")


def work_for(tune: str) -> Work:
    """A work that begins with that tune: bundled, or a file that is read now.

    Raises TuneError, one sentence, where it cannot be read.
    """
    import corpus
    from undersong.api import read_tune

    if tune in corpus.names():
        return Work(Source(bundled=tune))
    read_tune(tune)
    return Work(Source(name=Path(tune).name, data=read_bytes(tune)))
