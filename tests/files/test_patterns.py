"""Expressions that every Python 3.11 matches alike.

Up to 3.11.4 a possessive quantifier over a group gave wrong matches: https://github.com/python/cpython/issues/106052.
"""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
_OVER_A_GROUP = re.compile(r"(?<!\\)\)(?:[*+?]|\{[0-9,]+\})\+")


def possessive_groups(source: str) -> list[str]:
    """Texts of a module in which a group has a possessive quantifier."""
    texts = (node.value for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Constant))
    found = (text.decode("latin-1") if isinstance(text, bytes) else text for text in texts)
    return [text for text in found if isinstance(text, str) and _OVER_A_GROUP.search(text)]


def test_no_group_has_a_possessive_quantifier() -> None:
    wrong = {
        path.name: texts
        for path in ROOT.glob("routecode/**/*.py")
        if (texts := possessive_groups(path.read_text("utf-8")))
    }
    assert wrong == {}


def test_one_that_has_it_is_found() -> None:
    assert possessive_groups('import re\nA = re.compile(r"(?:a|b)*+c")\n') == ["(?:a|b)*+c"]
    assert possessive_groups('import re\nA = re.compile(rb"(?:a|b){2,}+c")\n') == ["(?:a|b){2,}+c"]
    assert possessive_groups('import re\nA = re.compile(r"[ab]*+(?>(?:a|b)*)c")\n') == []
