"""What an id and a port name may look like. Matching is exact everywhere: `pre-a` and `Pre-A` are two texts.

Ids hold letters, digits, `-` and `_`. Letters and digits of any script are letters and digits (in Unicode form NFC);
an id beyond ASCII must be quoted in TOML: `[unit."flügel"]`.
"""

import re
import unicodedata

from routecode.language.ranges import read_range

LONGEST_ID = 100
LONGEST_NAME = 200
ID_RULE = "Ids hold letters, digits, `-` and `_`."
_PLAIN_ID = re.compile(r"[A-Za-z0-9_-]{1,100}")
_CHANNEL = re.compile(r".* ch [0-9]+", re.DOTALL)
_RANGE_END = re.compile(r"\.\.[0-9]+(?: step [0-9]+)?\Z")


def id_fault(text: str) -> str:
    """What keeps a text from being an id, as the end of a sentence; empty where nothing does."""
    if _PLAIN_ID.fullmatch(text):
        return ""
    if not text:
        return "is empty"
    if len(text) > LONGEST_ID:
        return f"is longer than {LONGEST_ID} characters"
    if not unicodedata.is_normalized("NFC", text):
        return "is not in Unicode form NFC"
    for char in text:
        if not (char in "-_" or char.isalpha() or char.isdecimal() or unicodedata.category(char) in ("Mn", "Mc")):
            seen = f"`{char}`" if char.isprintable() and not char.isspace() else f"U+{ord(char):04X}"
            return "holds a space" if char == " " else f"holds {seen}"
    return ""


def name_fault(text: str) -> str:
    """What keeps a printable text, perhaps with a range, from being the name of ports; as the end of a sentence."""
    found = read_range(text)
    if isinstance(found, str):
        return f"cannot be `{text[:80]}`: {found}"
    single = _RANGE_END.sub("", text) if found else text
    if len(single) > LONGEST_NAME:
        return f"is longer than {LONGEST_NAME} characters"
    if "/" in single:
        return f"cannot be `{text[:80]}`: `/` stands between a unit and its port"
    if single != single.strip(" ") or "  " in single:
        return f"cannot be `{text[:80]}`: names have no spaces at their ends and no double spaces"
    if _CHANNEL.fullmatch(single):
        return f"cannot be `{text[:80]}`: ` ch` and a number at the end name a channel of a port"
    return ""
