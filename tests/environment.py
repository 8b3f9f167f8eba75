"""The project's own environment: made once from a bare checkout with Python 3.11 and nothing else. Standard library only."""

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def ensure(extras: str = "") -> Path:
    """Make `.venv` with the project (and `extras`, such as `[test]`) where it is missing or stale; its Python."""
    if sys.version_info < (3, 11):
        raise SystemExit(f"routecode needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    folder = ROOT / ".venv"
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    wanted = hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + extras.encode()).hexdigest()
    stamp = folder / f"routecode{extras or '-plain'}.stamp"
    if python.exists() and stamp.exists() and stamp.read_text(encoding="utf-8") == wanted:
        return python
    print("Setting up .venv (once) ...", file=sys.stderr, flush=True)
    if not python.exists():
        venv.create(folder, with_pip=True)
    quiet = ["-q", "--disable-pip-version-check"]
    subprocess.run([python, "-m", "pip", "install", *quiet, "-e", f"{ROOT}{extras}"], check=True)
    stamp.write_text(wanted, encoding="utf-8")
    return python


def programs(*names: str) -> None:
    """Install programs that tests are held against, where the system allows it: Debian and its like, as root. Else say what is missing."""
    missing = [name for name in names if shutil.which(name) is None]
    if missing and shutil.which("apt-get") and os.name == "posix" and os.geteuid() == 0:
        print(f"Installing {' and '.join(missing)} (once) ...", file=sys.stderr, flush=True)
        if not _apt("install", "-y", "--no-install-recommends", *missing):
            _apt("update")
            _apt("install", "-y", "--no-install-recommends", *missing)
        missing = [name for name in names if shutil.which(name) is None]
    for name in missing:
        print(
            f"{name} is not installed: what it checks is left out here, and fails in CI.", file=sys.stderr, flush=True
        )


def _apt(*words: str) -> bool:
    """Run apt-get quietly; whether it went well."""
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    done = subprocess.run(["apt-get", "-qq", *words], env=environment, check=False, capture_output=True)
    return done.returncode == 0
