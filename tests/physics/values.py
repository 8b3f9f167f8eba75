"""Published check values and what the formulas make of them, row by row: id, source, the published figure with its tolerance, ours.

The ids and sources are those of a collection of published figures; "derived" marks figures that follow from the formula named in the
source, "from memory" those that were not read. Nothing here is taken from the code under test.
"""

from typing import NamedTuple

from routecode.physics import cable, levels, line, load, phantom

HANDBOOK = "audio engineering handbook, p. 248"
ACOUSTICS = "acoustics institute page on levels (0 dBu = 0.7746 V)"
IEC61938 = "IEC 61938 as summarised in print"
DERIVED = "derived from the formula"
GUIDE = "installation guide, 3.1 (published, address not given)"


class Row(NamedTuple):
    """One check value: `tolerance` is absolute, in the unit."""

    id: str
    what: str
    unit: str
    published: float
    tolerance: float
    computed: float
    source: str


def rows() -> list[Row]:
    """All of them, in the order of the table."""
    return [
        *_levels(),
        *_phantom(),
        *_mismatch(),
        *_cable(),
        *_speaker(),
        *_split(),
        *_imbalance(),
        *_digital(),
        *_chains(),
    ]


def _levels() -> list[Row]:
    volts = {
        -60: 0.7746e-3,
        -50: 2.449e-3,
        -40: 7.746e-3,
        -20: 77.46e-3,
        -10: 0.2449,
        8: 1.9457,
        15: 4.3559,
        18: 6.1528,
    }
    volts |= {22: 9.7516, 24: 12.2765, 30: 24.4949}
    return [
        Row("L1", "0 dBu", "V", 0.774597, 0.0001, levels.volts_of_dbu(0), ACOUSTICS),
        Row("L2", "0 dBV", "V", 1.0, 1e-12, levels.volts_of_dbv(0), ACOUSTICS),
        Row("L3", "+4 dBu", "V", 1.22765, 0.0005, levels.volts_of_dbu(4), ACOUSTICS),
        Row("L4", "+4 dBu in dBV", "dBV", 1.78, 0.005, levels.db_of_ratio(levels.volts_of_dbu(4)), ACOUSTICS),
        Row("L5", "-10 dBV", "V", 0.316228, 0.0005, levels.volts_of_dbv(-10), ACOUSTICS),
        Row("L5b", "-10 dBV in dBu", "dBu", -7.7815, 0.01, levels.dbu_from(-10, "dBV"), ACOUSTICS),
        Row(
            "L6",
            "+4 dBu above -10 dBV",
            "dB",
            11.7815,
            0.01,
            4 - levels.dbu_from(-10, "dBV"),
            "printed as 11.79; exact derived",
        ),
        Row("L8", "0 dBFS in EBU practice", "V", 6.153, 0.001, levels.volts_of_dbu(18), "makers' manuals (published)"),
        Row(
            "L9", "0 dBFS of SMPTE RP 155", "V", 12.28, 0.005, levels.volts_of_dbu(24), "makers' manuals quoting RP 155"
        ),
        Row("L12", "-20 dBu", "V", 0.0775, 0.00005, levels.volts_of_dbu(-20), "console manual, 5.1 (published)"),
        Row("L13a", "-16 dBu", "V", 0.123, 0.0005, levels.volts_of_dbu(-16), "console manual, 5.1 (published)"),
        Row("L13b", "+8 dBu", "V", 1.95, 0.005, levels.volts_of_dbu(8), "console manual, 5.1 (published)"),
        Row(
            "L16",
            "headroom of +24 over +4 dBu",
            "dB",
            20,
            1e-9,
            24 - levels.dbu_from(4, "dBu"),
            "education page on gain structure",
        ),
        Row("T9", "1 mV in dBV", "dBV", -60, 1e-9, levels.db_of_ratio(0.001), DERIVED),
        *(
            Row(f"L{dbu:+}", f"{dbu:+} dBu", "V", value, value * 1e-3, levels.volts_of_dbu(dbu), DERIVED)
            for dbu, value in volts.items()
        ),
    ]


