"""Set up everything and check everything: `python3 tests/run.py`. Further arguments go to pytest.

`--thorough` takes all seeds of random inputs and the heavy tests too, which takes an hour or so.
Format, lint, types, then all tests (not those marked heavy). The first failure of a tool does not hide the others.
"""

import os
import subprocess
import sys

from environment import ROOT, ensure, programs


def main() -> int:
    """Run all checks; 0 when all are fine."""
    thorough = "--thorough" in sys.argv
    more = [each for each in sys.argv[1:] if each != "--thorough"]
    if thorough:
        os.environ["ROUTECODE_THOROUGH"] = "yes"
    python = ensure("[test]")
    programs("ngspice", "chromium")
    steps = (
        ("format", ["-m", "ruff", "format", "--check", "."]),
        ("lint", ["-m", "ruff", "check", "."]),
        ("types", ["-m", "mypy"]),
        ("tests", ["-m", "pytest", *([] if thorough else ["-m", "not heavy"]), "-n", "2", *more]),
    )
    failed = []
    for name, arguments in steps:
        print(f"== {name}", flush=True)
        if subprocess.run([python, *arguments], cwd=ROOT, check=False).returncode:
            failed.append(name)
    print("All checks passed." if not failed else f"Failed: {', '.join(failed)}.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
