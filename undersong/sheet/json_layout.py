"""How JSON documents of ours are laid out: to be read by people as well.

Public: laid_out.
"""

import json
from typing import Any

_WIDTH = 96


def laid_out(value: Any, depth: int = 0) -> str:
    """JSON with a line for each value that fits on one."""
    flat = json.dumps(value)
    if not isinstance(value, dict | list) or not value or len(flat) + 2 * depth <= _WIDTH:
        return flat
    inner, outer = "  " * (depth + 1), "  " * depth
    if isinstance(value, dict):
        rows = [f"{json.dumps(key)}: {laid_out(item, depth + 1)}" for key, item in value.items()]
        opened, closed = "{", "}"
    else:
        rows = [laid_out(item, depth + 1) for item in value]
        opened, closed = "[", "]"
    return f"{opened}\n{inner}" + f",\n{inner}".join(rows) + f"\n{outer}{closed}"