def _phantom() -> list[Row]:
    found = []
    table = {
        "P48": {0: 48.0, 1: 44.6, 2: 41.2, 3: 37.8, 4: 34.4, 5: 31.0, 7: 24.2, 10: 14.0},
        "P24": {0: 24.0, 1: 23.4, 2: 22.8, 3: 22.2, 4: 21.6, 5: 21.0, 7: 19.8, 10: 18.0},
        "P12": {0: 12.0, 1: 11.66, 2: 11.32, 3: 10.98, 4: 10.64, 5: 10.30, 7: 9.62, 10: 8.60, 15: 6.90},
    }
    for kind, values in table.items():
        supply = phantom.SUPPLIES[kind]
        for milli, volts in values.items():
            ours = phantom.volts_left(supply.volts, supply.ohms, milli / 1000)
            found.append(
                Row(f"{kind}.{milli}", f"{kind} left at {milli} mA", "V", volts, 0.01, ours, f"{IEC61938}; {DERIVED}")
            )
    for milli, low, high in ((0, 44.0, 52.0), (4, 29.04, 39.76), (10, 6.60, 21.40)):
        least, most = phantom.left([phantom.SUPPLIES["P48"]], milli / 1000)
        found += [
            Row(f"P48.low.{milli}", f"P48 at {milli} mA, least", "V", low, 0.01, least, DERIVED),
            Row(f"P48.high.{milli}", f"P48 at {milli} mA, most", "V", high, 0.01, most, DERIVED),
        ]
    p48, p24, p12 = (phantom.SUPPLIES[kind] for kind in ("P48", "P24", "P12"))
    amperes, back, joined = phantom.shorted_amperes, phantom.back_amperes, phantom.joined_volts
    found += [
        Row("P1", "P48 voltage", "V", 48, 4, p48.volts, IEC61938),
        Row("P2", "P48 resistor", "ohm", 6800, 680, p48.ohms, IEC61938),
        Row(
            "P48.open", "P48, one leg open, 4 mA", "V", 20.8, 0.01, phantom.volts_left(48, 6800, 0.004, legs=1), DERIVED
        ),
        Row("P9", "P48, one leg shorted", "mA", 7.0588, 0.01, amperes(48, 6800) * 1000, DERIVED),
        Row("P9w", "its resistor", "W", 0.339, 0.0005, load.power_watts(48, 6800), DERIVED),
        Row(
            "P10",
            "P48, both legs shorted",
            "mA",
            14.1176,
            0.01,
            amperes(48, 6800, legs=2) * 1000,
            "under 15 mA: encyclopedia of pro sound",
        ),
        Row(
            "P10b",
            "P48 of 6.81 k, both legs",
            "mA",
            14.10,
            0.01,
            amperes(48, 6810, legs=2) * 1000,
            "question and answer page: 14 mA",
        ),
        Row("P11", "P24, one leg shorted", "mA", 20, 0.01, amperes(p24.volts, p24.ohms) * 1000, DERIVED),
        Row("P12a", "P12, one leg shorted", "mA", 17.65, 0.01, amperes(p12.volts, p12.ohms) * 1000, DERIVED),
        Row(
            "P12b",
            "P12, both legs shorted",
            "mA",
            35.3,
            0.05,
            amperes(12, 680, legs=2) * 1000,
            "question and answer page: 35 mA",
        ),
        Row("P14a", "two P48, 4 mA", "V", 41.2, 0.01, phantom.volts_left(48, 6800, 0.004, supplies=2), DERIVED),
        Row("P14b", "two P48, 10 mA", "V", 31.0, 0.01, phantom.volts_left(48, 6800, 0.010, supplies=2), DERIVED),
        Row("P14c", "two P48, one leg shorted", "mA", 14.1, 0.05, amperes(48, 6800, supplies=2) * 1000, DERIVED),
        Row("P15", "52 V against 44 V", "mA", 1.18, 0.005, back([(52, 3400), (44, 3400)]) * 1000, DERIVED),
        Row("P15b", "P48 against P12", "mA", 9.63, 0.005, back([(48, 3400), (12, 340)]) * 1000, DERIVED),
        Row(
            "P15c",
            "P48 and P12, one leg shorted",
            "mA",
            24.7,
            0.05,
            (amperes(48, 6800) + amperes(12, 680)) * 1000,
            DERIVED,
        ),
        Row("P16a", "the other feed grounded, no load", "V", 24, 0.01, joined([(48, 3400), (0, 3400)]), DERIVED),
        Row("P16b", "the other feed grounded, 4 mA", "V", 17.2, 0.01, joined([(48, 3400), (0, 3400)], 0.004), DERIVED),
        Row("P16c", "the same at the least", "V", 13.07, 0.01, phantom.left([p48], 0.004, grounded=[p48])[0], DERIVED),
        Row("P16d", "two on, 4 mA, at the least", "V", 36.52, 0.01, phantom.left([p48, p48], 0.004)[0], DERIVED),
        Row(
            "P48.open.low",
            "P48, one leg, 2 mA, at the least",
            "V",
            29.04,
            0.01,
            phantom.left([p48], 0.002, legs=1)[0],
            DERIVED,
        ),
        Row("P17", "0.4 % mismatch at 10 mA", "mV", 136, 0.5, phantom.mismatch_volts(6800, 0.010) * 1000, DERIVED),
        Row("T2", "most power from P48", "mW", 169.4, 0.1, phantom.most_watts(48, 6800) * 1000, DERIVED),
        Row("T2b", "most power from P24", "mW", 240, 0.1, phantom.most_watts(24, 1200) * 1000, DERIVED),
    ]
    return found


