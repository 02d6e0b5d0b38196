"""Plain names for files, so that no system stumbles over them.

Public: plain_name.
"""

import re
import unicodedata


def plain_name(text: str, most: int) -> str:
    """At most so many small letters, digits and hyphens, ``tune`` where nothing is left."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:most].strip("-") or "tune"
