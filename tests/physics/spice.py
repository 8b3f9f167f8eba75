"""A door to ngspice, an independent circuit simulator: a netlist in, numbers out. Without it tests are skipped loudly; inside CI they fail."""

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

import pytest

_VALUE = re.compile(r"^(\S+) = \(?([-+0-9.eE]+)", re.MULTILINE)


def need_ngspice() -> None:
    """Skip where ngspice is not installed; fail where this is a CI run."""
    if shutil.which("ngspice"):
        return
    reason = "ngspice is not installed: nothing was held against the simulator (Debian: apt-get install ngspice)"
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)


def run(netlist: Sequence[str], commands: Sequence[str]) -> list[float]:
    """What the `print` commands print, in order. AssertionError with the whole log where the simulator complains."""
    lines = ["routecode check", *netlist, ".control", "set numdgt=10", *commands, ".endc", ".end", ""]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "net.cir"
        file.write_text("\n".join(lines), encoding="ascii")
        done = subprocess.run(["ngspice", "-b", str(file)], capture_output=True, text=True, check=False, timeout=120)
    values = [float(number) for _, number in _VALUE.findall(done.stdout)]
    wanted = sum(command.startswith("print ") for command in commands)
    assert len(values) == wanted, (
        f"{wanted} values asked, {len(values)} given\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
    )
    return values
