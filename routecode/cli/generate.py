"""Writes the schemas of all JSON documents: `python -m routecode.cli.generate`, in a checkout of the project.

For those who work on the documents; no command uses it. A test fails while a written file is not what is made here.
"""

from pathlib import Path

from routecode.show.schemas import schemas

if __name__ == "__main__":
    for name, text in schemas().items():
        (Path(__file__).parents[2] / name).write_bytes(text.encode())
