"""Cases kept as Markdown: under each heading the files that differ from the starter studio, and what is expected to be told."""

import re
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
_BLOCK = re.compile(r"^```(toml|text) *(\S*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Case(NamedTuple):
    """Files by name, and the expected text."""

    title: str
    files: dict[str, str]
    expected: str

    def write(self, folder: Path) -> None:
        """Put the files into a folder."""
        for name, text in self.files.items():
            (folder / name).write_text(text, encoding="utf-8")


def read(name: str) -> list[Case]:
    """The cases of a file."""
    cases = []
    for section in re.split(r"^## ", (HERE / name).read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]:
        title, _, body = section.partition("\n")
        blocks = _BLOCK.findall(body)
        files = {file: text for kind, file, text in blocks if kind == "toml"}
        expected = "".join(text for kind, _, text in blocks if kind == "text")
        cases.append(Case(title.strip(), files, expected))
    return cases


def rewritten(name: str, case: Case, told: str) -> None:
    """Put what was told in place of what was expected."""
    path = HERE / name
    head, mark, rest = path.read_text(encoding="utf-8").partition(f"## {case.title}\n")
    body, following, after = rest.partition("\n## ")
    body = re.sub(r"^```text\n.*?^```$", lambda _: f"```text\n{told}```", body, count=1, flags=re.MULTILINE | re.DOTALL)
    path.write_text(f"{head}{mark}{body}{following}{after}", encoding="utf-8")


CASES = {"mistakes.md": read("mistakes.md")}