def _mismatch() -> list[Row]:
    table = (
        ("88 on 110", 88, 110, -0.1111, 19.08, 1.25),
        ("132 on 110", 132, 110, 0.0909, 20.83, 1.20),
        ("100 on 110", 100, 110, -0.0476, 26.44, 1.10),
        ("75 on 110", 75, 110, -0.1892, 14.46, 1.47),
        ("60 on 110", 60, 110, -0.2941, 10.63, 1.83),
        ("55 on 110", 55, 110, -0.3333, 9.54, 2.00),
        ("50 on 75", 50, 75, -0.2, 13.98, 1.50),
        ("37.5 on 75", 37.5, 75, -0.3333, 9.54, 2.00),
    )
    found = []
    for name, ohms, line_ohms, rho, loss, ratio in table:
        source = "Z14 to Z16: standard result; glossary of high-frequency terms"
        found += [
            Row(f"Z14 {name}", f"reflection, {name} ohms", "", rho, 0.0001, line.reflection(ohms, line_ohms), source),
            Row(
                f"Z15 {name}",
                f"return loss, {name} ohms",
                "dB",
                loss,
                0.01,
                line.return_loss_db(ohms, line_ohms),
                source,
            ),
            Row(
                f"Z16 {name}",
                f"standing wave ratio, {name} ohms",
                "",
                ratio,
                0.01,
                line.standing_wave_ratio(ohms, line_ohms),
                source,
            ),
        ]
    found += [
        Row(
            "RL.2x110",
            "two AES3 receivers",
            "dB",
            9.542,
            0.01,
            line.return_loss_db(load.parallel(110, 110), 110),
            "N3; derived",
        ),
        Row("LV.2term", "double termination", "dB", -3.522, 0.01, line.terminated_db(75, 75, 75), "N3; derived"),
    ]
    return found


def _cable() -> list[Row]:
    feet = 0.3048
    printed = {
        10: (2.5883, 3.28), 12: (2.0523, 5.21), 14: (1.6281, 8.28), 16: (1.2903, 13.17), 18: (1.0236, 20.94), 20: (0.8128, 33.29),
        22: (0.6452, 52.94), 24: (0.5105, 84.20), 26: (0.4039, 133.86), 28: (0.3200, 212.87), 30: (0.2540, 338.50), 36: (0.1270, 1360.0),
    }  # fmt: skip
    found = [
        Row(
            "W1",
            "600 || 100k ohm, 1000 ft x 32 pF/ft",
            "Hz",
            8339.06,
            1,
            cable.corner_hz(load.parallel(600, 100e3), 32e-9),
            GUIDE,
        ),
        Row(
            "W2",
            "as W1, terminated in 600 ohm",
            "Hz",
            16580,
            15,
            cable.corner_hz(load.parallel(600, 600), 32e-9),
            GUIDE,
        ),
        Row("W3", "60 ohm, 32 nF", "Hz", 82900, 30, cable.corner_hz(60, 32e-9), GUIDE),
        Row("W4", "60 ohm, 1000 ft x 6 pF/ft", "Hz", 442100, 100, cable.corner_hz(60, 6e-9), GUIDE),
        Row(
            "W5",
            "100 ohm microphone, 500 ft",
            "Hz",
            99471.8,
            10,
            cable.corner_hz(100, 16e-9),
            "live sound blog, 2007: 100 kHz",
        ),
        Row(
            "W6",
            "8 kohm pickup, 20 ft x 80 pF/ft",
            "Hz",
            12434,
            5,
            cable.corner_hz(8000, 1600e-12),
            "page on cable roll-off: 12.4 kHz",
        ),
        Row(
            "W7",
            "loss at half the corner",
            "dB",
            -0.969,
            0.001,
            cable.loss_db(1, 2),
            "calculator page: 1 dB at half the corner",
        ),
        Row(
            "W8",
            "RC of 1 ohm uF at 20 kHz",
            "dB",
            -0.068,
            0.0005,
            cable.loss_db(20e3, cable.corner_hz(1, 1e-6)),
            "Audio, November 1991",
        ),
        Row(
            "W9",
            "150 ohm, 100 m x 100 pF/m",
            "Hz",
            106100,
            50,
            cable.corner_hz(150, cable.farads_of(100, 100)),
            DERIVED,
        ),
        Row("K3", "32 pF/ft per metre", "pF", 105, 0.1, 32 / feet, "livesound page; installation guide"),
        Row("K5", "75 ohm solid polyethylene", "pF/m", 67, 0.5, cable.farads_per_metre(75, 0.66) * 1e12, DERIVED),
        Row("K9", "copper, 1 mm2, 1 km", "ohm", 17.241, 0.001, cable.copper_ohms(1000, 1.0), "IEC 60028"),
        Row(
            "K10",
            "copper at 30 C against 20 C",
            "",
            1.0393,
            0.00001,
            cable.copper_ohms(1, 1, 30) / cable.copper_ohms(1, 1),
            "IEC 60028",
        ),
        Row(
            "K20",
            "a line from a tenth of a wavelength",
            "m",
            974,
            1,
            cable.line_matters_beyond(20e3, 0.65),
            "printed as 3250 ft",
        ),
    ]
    for gauge, (millimetres, ohms) in printed.items():
        ours = cable.awg_millimetres(gauge), cable.copper_ohms(1000, cable.awg_mm2(gauge))
        source = "ASTM B258-02 as quoted; printed table, rounded to 0.1 mil"
        found.append(
            Row(f"AWG{gauge}.d", f"{gauge} AWG", "mm", millimetres, max(millimetres * 0.003, 0.00127), ours[0], source)
        )
        found.append(Row(f"AWG{gauge}.R", f"{gauge} AWG, 1 km", "ohm", ohms, ohms * 0.001, ours[1], source))
    return found


