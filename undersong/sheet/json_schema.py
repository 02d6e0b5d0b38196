"""The published JSON Schemas, which lie beside the modules that write the documents.

Public: read_schema.
"""

import json
from importlib import resources
from typing import Any


def read_schema(package: str, name: str) -> dict[str, Any]:
    """The schema (draft 2020-12) in a package's file of that name."""
    text = resources.files(package).joinpath(name).read_text("utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded
