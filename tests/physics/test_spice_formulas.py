"""Dividers, corners, phantom power and splits: the formulas against ngspice, each within 0.1 %."""

from itertools import product
from random import Random

import pytest

from routecode.physics import cable, levels, load, phantom
from tests.physics.spice import need_ngspice, run


@pytest.fixture(autouse=True)
def _simulator() -> None:
    need_ngspice()


def near(ours: float, theirs: float) -> bool:
    return abs(ours - theirs) <= 0.001 * max(abs(theirs), 1e-9)


def test_dividers_and_splits() -> None:
    rng, netlist, commands, ours = Random(1), [], [], []
    for case in range(40):
        source, loads = rng.uniform(10, 2000), [rng.uniform(300, 50_000) for _ in range(rng.randint(1, 5))]
        netlist += [f"v{case} a{case} 0 dc 1", f"rs{case} a{case} b{case} {source!r}"]
        netlist += [f"rl{case}x{number} b{case} 0 {ohms!r}" for number, ohms in enumerate(loads)]
        commands.append(f"print v(b{case})")
        ours.append(levels.ratio_of_db(load.bridging_db(source, *loads)))
    theirs = run(netlist, ["op", *commands])
    assert all(map(near, ours, theirs))


def test_corners() -> None:
    rng = Random(2)
    for _ in range(20):
        source, ohms, farads = rng.uniform(30, 2000), rng.uniform(600, 50_000), rng.uniform(1e-10, 1e-7)
        corner = cable.corner_hz(load.parallel(source, ohms), farads)
        netlist = ["v1 a 0 dc 0 ac 1", f"r1 a b {source!r}", f"r2 b 0 {ohms!r}", f"c1 b 0 {farads!r}"]
        low, at = run(
            netlist, ["ac lin 1 0.001 0.001", "print vm(b)", f"ac lin 1 {corner!r} {corner!r}", "print vm(b)"]
        )
        assert near(at / low, 0.5**0.5)
        assert near(levels.ratio_of_db(cable.loss_db(corner * 3, corner)), _at(netlist, corner * 3) / low)


def _at(netlist: list[str], hertz: float) -> float:
    return run(netlist, [f"ac lin 1 {hertz!r} {hertz!r}", "print vm(b)"])[0]


@pytest.mark.parametrize("kind", sorted(phantom.SUPPLIES))
def test_phantom_power_left_at_a_microphone(kind: str) -> None:
    supply = phantom.SUPPLIES[kind]
    for milli in (0.5, 2.0, 4.0, supply.most * 1000):
        for supplies in (1, 2):
            ends = phantom.left([supply] * supplies, milli / 1000)
            sides = ((-1, 1), (1, -1))
            for ours, (volts_side, ohms_side) in zip(ends, sides, strict=True):
                volts = supply.volts + volts_side * supply.volts_tolerance
                ohms = supply.ohms * (1 + ohms_side * supply.ohms_tolerance)
                netlist = [f"i1 m 0 dc {milli / 1000!r}", "rh m hot 1u", "rc m cold 1u"]
                for number in range(supplies):
                    netlist += [f"v{number} p{number} 0 dc {volts!r}", f"ra{number} p{number} hot {ohms!r}"]
                    netlist.append(f"rb{number} p{number} cold {ohms!r}")
                (theirs,) = run(netlist, ["op", "print v(m)"])
                assert near(ours, theirs)


@pytest.mark.parametrize(("kinds", "off"), [(("P48", "P12"), ()), (("P48", "P24"), ("P12",)), (("P48",), ("P48",))])
def test_unlike_feeds_on_one_line_at_every_corner_of_their_tolerances(
    kinds: tuple[str, ...], off: tuple[str, ...]
) -> None:
    """The least and the most of all corners, each worked out by the simulator; what is off is at 0 V, or not there."""
    on, grounded = ([phantom.SUPPLIES[kind] for kind in each] for each in (kinds, off))
    for milli, legs in ((0.0, 2), (2.0, 2), (2.0, 1)):
        seen = []
        for with_off in (grounded, []):
            every = [*on, *with_off]
            for corner in product((-1, 1), repeat=2 * len(every)):
                netlist = [f"i1 m 0 dc {milli / 1000!r}"]
                for number, one in enumerate(every):
                    volts = one.volts + corner[2 * number] * one.volts_tolerance if number < len(on) else 0.0
                    ohms = one.ohms / legs * (1 + corner[2 * number + 1] * one.ohms_tolerance)
                    netlist += [f"v{number} p{number} 0 dc {volts!r}", f"r{number} p{number} m {ohms!r}"]
                seen += run(netlist, ["op", "print v(m)"])
        least, most = phantom.left(on, milli / 1000, legs=legs, grounded=grounded)
        assert near(least, min(seen))
        assert near(most, max(seen))


