"""How much memory this process holds.

Public: held.
"""

import os
import sys
from pathlib import Path

_STATM = Path("/proc/self/statm")


def held() -> int:
    """Bytes; where the system does not say, the most that it ever held."""
    try:
        return int(_STATM.read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError, IndexError):
        return _most()


def _most() -> int:
    try:
        import resource
    except ImportError:
        return 0
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used if sys.platform == "darwin" else used * 1024
