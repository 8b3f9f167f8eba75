"""The nearest of the known words to a mistyped one, for every "did you mean". A guess; it decides nothing."""

from collections.abc import Iterable
from difflib import SequenceMatcher
from heapq import nsmallest

_CLOSE = 0.68
_COMPARED = 40


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """The choice most like `word`, or None where none is like it; a difference in case only always wins.

    The cost is one cheap look at each choice and a thorough one at forty of them, so tens of thousands of choices are
    no matter. The answer does not depend on the order of the choices.
    """
    if len(word) > 200:
        return None
    folded = word.casefold()
    slack = 1 + len(folded) // 3
    same: list[str] = []
    longer: list[str] = []  # `pitch` for `pitch_mm`
    likely: list[tuple[int, str]] = []
    for choice in choices:
        if len(choice) > len(word) and choice.casefold().startswith(f"{folded}_"):
            longer.append(choice)
        if choice != word and abs(len(choice) - len(word)) <= slack:
            known = choice.casefold()
            if known == folded:
                same.append(choice)
            likely.append((-_shared(folded, known), choice))
    if same:
        return min(same)
    matcher = SequenceMatcher(autojunk=False, b=folded)
    ranked = []
    for _, choice in nsmallest(_COMPARED, likely):
        matcher.set_seq1(choice.casefold())
        if matcher.real_quick_ratio() >= _CLOSE and matcher.quick_ratio() >= _CLOSE:  # upper bounds, and cheap
            ranked.append((-matcher.ratio(), choice))
    best = min(ranked, default=(0.0, ""))
    if -best[0] >= _CLOSE:
        return best[1]
    return longer[0] if len(longer) == 1 else None


def _shared(one: str, other: str) -> int:
    """How many letters two words share at their start and at their end."""
    most = min(len(one), len(other))
    start = 0
    while start < most and one[start] == other[start]:
        start += 1
    end = 0
    while end < most - start and one[-1 - end] == other[-1 - end]:
        end += 1
    return start + end


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """The question as a sentence, or an empty text where nothing is near."""
    near = nearest(word, choices)
    return f"Did you mean `{near}`?" if near is not None else ""
