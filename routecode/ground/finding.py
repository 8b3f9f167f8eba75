"""What is told about a studio: mistakes (nothing could be compiled) and findings (it compiled, and something is not right).

Both are values with a place. How they look is decided in `show`.
"""

from enum import Enum

from attrs import field, frozen

from routecode.ground.place import At, Spot


class Severity(Enum):
    """How bad a finding is; the order of the members is the order of telling."""

    ERROR = "error"
    HAZARD = "hazard"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return _RANKS[self]


_RANKS = {severity: rank for rank, severity in enumerate(Severity)}


@frozen
class Mistake:
    """A source error: no circuit can be made of this text (or this request cannot be read).

    `id` names the fault in words (`unknown-key`); `text` is one sentence; `why` and `do` are one sentence each or empty;
    `place` is where; `also` are further places, each with a few words on what it is.
    """

    id: str
    text: str
    place: At | Spot | None = None
    why: str = ""
    do: str = ""
    also: tuple[tuple[str, At | Spot], ...] = ()


@frozen
class Finding:
    """What a rule says: `rule` is its id, `at` the canonical names of its subjects, sorted; `setup` None is unpatched."""

    rule: str
    severity: Severity
    at: tuple[str, ...]
    text: str
    why: str = ""
    do: str = ""
    setup: str | None = None
    place: At | None = field(default=None, eq=False)
    also: tuple[tuple[str, At], ...] = field(default=(), eq=False)

    @property
    def identity(self) -> tuple[str, tuple[str, ...], str | None]:
        """What makes two findings of two revisions the same one: rule, subjects, setup."""
        return (self.rule, self.at, self.setup)
