"""Figures of any size on random studios: nothing raises, nothing is told that is no number."""

from random import Random
from typing import Any

import pytest

from routecode.files.tree import Files
from routecode.ground.finding import Severity
from routecode.show.check import Judged, check_text
from routecode.show.diagnostic import Page
from routecode.show.document import written
from routecode.show.paths import paths_document, paths_text
from routecode.studio.opened import Opened
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united

LEVELS = ("+4 dBu", "-10 dBV", "0.000000001 V", "999999 V", "-999999 dBu", "999999 dBV", "0 dBu")
CHOICES: dict[str, tuple[Any, ...]] = {
    "level": LEVELS, "max_level": LEVELS, "full_scale": LEVELS, "ohms": (1e-9, 0.1, 600, 1e12), "min_ohms": (1e-9, 4, 1e9),
    "balanced": (True, False), "drive": ("symmetric", "floating", "transformer", "impedance"), "phantom": ("supply", "needs", "safe", "harmed"),
    "phantom_kind": ("P48", "P24", "P12"), "phantom_ma": (0.001, 4, 1e6), "phantom_bank": ("1-4",), "bridged": (True, False),
    "needs_load": (True, False), "terminates": (True, False), "clock": ("master", "follows"), "pairs": (True, False),
    "connector": ("xlr-m", "ts", "rca", "bnc", "odd"),
}  # fmt: skip


def studio(seed: int) -> dict[str, Any]:
    """A random studio in which any port, inside and cable may say any figure."""
    rng = Random(seed)
    whole: dict[str, Any] = united(random_studio(seed))
    whole["cable_type"] = {"x": {"pf_per_metre": rng.choice((0, 1e-9, 100, 1e12)), "ohms": rng.choice((1e-9, 75, 110))}}
    whole["cable_type"]["x"] |= rng.choice(
        ({}, {"ohms_per_km": rng.choice((0, 1e-9, 84, 1e12))}, {"awg": 50}, {"mm2": 1e9})
    )
    for owner in [*whole.get("model", {}).values(), *whole.get("unit", {}).values()]:
        for port in owner.get("port", []):
            port |= {
                key: rng.choice(values) for key, values in CHOICES.items() if "direction" in port and rng.random() < 0.4
            }
        for inside in owner.get("inside", []):
            if rng.random() < 0.5:
                inside |= {"ratio": rng.choice((1e-6, 1, 1e6)), "gain_db": rng.choice((-200, 0, 60, 1e5))}
    for cable in whole.get("cable", []):
        cable |= {"type": "x", "metres": rng.choice((1e-9, 5, 1e9)), "shield": rng.choice(("both", "from", "to"))}
        cable["cold"] = rng.choice(("shield-at-from", "shield-at-to", "open"))
    for bay in whole.get("bay", {}).values():
        bay |= {"contact": rng.choice(("bantam", "pin", "xlr")), "shields": rng.choice(("own", "bussed", "strapped"))}
    return whole


@pytest.mark.parametrize("seed", range(60))
def test_any_figures(seed: int) -> None:
    text = document(Random(0), studio(seed)).encode()
    opened = Opened(Files("studio", {"studio.toml": text}, ()), "worktree")
    if opened.circuit is None:
        assert opened.mistakes
        return
    plant = opened.circuit.plant
    ports = [node for node in range(plant.ports) if plant.socket(node).written.phantom == "supply"]
    plant.phantom_on.update(ports)
    shown = check_text(
        Judged(opened, plant, opened.report.findings, Severity.WARNING), Page(opened, 80), "files", notes=True
    )
    assert "nan" not in shown.split()
    for setup in opened.circuit.state_names:
        told = written(paths_document(opened, opened.circuit, setup, figures=True))
        assert "NaN" not in told
        assert "Infinity" not in told
        assert paths_text(opened.circuit, setup, figures=True)
