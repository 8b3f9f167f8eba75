"""Canonical JSON: one document, keys in the order given, two spaces, code points as they are, a newline at the end."""

import json
from typing import Any


def canonical(document: Any) -> str:
    """The document as text; equal documents give equal bytes."""
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"
