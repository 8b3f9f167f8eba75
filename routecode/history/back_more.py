"""All that has to go back together, where a part cannot go back alone: found by doing what the refusals say, until nothing refuses.

And what a file says that stands in another file by now. Decides nothing about texts.
"""

import re
from collections.abc import Callable, Iterator

from routecode.ground.finding import Mistake
from routecode.history.back_parts import KINDS, Tables, Wanted, said

_OPTION = re.compile(rf"--({'|'.join((*KINDS, 'file'))}) (\S+)")
_MOST = 8
"""Refusals that are followed one after another."""


def together(attempt: Callable[[Wanted], object], wanted: Wanted, refused: object) -> Wanted | None:
    """What is wanted and all that must come with it; None where the refusals name nothing more that helps."""
    for _ in range(_MOST):
        if not isinstance(refused, tuple):
            return wanted
        more = _with(wanted, refused)
        if more == wanted:
            return None
        wanted, refused = more, attempt(more)
    return None


def _with(wanted: Wanted, refused: tuple[Mistake, ...]) -> Wanted:
    """What is wanted and what the refusals say to return with it."""
    named: dict[str, dict[str, None]] = {kind: dict.fromkeys(wanted.of(kind)) for kind in KINDS}
    named["file"] = dict.fromkeys(wanted.files)
    for mistake in refused:
        for kind, each in _OPTION.findall(mistake.do):
            named[kind][each] = None
    return Wanted(tuple(named["bay"]), tuple(named["unit"]), tuple(named["setup"]), tuple(named["file"]))


def moved_files(now: Tables, then: Tables, wanted: Wanted) -> Iterator[Mistake]:
    """Files that were asked for and whose statements stand in another file now, or stood in another one then."""
    for name in wanted.files:
        others = sorted((now.keys() | then.keys()) - set(wanted.files))
        for one, other, verb in ((then, now, "stands in {} now"), (now, then, "stood in {} then")):
            gone = said({"": one.get(name, {})}) - said({"": other.get(name, {})})
            homes = [
                file for file in others if gone & (said({"": other.get(file, {})}) - said({"": one.get(file, {})}))
            ]
            if homes:
                text = f"What is said in {name} {verb.format(', '.join(homes))}."
                options = " ".join(f"--file {file}" for file in homes)
                yield Mistake("back-impossible", text, do=f"Return it together with: {options}")
                break
