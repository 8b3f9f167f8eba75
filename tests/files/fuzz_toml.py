"""Mutated documents against the parser and the places: no exception may come out, whatever goes in.

Run: python -m tests.files.fuzz_toml --count 2000 --seed 1
At least half of the mutants stay TOML, so that the places are worked too. Prints totals; status 1 when anything was
raised or an answer was wrong.
"""

import argparse
import sys
import tomllib
import traceback
from collections import Counter
from random import Random

from routecode.files.positions import Positions
from routecode.files.toml import parse
from routecode.ground.place import Spot
from tests.files import suite
from tests.files.documents import document
from tests.files.test_positions import paths

_SNIPPETS = (
    *('"', "'", '"""', "'''", "[", "]", "[[", "]]", "{", "}", "=", ",", ".", "#", "\\", "\n", "\r\n", "\r", "\t", " "),
    *(
        "\x00",
        "\x1b",
        "\ufeff",
        "“",
        "é",
        "\U0001f3a4",
        "\\u00e9",
        "\\ud800",
        "\\e",
        "true",
        "nan",
        "0x",
        "1_",
        "-",
        "+",
    ),
    *("9" * 30, "2026-02-30", "10:30", "[a]\n", "[[a]]\n", "a = 1\n", "a.b = 1\n", "<<<<<<< x\n", "[" * 70, "a." * 70),
)
_LIMITS = ("too-deep", "key-too-long", "number-too-long", "number-too-large")
_HARMLESS = (
    "# é [x]\n",
    "\n",
    "zz-{} = 1\n",
    "[zz-{}]\n",
    "[[zz-{}.y]]\n",
    'zz-{} = "]"\n',
    "zz-{}.q = [1, {{w = 2}}]\n",
)


def seeds(rng: Random) -> list[bytes]:
    """The documents to start from: the suite's valid ones where it is there, and random ones."""
    texts = [document(rng).encode() for _ in range(100)]
    if suite.IS_THERE:
        texts += [case.data for case in suite.cases() if case.expected is not None]
    return texts


def mutant(rng: Random, data: bytes) -> bytes:
    """A document near `data`: three in five by whole lines that belong there, the others by anything anywhere."""
    if rng.random() < 0.6:
        return _grown(rng, data)
    text = data.decode("utf-8", errors="replace")
    for _ in range(rng.choice((1, 1, 2, 5))):
        start = rng.randint(0, len(text))
        end = min(len(text), start + rng.choice((0, 0, 1, 3, 20)))
        text = text[:start] + rng.choice((*_SNIPPETS, text[start:end] * 2, "")) + text[end:]
    mutated = text.encode("utf-8", errors="replace")
    if rng.random() < 0.05:
        at = rng.randint(0, len(mutated))
        mutated = mutated[:at] + bytes([rng.randint(0, 255)]) + mutated[at:]
    return mutated


def _grown(rng: Random, data: bytes) -> bytes:
    grown = data if data.endswith(b"\n") else data + b"\n"
    for number in range(rng.randint(1, 4)):
        grown += rng.choice(_HARMLESS).format(number).encode()
    return grown


def fault(data: bytes) -> str:
    """What went wrong with this document: empty when nothing did."""
    parsed = parse("fuzz.toml", data)
    if (parsed.table is None) == (parsed.mistake is None):
        return "neither a table nor a mistake"
    if parsed.mistake is not None:
        place = parsed.mistake.place
        if not isinstance(place, Spot) or not 1 <= place.line <= parsed.text.count("\n") + 1:
            return f"no place, or one outside: {parsed.mistake}"
        is_limit = parsed.mistake.id in _LIMITS
        return "" if is_limit or not _is_toml(data) else f"refused, and the standard library reads it: {parsed.mistake}"
    exact, quick = Positions(parsed.text, exact=True), Positions(parsed.text)
    for path, _ in paths(parsed.table, ()):
        if exact.value(path) is None or exact.value(path) != quick.value(path) or exact.key(path) != quick.key(path):
            return f"places differ or are missing: {path}"
    return "" if _is_toml(data) else "accepted, and the standard library does not read it"


def _is_toml(data: bytes) -> bool:
    """Whether the standard library reads it (once the byte-order mark is gone, which it leaves to its caller)."""
    try:
        tomllib.loads(data.decode("utf-8").removeprefix("\ufeff"))
    except (ValueError, RecursionError):
        return False
    return True


def run(count: int, seed: int) -> Counter[str]:
    """Totals: `valid`, `refused`, `raised`, `wrong`."""
    rng = Random(seed)
    start = seeds(rng)
    totals: Counter[str] = Counter()
    for _ in range(count):
        data = mutant(rng, rng.choice(start))
        try:
            wrong = fault(data)
            totals["refused" if parse("fuzz.toml", data).mistake else "valid"] += 1
        except Exception:
            totals["raised"] += 1
            print(f"raised on {data!r}\n{traceback.format_exc()}", file=sys.stderr)
            continue
        if wrong:
            totals["wrong"] += 1
            print(f"{wrong}\n{data!r}", file=sys.stderr)
    return totals


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--count", type=int, default=2000)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    totals = run(given.count, given.seed)
    print(", ".join(f"{name} {totals[name]}" for name in ("valid", "refused", "raised", "wrong")))
    return 1 if totals["raised"] or totals["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main())