def test_feeds_drive_each_other_with_nothing_connected() -> None:
    unlike = ["v1 p 0 dc 48", "v2 q 0 dc 12", "ra p h 6800", "rb p c 6800", "rd q h 680", "re q c 680", "rz h 0 1g"]
    volts, into = run(unlike, ["op", "print v(h)", "print i(v2)"])
    feeds = [(48.0, 3400.0), (12.0, 340.0)]
    assert near(phantom.joined_volts(feeds), volts)
    assert near(phantom.back_amperes(feeds), into)


def test_a_grounded_leg_drives_its_current_through_a_coil_and_leaves_a_centre_tap_nothing() -> None:
    """A coil of 100 ohms (common practice, no source) on P48, cold at ground: check values P9 and P13 less what the coil takes."""
    coil = ["v1 p 0 dc 48", "ra p h 6800", "rb p 0 6800", "r1 h t 50", "r2 t s 50", "vs s 0 dc 0"]
    amperes, tap = run(coil, ["op", "print i(vs)", "print v(t)"])
    assert amperes == pytest.approx(phantom.shorted_amperes(48, 6800), rel=0.02)
    assert tap < 0.5


def test_phantom_faults() -> None:
    short = ["v1 p 0 dc 48", "ra p hot 6800", "rb p cold 6800", "vh hot 0 dc 0", "rc cold 0 1g"]
    assert near(phantom.shorted_amperes(48, 6800), run(short, ["op", "print i(vh)"])[0])
    both = ["v1 p 0 dc 48", "ra p s 6800", "rb p s 6800", "vh s 0 dc 0"]
    assert near(phantom.shorted_amperes(48, 6800, legs=2), run(both, ["op", "print i(vh)"])[0])
    pair = ["v1 p 0 dc 52", "v2 q 0 dc 44", "ra p h 6800", "rb p c 6800", "rd q h 6800", "re q c 6800", "rz h 0 1g"]
    (into,) = run(pair, ["op", "print i(v2)"])
    assert near(phantom.back_amperes([(52, 3400), (44, 3400)]), into)
    off = [
        "v1 p 0 dc 48",
        "ra p h 6800",
        "rb p c 6800",
        "rd h 0 6800",
        "re c 0 6800",
        "rh h m 1u",
        "rc c m 1u",
        "i1 m 0 dc 4m",
    ]
    assert near(phantom.joined_volts([(48, 3400), (0, 3400)], 0.004), run(off, ["op", "print v(m)"])[0])
    unlike = ["v1 p 0 dc 48", "ra p hot 6800", f"rb p cold {6800 * 1.004!r}", "i1 hot 0 dc 5m", "i2 cold 0 dc 5m"]
    hot, cold = run(unlike, ["op", "print v(hot)", "print v(cold)"])
    assert near(phantom.mismatch_volts(6800, 0.010), hot - cold)


def test_rejection_of_an_imbalanced_line() -> None:
    for common, source in ((10e3, 50.0), (5e3, 50.0), (100e3, 150.0)):
        netlist = [
            "v1 a 0 dc 1",
            f"r1 a h {source!r}",
            f"r2 a c {source + 10!r}",
            f"r3 h 0 {common!r}",
            f"r4 c 0 {common!r}",
        ]
        hot, cold = run(netlist, ["op", "print v(h)", "print v(c)"])
        assert near(levels.ratio_of_db(-load.rejection_db(common, source, 10)), hot - cold)
