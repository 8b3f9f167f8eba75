"""What new users are told along the way, on stderr: never an error, always with the way out."""

import re
import sys
from pathlib import Path

from routecode.cli.say import page_of, tell
from routecode.ground.finding import Mistake
from routecode.show.diagnostic import diagnostic, noted

NOT_A_BACKUP = "A recorded studio is not a backup, and a commit is not the racks."
_SYNCHRONISED = re.compile(r"(?i)drive\b|cloud|\bsync")


def advise(mistake: Mistake) -> None:
    """Show what stands in no one's way as a note."""
    tell(diagnostic(noted(mistake), page_of(None, sys.stderr, "")))


def synchronised(folder: Path) -> None:
    """Say it where the folder looks like one that a service copies between machines."""
    part = next((part for part in folder.resolve().parts if _SYNCHRONISED.search(part)), None)
    if part is not None:
        advise(
            Mistake(
                "synchronised-folder",
                f'"{part}" looks like a folder that is kept the same on several machines.',
                why="Two machines that write at once can damage the history in it.",
                do="Keep the studio in a folder of its own, and take it to other machines with git.",
            )
        )
