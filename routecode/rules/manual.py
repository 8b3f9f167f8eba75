"""The manual of the rules: the list, and one page a rule, as Markdown that reads well as plain text. Pages are the modules' docstrings."""

import re
import sys
from textwrap import dedent

from attrs import frozen

from routecode.ground.nearest import did_you_mean
from routecode.rules.accepting import AcceptRule
from routecode.rules.registry import ACCEPT_RULES, RULES
from routecode.rules.rule import Rule

ALL: tuple[Rule | AcceptRule, ...] = (*RULES, *ACCEPT_RULES)
"""Every rule that has a page."""

MODELS = """\
[studio]
language = 1

[room.control]
[rack.left]
room = "control"

[[model.player.port]]
name = "out 1..2"
direction = "out"
signal = "line"

[[model.recorder.port]]
name = "in 1..2"
direction = "in"
signal = "line"

[[model.mic-recorder.port]]
name = "mic 1..2"
direction = "in"
signal = "mic"

[[model.digital-recorder.port]]
name = "aes in 1..2"
direction = "in"
signal = "aes3"

[[model.stereo-player.port]]
name = ["out left", "out right"]
direction = "out"
signal = "line"

[[model.stereo-amplifier.port]]
name = ["in left", "in right"]
direction = "in"
signal = "line"

[[model.box.port]]
name = "line 1..2"
direction = "either"
signal = "mic"

[[model.preamp.port]]
name = "mic 1..2"
direction = "in"
signal = "mic"
[[model.preamp.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[model.preamp.inside]]
from = "mic 1..2"
to = "out 1..2"

[[model.processor.port]]
name = "in 1..2"
direction = "in"
signal = "line"
[[model.processor.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[model.processor.inside]]
from = "in 1..2"
to = "out 1..2"

[[model.mixer.port]]
name = "in 1..2"
direction = "in"
signal = "line"
[[model.mixer.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[model.mixer.inside]]
from = "in 1..2"
to = "out 1..2"
pairing = "all-to-all"
control = "level"

[[model.network-box.port]]
name = "net"
direction = "both"
signal = "network"
channels = 2
"""
"""What the examples of all pages stand on."""

_HEADINGS = {"bad": "This is told", "good": "This is not", "accept": "If it is meant to be so"}
_SECTION = re.compile(r"^(Bad|Good|Accept):$", re.MULTILINE)


@frozen
class Page:
    """One page: the headline without the id, the paragraphs, and the pieces of TOML (of rules about acceptances, `accept` is a sentence)."""

    rule: Rule | AcceptRule
    headline: str
    text: str
    bad: str
    good: str
    accept: str


def pages() -> tuple[Page, ...]:
    """All pages, in the order of the list."""
    return tuple(_read(rule) for rule in ALL)


def listing() -> str:
    """All rules by severity: ids with their headlines, as Markdown."""
    lines = ["# Rules", ""]
    severity = ""
    for one in sorted(pages(), key=lambda each: each.rule.severity.rank):
        if one.rule.severity.value != severity:
            severity = one.rule.severity.value
            lines += ([""] if len(lines) > 2 else []) + [f"## {severity}", ""]
        lines.append(f"- `{one.rule.id}`: {one.headline}")
    return "\n".join([*lines, "", "`routecode rules ID` prints the page of a rule."]) + "\n"


def page(rule_id: str) -> str | None:
    """The page of a rule as Markdown; None where there is no such rule."""
    for rule in ALL:
        if rule.id == rule_id:
            return _page(_read(rule))
    return None


def suggestion(rule_id: str) -> str:
    """The question to ask about an id that is no rule; empty where none is near."""
    return did_you_mean(rule_id, [rule.id for rule in ALL])


def book() -> str:
    """The list and all pages in one document."""
    models = f"## The models of the examples\n\n```toml\n{MODELS}```\n"
    return "\n".join([listing(), *(_page(one, "##") for one in pages()), models])


def _page(one: Page, mark: str = "#") -> str:
    lines = [f"{mark} {one.rule.id}", "", f"{one.headline} ({one.rule.severity.value})", "", one.text]
    for key, heading in _HEADINGS.items():
        piece = getattr(one, key)
        said = f"```toml\n{piece}\n```" if "=" in piece else piece
        lines += ["", f"{heading}:", "", said]
    return "\n".join(lines) + "\n"


def _read(rule: Rule | AcceptRule) -> Page:
    doc = sys.modules[rule.check.__module__].__doc__ or ""
    head, *rest = _SECTION.split(doc)
    sections = dict(zip(rest[::2], (dedent(piece).strip() for piece in rest[1::2]), strict=True))
    first, _, text = head.strip().partition("\n\n")
    headline = first.partition(": ")[2].replace("\n", " ")
    paragraphs = [" ".join(part.split()) for part in text.split("\n\n")]
    return Page(
        rule,
        headline[:1].upper() + headline[1:],
        "\n\n".join(paragraphs).strip(),
        sections.get("Bad", ""),
        sections.get("Good", ""),
        sections.get("Accept", ""),
    )