def _speaker() -> list[Row]:
    given, taken, lost = load.speaker_line(24.5, 160 * 0.00204, 8)
    source = "K13: forum thread on power loss in speaker cable: 72 W, 69 W"
    return [
        Row("SPK.W", "power from the amplifier", "W", 72.09, 0.05, given, source),
        Row("SPK.L", "power in the load", "W", 69.26, 0.05, taken, source),
        Row("SPK.dB", "what the line costs", "dB", -0.347, 0.001, lost, source),
    ]


def _split() -> list[Row]:
    found = [
        Row(
            "LOSS.600_600",
            "600 into 600 ohm",
            "dB",
            -6.021,
            0.01,
            load.bridging_db(600, 600),
            "recording magazine's forum: -6 dB",
        ),
        Row(
            "LOSS.600_300",
            "600 into two of 600 ohm",
            "dB",
            -9.542,
            0.01,
            load.bridging_db(600, 600, 600),
            "the same: -9.5 dB",
        ),
        Row("LOSS.600_10k", "600 into 10 kohm", "dB", -0.506, 0.01, load.bridging_db(600, 10e3), DERIVED),
        Row("LOSS.10to1", "bridging ten to one (Z1)", "dB", -0.828, 0.01, load.bridging_db(1, 10), DERIVED),
        Row("LOSS.5to1", "microphone five to one (Z2)", "dB", -1.584, 0.01, load.bridging_db(1, 5), DERIVED),
        Row(
            "PAR.3",
            "25k, 25k and 15k",
            "ohm",
            6818.18,
            0.1,
            load.parallel(25e3, 25e3, 15e3),
            "distribution page: 6.8 K",
        ),
        Row("S150x2", "150 ohm into two of 1.5 kohm", "dB", -1.58, 0.005, load.bridging_db(150, 1500, 1500), DERIVED),
        Row(
            "S100x3",
            "100 ohm into three of 10 kohm",
            "dB",
            -0.257,
            0.001,
            load.bridging_db(100, 10e3, 10e3, 10e3),
            DERIVED,
        ),
    ]
    for count, ohms in (
        (1, 10e3),
        (2, 5e3),
        (3, 3333.3),
        (4, 2500),
        (5, 2000),
        (6, 1666.7),
        (10, 1000),
        (15, 666.7),
        (20, 500),
    ):
        found.append(
            Row(f"T7.{count}", f"{count} x 10 kohm", "ohm", ohms, 0.1, load.parallel(*[10e3] * count), HANDBOOK)
        )
    return found


