"""Bays resolved: which normal each column has, what is wired behind it, what is reserved, grouped and labelled."""

from collections.abc import Iterator

from routecode.circuit.plant import NormalJoint, PlacedBay, Plant, jack_in
from routecode.circuit.problems import Problems
from routecode.ground.place import At
from routecode.language.kinds import Names
from routecode.language.ranges import spread, spread_whole
from routecode.language.written import Bay, Column

_SWITCHED = ("none", "half", "full", "parallel")
_PLUGS = ("bottom", "top", "none")


class BayMaker:
    """Places the bays of a studio; columns' cables are yielded for the cabling pass."""

    def __init__(self, plant: Plant, problems: Problems) -> None:
        self.plant = plant
        self.problems = problems
        self.short_forms: list[tuple[str, int, Column, str]] = []
        """(place as written, node of the jack, table, key): the cables that columns state."""

    def place(self, bay: Bay) -> None:
        """Add one bay with its columns, normals and mults."""
        placed = self.empty(bay, len(self.plant.direction))
        self.plant.add_bay(placed)
        self.fill(placed)

    def empty(self, bay: Bay, first: int) -> PlacedBay:
        """A bay whose jacks are numbered from `first` on, before anything is said of its columns."""
        assert bay.columns is not None
        return PlacedBay(bay.id, bay, first, bay.columns, bay.rows, [self._default(bay)] * (bay.columns + 1))

    def fill(self, placed: PlacedBay) -> None:
        """The columns, normals and mults of a bay that is in the plant."""
        bay = placed.written
        pattern_said: dict[int, Column] = {}
        for column in self._odd_columns(placed, pattern_said):
            self._column(placed, column, pattern_said)
        self._normals(placed, bay, pattern_said)
        for mult in bay.mult:
            jacks = self._mult_jacks(placed, mult.at, mult.where("at"))
            if len(jacks) > 1:
                placed.mults.append((jacks, mult.place))

    def _odd_columns(self, bay: PlacedBay, pattern_said: dict[int, Column]) -> Iterator[Column]:
        """Take in the columns that say one number, one place a row and perhaps a fitting normal, as most do; give the others.

        Whatever could be a mistake is given on: `_column` reads every column that there can be.
        """
        normals, forms, plugs = bay.normals, self.short_forms, bay.plugs
        over, under, last = bay.first - 1, bay.first - 1 + bay.columns, bay.columns
        for column in bay.written.column:
            at, top, bottom, normal = column.at, column.top, column.bottom, column.normal
            number = at[0] if len(at) == 1 else 0
            if (
                type(number) is not int
                or not 0 < number <= last
                or bay.rows == 1
                or column.plug is not None
                or (normal is not None and (plugs or number in pattern_said))
                or (top and (len(top) > 1 or ".." in str(top[0])))
                or (bottom and (len(bottom) > 1 or ".." in str(bottom[0])))
                or column.reserved
                or column.group
                or column.label_top
                or column.label_bottom
            ):
                yield column
                continue
            if normal is not None:
                pattern_said[number] = column
                normals[number] = normal
            if top:
                forms.append((str(top[0]), over + number, column, "top"))
            if bottom:
                forms.append((str(bottom[0]), under + number, column, "bottom"))

    def _default(self, bay: Bay) -> str:
        allowed = _PLUGS if bay.normalling == "plugs" else _SWITCHED
        if bay.normal is None:
            return "none"
        if bay.rows == 1 or bay.normal not in allowed:
            kind = (
                "with one row"
                if bay.rows == 1
                else ("with link plugs" if bay.normalling == "plugs" else "with switching contacts")
            )
            words = "no normals" if bay.rows == 1 else ", ".join(allowed)
            self.problems.add(
                "wrong-normal",
                f"A bay {kind} takes {words}, not normal = {bay.normal}.",
                bay.where("normal"),
                do="Correct it or leave it out.",
            )
        return bay.normal

    def _column(self, bay: PlacedBay, column: Column, pattern_said: dict[int, Column]) -> None:
        at = column.at
        if len(at) == 1 and type(at[0]) is int:  # as most columns are written; the rest of the checks are below
            numbers: tuple[int, ...] = (at[0],)
            highest = at[0] if at[0] > 0 else bay.columns + 1
        else:
            numbers = spread_whole(at, column.where("at"), self.problems.mistakes)
            highest = max(numbers, default=0)
        if highest > bay.columns or not numbers:
            if numbers:
                self._no_column(bay, column, max(numbers))
            return
        if column.plug is not None or column.normal is not None:
            self._pattern(bay, column, numbers, pattern_said)
        if column.top:
            self._wired(bay, column, "top", column.top, numbers)
        if column.bottom:
            self._wired(bay, column, "bottom", column.bottom, numbers)
        if column.reserved or column.group or column.label_top or column.label_bottom:
            self._words(bay, column, numbers)

    def _no_column(self, bay: PlacedBay, column: Column, number: int) -> None:
        self.problems.add(
            "no-such-column",
            f"{bay.title} has {bay.columns} columns; column {number} is named.",
            column.where("at"),
            do=f"Correct `at`, or raise `columns` of bay {bay.id}.",
        )

    def _pattern(self, bay: PlacedBay, column: Column, numbers: tuple[int, ...], said: dict[int, Column]) -> None:
        key = "plug" if column.plug is not None else "normal"
        pattern = column.plug if column.plug is not None else column.normal
        if pattern is None:
            return
        if bay.rows == 1:
            self.problems.add(
                "one-row",
                f"{bay.title} has one row; `{key}` has no meaning there.",
                column.where(key),
                do="Leave it out.",
            )
            return
        if (column.plug is not None) != bay.plugs or (column.normal is not None and column.plug is not None):
            wrong, right = ("normal", "plug") if bay.plugs else ("plug", "normal")
            kind = "link plugs" if bay.plugs else "switching contacts"
            self.problems.add(
                "wrong-normal",
                f"{bay.title} has {kind}: `{wrong}` has no meaning there.",
                column.where(wrong),
                do=f"Say `{right}` instead.",
            )
            return
        for number in numbers:
            first = said.setdefault(number, column)
            if first is not column and bay.normals[number] != pattern:
                self._twice(bay, number, key, column, first)
            bay.normals[number] = pattern

    def _twice(self, bay: PlacedBay, number: int, key: str, column: Column, first: Column) -> None:
        self.problems.add(
            "key-twice",
            f"Column {number} of {bay.title} is given `{key}` twice, differently.",
            column.where(key),
            do="Keep one of them.",
            also=(("the first one", first.where(key)),),
        )

    def _wired(self, bay: PlacedBay, column: Column, key: str, names: Names, numbers: tuple[int, ...]) -> None:
        if bay.rows == 1 and key == "bottom":
            self.problems.add(
                "one-row",
                f"{bay.title} has one row; it has no bottom jacks.",
                column.where(key),
                do="Use `top` for its one row.",
            )
            return
        offset = bay.first - 1 + (bay.columns if key == "bottom" else 0)
        if len(numbers) == 1 and len(names) == 1 and ".." not in names[0]:  # type: ignore[operator] # places are texts
            self.short_forms.append((names[0], offset + numbers[0], column, key))  # type: ignore[arg-type] # as above
            return
        places = spread(names, column.where(key), self.problems.mistakes)
        if places and len(places) != len(numbers):
            self.problems.unequal("`at`", len(numbers), f"`{key}`", len(places), column.where(key), places)
            return
        self.short_forms += [
            (place, offset + number, column, key) for place, number in zip(places, numbers, strict=False)
        ]

    def _words(self, bay: PlacedBay, column: Column, numbers: tuple[int, ...]) -> None:
        for number in numbers:
            if column.reserved:
                bay.reserved[number] = column.reserved if isinstance(column.reserved, str) else "reserved"
            if column.group:
                bay.groups[number] = column.group
        for row, names in (("top", column.label_top), ("bottom", column.label_bottom)):
            at = column.where(f"label_{row}")
            labels = [
                label for name in names for label in spread((name,), at, self.problems.mistakes)
            ]  # labels may repeat
            if labels and len(labels) != len(numbers):
                self.problems.unequal("`at`", len(numbers), f"`label_{row}`", len(labels), column.where(f"label_{row}"))
                continue
            for number, label in zip(numbers, labels, strict=False):
                bay.labels[row, number] = label

    def _normals(self, placed: PlacedBay, bay: Bay, said: dict[int, Column]) -> None:
        if placed.rows == 1:
            return
        key, rests = ("plug", (placed.destination_row,)) if placed.plugs else ("normal", ("half", "full", "parallel"))
        down = bay.sources == "top"
        normals, add = placed.normals, self.plant.normals.append
        for number in range(1, placed.columns + 1):
            pattern = normals[number]
            if pattern == "none" and not placed.plugs:
                continue  # a link plug may be put in by a setup, a switched normal may not
            top = placed.first + number - 1
            bottom = top + placed.columns
            table = said.get(number)
            source, target = (top, bottom) if down else (bottom, top)
            add(
                NormalJoint(
                    source, target, pattern, bay.id, number, pattern in rests, table or bay, key if table else "normal"
                )
            )

    def _mult_jacks(self, bay: PlacedBay, names: tuple[str | int, ...], at: At) -> tuple[int, ...]:
        jacks: list[int] = []
        for name in spread(names, at, self.problems.mistakes):
            node = jack_in(bay, name)
            if node is None:
                self.problems.unknown_place(self.plant, f"{bay.id}/{name}", at, wanted="jack")
            else:
                jacks.append(node)
        return tuple(jacks)

    def explicit_normals(self) -> Iterator[NormalJoint]:
        """The `[[normal]]` tables, resolved; call when all bays are placed."""
        for normal in self.plant.studio.normal:
            sources = self._jacks(normal.from_, normal.where("from"))
            targets = self._jacks(normal.to, normal.where("to"))
            if len(sources) != len(targets):
                if sources and targets:
                    self.problems.unequal("`from`", len(sources), "`to`", len(targets), normal.where("to"))
                continue
            for source, target in zip(sources, targets, strict=True):
                if source == target:
                    self.problems.add(
                        "normal-to-itself",
                        "A normal joins two jacks; both ends are the same here.",
                        normal.where("to"),
                        do="Correct one end.",
                    )
                    continue
                yield NormalJoint(source, target, normal.breaks, "", 0, True, normal, "")

    def _jacks(self, names: tuple[str | int, ...], at: At) -> list[int]:
        jacks: list[int] = []
        for name in spread(names, at, self.problems.mistakes):
            node = self.plant.node(name)
            if node is None or not self.plant.is_jack(node):
                self.problems.unknown_place(self.plant, name, at, wanted="jack")
            else:
                jacks.append(node)
        return jacks
