"""Studios for label strips: names in five scripts and more, hostile and very long ones; bays with pitch, start and gaps.

Control and direction signs are not among them: the wiring language refuses them.
"""

import json
from unicodedata import normalize

from routecode.circuit.plant import Plant
from tests.show.studios import circuit_of, opened

NAMES = {
    "latin": "Großer Übertragungswagen – Ångström & Söhne Mikrofonvorverstärker",
    "greek": "Αίθουσα ηχογράφησης και προενισχυτής μικροφώνου",
    "cyrillic": "Большой концертный зал, микрофонный усилитель",
    "hebrew": "אולם הקלטות גדול (מגבר מיקרופון)",
    "arabic": "قاعة التسجيل الكبيرة والسماعات",
    "armenian": "Մեծ դահլիճի խոսափողի ուժեղարար",
    "hostile": "<b>\"&amp;'</b> $(x) %s {y} \\n ]]> <script>",
    "long": "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft " * 3,
    "dense": "W" * 200,
    "marks": normalize("NFC", "Ẵ" + "e\u0316\u0301\u0302x" * 6),
}


def quoted(text: str) -> str:
    """A text in TOML: what JSON writes is a basic string of it."""
    return json.dumps(text)


def bay(
    columns: int = 24, pitch: float = 8.89, start: float = 12.0, gaps: str = "{ after = 8, mm = 3.2 }", more: str = ""
) -> str:
    """A bay called b."""
    return f"""
[bay.b]
title = "Bay"
room = "r"
columns = {columns}
pitch_mm = {pitch}
start_mm = {start}
gaps = [{gaps}]
{more}
"""


def studio(*parts: str) -> Plant:
    """A plant of these tables."""
    head = '[studio]\nlanguage = 1\ntitle = "Small"\n[room.r]\n'
    return circuit_of(opened({"studio.toml": head + "".join(parts)})).plant


def named() -> str:
    """Units whose titles are the names above, each with four outputs and inputs, wired to a bay of forty columns."""
    out = []
    for number, (key, title) in enumerate(NAMES.items()):
        first = 4 * number + 1
        out.append(f"""
[unit.{key}]
title = {quoted(title)}
room = "r"
port = [{{ name = "line out 1..2", direction = "out", signal = "line" }}, {{ name = "left", direction = "out", signal = "line" }},
  {{ name = "Наушники {key}", direction = "out", signal = "line" }}, {{ name = "in 1..4", direction = "in", signal = "line" }}]
[[bay.b.column]]
at = "{first}..{first + 3}"
top = ["{key}/line out 1..2", "{key}/left", "{key}/Наушники {key}"]
bottom = "{key}/in 1..4"
group = {quoted(title)}
""")
    return "".join(out)
