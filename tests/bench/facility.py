"""A generated facility for measuring: areas of 200 channels, a file each, without ranges, a finding in every file, five setups.

    python -m tests.bench.facility FOLDER --channels 100000

An area is a wall box of 20 lines, a preamplifier, two processors, a recorder and a monitor amplifier on one bay of 100 columns. Every
cable is named one by one, as an importer from a sheet would write it. One cable of each area is reversed: that is its finding.
"""

import argparse
from collections.abc import Iterator
from pathlib import Path

PER_AREA = 200
WIDTH = 20
CHAIN = (
    ("wall", "line", "pre", "mic"),
    ("pre", "out", "proc-a", "in"),
    ("proc-a", "out", "proc-b", "in"),
    ("proc-b", "out", "rec", "in"),
    ("rec", "out", "amp", "in"),
)


def _numbered(stem: str) -> str:
    return "[" + ", ".join(f'"{stem} {number}"' for number in range(1, WIDTH + 1)) + "]"


def _ports(model: str, *ports: tuple[str, str, str]) -> Iterator[str]:
    for stem, direction, signal in ports:
        yield f'[[model.{model}.port]]\nname = {_numbered(stem)}\ndirection = "{direction}"\nsignal = "{signal}"\n'


def _models() -> str:
    parts = ['[room.house]\ntitle = "House"\n']
    for model, stem, signal in (("pre", "mic", "mic"), ("proc", "in", "line")):
        parts += _ports(model, (stem, "in", signal), ("out", "out", "line"))
        parts.append(f"[[model.{model}.inside]]\nfrom = {_numbered(stem)}\nto = {_numbered('out')}\n")
    parts += _ports("rec", ("in", "in", "line"), ("out", "out", "line"))
    parts += _ports("wall", ("line", "either", "mic"))
    parts += _ports("amp", ("in", "in", "line"))
    return "\n".join(parts)


def _area(number: int) -> str:
    area = f"{number:05}"
    units = (("wall", "wall"), ("pre", "pre"), ("proc-a", "proc"), ("proc-b", "proc"), ("rec", "rec"), ("amp", "amp"))
    parts = [f'[unit.a{area}-{name}]\nmodel = "{model}"\nroom = "house"\n' for name, model in units]
    parts.append(f'[bay.b{area}]\ntitle = "Bay {area}"\nroom = "house"\ncolumns = {WIDTH * len(CHAIN)}\n')
    for group, (source, stem, target, into) in enumerate(CHAIN):
        for line in range(1, WIDTH + 1):
            parts.append(
                f"[[bay.b{area}.column]]\nat = {group * WIDTH + line}\n"
                f'top = "a{area}-{source}/{stem} {line}"\nbottom = "a{area}-{target}/{into} {line}"\nnormal = "half"\n'
            )
    parts.append(
        f'[[cable]]\nnumber = "R{area}"\nfrom = "a{area}-pre/out 7"\nto = "b{area}/top {WIDTH + 7}"\npolarity = "reversed"\n'
    )
    return "\n".join(parts)


def _setup(name: str, areas: range) -> str:
    parts = [f'[setup.{name}]\ntitle = "Setup {name}"\n']
    for number in areas:
        area = f"{number:05}"
        parts.append(f'[[setup.{name}.cord]]\nfrom = "b{area}/top 1"\nto = "b{area}/bottom 2"\n')
        parts.append(f'[[setup.{name}.cord]]\nfrom = "a{area}-rec/out 3"\nto = "b{area}/bottom 99"\n')
        parts.append(
            f'[[setup.{name}.need]]\npath = ["a{area}-wall/line 1", "a{area}-pre/mic 2", "a{area}-proc-a/in 2"]\n'
        )
    return "\n".join(parts)


def facility(channels: int) -> dict[str, str]:
    """File name -> TOML text of a facility of about this many channels (a multiple of 200)."""
    count = channels // PER_AREA
    texts = {f"areas/area-{number:05}.toml": _area(number) for number in range(count)}
    texts["models.toml"] = _models()
    texts["studio.toml"] = '[studio]\ntitle = "Facility"\nlanguage = 1\n'
    for position, name in enumerate(("one", "two", "three", "four", "five")):
        first = position * count // 5
        texts[f"setups/{name}.toml"] = _setup(name, range(first, min(first + 12, count)))
    return texts


def write(folder: Path, channels: int) -> int:
    """Write a facility into an empty folder; how many bytes it has."""
    total = 0
    for name, text in facility(channels).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        total += len(text.encode())
    return total


def main() -> None:
    """Write a facility."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--channels", type=int, default=100_000)
    asked = parser.parse_args()
    print(f"{write(asked.folder, asked.channels)} bytes in {asked.folder}")


if __name__ == "__main__":
    main()