def _imbalance() -> list[Row]:
    bridge = "standard result of the bridge, from memory; derived"
    wanted = levels.dbu_of_volts(0.2) + 90
    return [
        Row(
            "CMR.10k", "10 kohm legs, 10 ohm apart, from 50", "dB", 60.10, 0.01, load.rejection_db(10e3, 50, 10), bridge
        ),
        Row("CMR.5k", "5 kohm legs", "dB", 54.17, 0.01, load.rejection_db(5e3, 50, 10), bridge),
        Row("CMR.100k", "100 kohm legs", "dB", 80.01, 0.01, load.rejection_db(100e3, 50, 10), bridge),
        Row("CMR.50M", "50 Mohm legs (transformer)", "dB", 133.98, 0.01, load.rejection_db(50e6, 50, 10), bridge),
        Row(
            "CMR.1%",
            "resistors within 1 %",
            "dB",
            40.00,
            0.01,
            load.tolerance_rejection_db(0.01),
            "installation guide, 4.0",
        ),
        Row(
            "CMR.5%",
            "resistors within 5 %",
            "dB",
            26.02,
            0.01,
            load.tolerance_rejection_db(0.05),
            "installation guide, 4.0",
        ),
        Row("CMR.ex", "200 mV of ground, -90 dBu wanted", "dB", 78.239, 0.01, wanted, "installation guide, 4.0"),
    ]


def _digital() -> list[Row]:
    return [
        Row(
            "UI48",
            "unit interval at 48 kHz",
            "ns",
            162.760,
            0.01,
            line.unit_interval_seconds(48e3) * 1e9,
            "IEC 60958-4-4, 3.1",
        ),
        Row(
            "UI44",
            "unit interval at 44.1 kHz",
            "ns",
            177.2,
            0.05,
            line.unit_interval_seconds(44.1e3) * 1e9,
            "IEC 60958-4-4",
        ),
        Row(
            "OPT48",
            "optical link at 48 kHz",
            "channels",
            8,
            0,
            line.optical_channels(48_000),
            "recording magazine's glossary",
        ),
        Row(
            "OPT96",
            "optical link at 96 kHz",
            "channels",
            4,
            0,
            line.optical_channels(96_000),
            "recording magazine's glossary",
        ),
        Row(
            "OPT192",
            "optical link at 192 kHz",
            "channels",
            2,
            0,
            line.optical_channels(192_000),
            "recording magazine's glossary",
        ),
        Row(
            "MADI48",
            "MADI at 48 kHz (check value 10.3)",
            "channels",
            64,
            0,
            line.madi_channels(48_000),
            "AES10, recording magazine's glossary",
        ),
        Row(
            "MADI96",
            "MADI at 96 kHz (check value 10.3)",
            "channels",
            32,
            0,
            line.madi_channels(96_000),
            "AES10, recording magazine's glossary",
        ),
        Row("AES3.len", "AES3", "m", 100, 0, line.longest_metres("aes3") or 0, "IEC 60958-4-4:2016, abstract"),
        Row(
            "AES3id.len",
            "AES-3id",
            "m",
            1000,
            0,
            line.longest_metres("aes3id") or 0,
            "audio engineering handbook, p. 574",
        ),
        Row("MIDI.len", "MIDI", "m", 15.24, 0.01, line.longest_metres("midi") or 0, "MIDI 1.0 hardware page: 50 ft"),
        Row(
            "OPT.len",
            "plastic fibre",
            "m",
            10,
            0,
            line.longest_metres("optical8") or 0,
            "page on the optical connector",
        ),
        Row("ETH.len", "network channel", "m", 100, 0, line.longest_metres("network") or 0, "TIA-568 as printed"),
    ]


def _chains() -> list[Row]:
    microphone = levels.volts_of_dbu(-50)
    line_level = -50 + 54
    return [
        Row("F1", "600 ohm, 1000 ft, 100 kohm", "dB", -0.052, 0.001, load.bridging_db(600, 100e3), GUIDE),
        Row("F9a", "microphone of -50 dBu", "mV", 2.449, 0.001, microphone * 1000, DERIVED),
        Row("F9b", "with 54 dB of gain, 0 dBFS = +24 dBu", "dBFS", -20, 1e-9, levels.dbfs(line_level, 24), DERIVED),
        Row("F9c", "the same, 0 dBFS = +18 dBu", "dBFS", -14, 1e-9, levels.dbfs(line_level, 18), DERIVED),
        Row("F10", "P48 at 2 mA", "V", 41.2, 0.01, phantom.volts_left(48, 6800, 0.002), DERIVED),
    ]
