"""Set routecode up and do its main job on the example studio: `python3 examples/run.py [FOLDER]`.

Makes `.venv`, builds the history of the Millrace studio as a git repository in FOLDER (default `.millrace` beside this checkout's
files), then checks it, says what its telling commits changed, and draws one of them. Every command is printed before it runs.
"""

import shlex
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from environment import ensure  # noqa: E402 # the path above has to be set first


def say_and_run(python: Path, *arguments: str) -> None:
    """Print a command as a person would type it, and run it."""
    print(f"\n$ routecode {shlex.join(arguments)}", flush=True)
    status = subprocess.run([python, "-m", "routecode", *arguments], cwd=ROOT, check=False).returncode
    if status not in (0, 1):
        raise SystemExit(f"routecode {arguments[0]} ended with status {status}.")


def main() -> None:
    """Set up, build, check, tell, draw."""
    python = ensure()
    folder = Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else ROOT / ".millrace"
    if len(sys.argv) == 1 and folder.exists():
        shutil.rmtree(folder)  # our own, made by an earlier run of this script
    print(f"\nBuilding the history of the Millrace studio in {folder}", flush=True)
    subprocess.run([python, ROOT / "examples" / "build_history.py", folder], check=True)
    where = str(folder.relative_to(ROOT)) if folder.is_relative_to(ROOT) else str(folder)
    pictures = ROOT / ".pictures"
    pictures.mkdir(exist_ok=True)
    say_and_run(python, "check", "--in", where)
    say_and_run(python, "diff", "last~16..last~15", "--in", where)
    say_and_run(python, "diff", "last~6..last~5", "--in", where)
    say_and_run(python, "history", "--limit", "6", "--in", where)
    say_and_run(python, "jobsheet", "last~14..last~13", "--in", where)
    say_and_run(python, "draw", "last~17..last~16", "--in", where, "--force", "-o", ".pictures/reverb.svg")
    say_and_run(python, "draw", "--in", where, "--force", "-o", ".pictures/millrace.svg")
    say_and_run(python, "labels", "--in", where, "--force", "-o", ".pictures/labels.pdf")
    print(f"\nThe drawings and the label strips are in {pictures}.")


if __name__ == "__main__":
    main()
