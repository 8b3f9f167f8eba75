"""Set up everything and check everything: `python3 tests/run.py`. Further arguments go to pytest.

Format, lint, types, then all tests (not those marked heavy). The first failure of a tool does not hide the others.
"""

import subprocess
import sys

from environment import ROOT, ensure, programs


def main() -> int:
    """Run all checks; 0 when all are fine."""
    python = ensure("[test]")
    programs("ngspice", "chromium")
    steps = (
        ("format", ["-m", "ruff", "format", "--check", "."]),
        ("lint", ["-m", "ruff", "check", "."]),
        ("types", ["-m", "mypy"]),
        ("tests", ["-m", "pytest", "-m", "not heavy", "-n", "2", *sys.argv[1:]]),
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
