"""A message for the commit that makes one revision of another: a title that keeps its meaning however short, then what changed.

What is said is decided in `change`. What is new and wrong is part of it: whoever reads the commit is to know. Lines are such that git
keeps them.
"""

import re
from collections.abc import Iterable

from routecode.change.allowed import judged
from routecode.change.changes import GAIN, HARMS, LOSS, NOTE, RISK
from routecode.change.difference import TEXT_ONLY, Difference
from routecode.change.needs import NeedChange, need_sentences, told_needs
from routecode.ground.finding import Finding, Severity
from routecode.show.allowed import drafted
from routecode.show.difference_sections import Scope, in_order, over_states
from routecode.show.escape import visible
from routecode.show.measure import width, wrapped
from routecode.show.spoken import counted
from routecode.studio.opened import Opened

_TITLE = 72
_DROPPED = ("#", "diff --git ")
_ONLY_TEXT = "Text only: the wiring is the same"
_FINDINGS = 12
"""New findings that are told in a message."""
_GRAVE = (Severity.ERROR, Severity.HAZARD)
_NEEDS = "need-"
_SAYS = re.compile(
    r"\bno longer \w+|\bnow (also )?(reach|get|feed|come|pass|call|ask|forbid|go)\w*|\bexchanged\b|^(New|Gone|Changed|Moved): \S"
)
"""What says in which direction something changed: a title that is cut before it could be read as the contrary."""


_HARMS = {
    LOSS: ("loss", "losses"),
    RISK: ("risk", "risks"),
    GAIN: ("gain", "gains"),
    NOTE: ("other change", "other changes"),
}


def draft(before: Opened, after: Opened, *, guessing: bool = True) -> str:
    """A message for the commit that makes `after` of `before`: a title of at most 72 characters, then what changed."""
    return drafted_message(Difference(before, after, guessing=guessing))


def drafted_message(difference: Difference) -> str:
    """The same of a difference; empty where nothing differs."""
    title, body = _title(difference), drafted_body(difference)
    rest = "" if body.strip() in (title, f"{title}.") else f"\n{body}"
    return f"{_kept(title)}\n{rest}" if title else ""


def drafted_body(difference: Difference) -> str:
    """What is below a title: all that changed, and what is new and wrong; empty where nothing differs."""
    lines = [line for text in _sentences(difference) for line in wrapped(visible(text), _TITLE)]
    if not lines and difference.result == TEXT_ONLY:
        lines = [_ONLY_TEXT]
    found = [f"- {text}" for text in finding_texts(difference.findings_new, _FINDINGS)]
    if found:
        told = [line for text in found for line in _hanging(visible(text))]
        lines += [*([""] if lines else []), "New findings:", *told]
    return "".join(f"{_kept(line)}\n" for line in lines)


def finding_texts(findings: Iterable[Finding], most: int, *, needs: bool = False) -> list[str]:
    """The errors and hazards among some findings, the first `most`; without `needs`, which a draft tells with what changed."""
    grave = [each for each in findings if each.severity in _GRAVE and (needs or not each.rule.startswith(_NEEDS))]
    told = [
        f"{one.severity.value}: {one.text}{f' (in setup {one.setup})' if one.setup else ''}" for one in in_order(grave)
    ]
    more = len(told) - most
    return told[:most] + ([f"and {more:,} more"] if more > 0 else [])


def _hanging(text: str) -> list[str]:
    first, *rest = wrapped(text, _TITLE - 2)
    return [first, *(f"  {line}" for line in rest)]


def _kept(line: str) -> str:
    """A line of a message as it outlives editing: git drops those that begin with a `#`, and takes others for its own."""
    return f" {line}" if line.startswith(_DROPPED) else line


def _sentences(difference: Difference) -> list[str]:
    told = [each.change.sentence for each in over_states(difference, Scope()) if each.change.under is None]
    words = [
        *need_sentences(difference.needs, difference.words),
        *told,
        *difference.guessed,
        *difference.cabling,
        *difference.equipment,
        *need_sentences([need for need in difference.asked if need.after is not False], difference.words),
    ]
    rows = (f"{row.jacks}: {row.now}. Before: {row.was}." for row in difference.jacks)
    said = [*dict.fromkeys(words)] or [*rows, *difference.besides()]
    return said + drafted(judged(difference), difference)


# -- titles --------------------------------------------------------------------------------------------------------------


def _title(difference: Difference) -> str:
    """The first of all that is said, or so much of it that it cannot be misread, or how much changed."""
    said = _sentences(difference)
    if not said:
        return _ONLY_TEXT if difference.result == TEXT_ONLY else ""
    needs = [need for need in difference.needs if need.after is False]
    options = [*_need_titles(needs, difference)] if needs else [visible(said[0]).partition(". ")[0].rstrip(".")]
    fitting = [title for title in options if width(title) <= _TITLE]
    return fitting[0] if fitting else _cut(options[-1]) or _counts(difference)


def _need_titles(needs: list[NeedChange], difference: Difference) -> Iterable[str]:
    """That needs fail: which, or how many. What is asked for alone would read as if it were new."""
    told = told_needs(needs, difference.words)
    if len(told) == 1:
        yield f"Not met: {visible(told[0][0]).partition('. ')[0].rstrip('.')}"
    setups = sorted({difference.words.setup(need.setup) for need in needs})
    if len(setups) == 1:
        yield f"{counted(len(needs), 'need')} not met: {visible(setups[0])}"
    yield f"{counted(len(needs), 'need')} of {counted(len(setups), 'setup')} not met"


def _cut(title: str) -> str:
    """The beginning of a sentence, if it says already what happened; else nothing."""
    kept: list[str] = []
    for word in title.split(" "):
        if width(" ".join([*kept, word])) > _TITLE - 4:
            break
        kept.append(word)
    text = " ".join(kept).rstrip(",;:")
    return f"{text} ..." if _SAYS.search(text) else ""


def _counts(difference: Difference) -> str:
    """How many changes there are, by what they mean."""
    told = [each.change for each in over_states(difference, Scope()) if each.change.under is None]
    counts = {harm: sum(1 for change in told if change.harm == harm) for harm in HARMS}
    parts = [f"{counts[harm]:,} {words[counts[harm] > 1]}" for harm, words in _HARMS.items() if counts[harm]]
    lines = len(difference.cabling) + len(difference.equipment)
    return ", ".join(parts) or (f"{counted(lines, 'change')} of cabling and equipment" if lines else "Another wiring")
