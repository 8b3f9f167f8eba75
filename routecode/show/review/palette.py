"""The colours of drawings on a dark ground: each colour that a drawing uses, and what takes its place. No drawing is made twice for it."""

from routecode.show.drawing import look

DARK = {
    look.PAPER: "#14181d",
    look.INK: "#e6eaee",
    look.QUIET: "#a3aeba",
    look.ROOM_FILL: "#1b2027",
    look.ROOM_EDGE: "#3a434e",
    look.UNIT_EDGE: "#8b98a5",
    look.PORT_FILL: "#29313a",
    look.BAY_FILL: "#272214",
    look.BAY_EDGE: "#b3954a",
    look.JACK_FILL: "#3a3219",
    "#9AA5B1": "#6b7783",
    "#3E4C59": "#aab6c2",
    "#7B8794": "#8391a0",
    "#8A93A0": "#7d8894",
    "#0072B2": "#56b4e9",
    "#D55E00": "#ff9b54",
    "#A23B76": "#e08bbb",
    "#E3F1FA": "#0f2d40",
    "#FCEBDD": "#40210c",
    "#F8E8F1": "#3d1a2d",
    "#B9A873": "#6f6338",
}
"""Colour on paper -> colour on a dark screen."""


def dark_style() -> str:
    """The style rules that exchange them; what is lit is not touched."""
    rules = []
    for light, dark in DARK.items():
        rules.append(f':where(.picture) [fill="{light}" i] {{ fill: {dark}; }}')
        rules.append(f':where(.picture) [stroke="{light}" i] {{ stroke: {dark}; }}')
    return "@media screen and (prefers-color-scheme: dark) {\n" + "\n".join(rules) + "\n}\n"
