"""What every table of the language has in common."""

from collections.abc import Mapping

from attrs import field, frozen

from routecode.ground.place import At
from routecode.language.kinds import Text, key


@frozen(kw_only=True, slots=False)
class Table:
    """What every table takes, and where it stands."""

    title: str | None = key(
        Text(), "What people call it; used in sentences instead of the id.", example='title = "North bay"'
    )
    notes: str | None = key(Text(lines=True), "Anything worth keeping; shown, never interpreted.")
    was: str | None = key(
        Text(), "The id or name it had before; used only if the old one exists only before and the new one only after."
    )
    place: At = field(eq=False)
    elsewhere: Mapping[str, At] | None = field(default=None, eq=False)

    def where(self, name: str) -> At:
        """Where the key `name` of this table is written, or where it would be."""
        at = self.elsewhere.get(name, self.place) if self.elsewhere else self.place
        return At(at.file, (*at.path, name))
