"""The jobsheet in Markdown: boxes to tick as task lists. Every text of the user's is escaped."""

from routecode.show.jobsheet import Piece, Sheet
from routecode.show.markdown import escaped, named_at

_FIELDS = "Done differently: \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_ Date: \\_\\_\\_\\_\\_ Initials: \\_\\_\\_\\_"


def jobsheet_markdown(whole: Sheet) -> str:
    """The sheet as one Markdown document."""
    ids = [each for said in whole.sides for each in named_at(said)]
    before, after = (escaped(said, ids) for said in whole.sides)
    lines = [f"# {escaped(whole.title, ids)}", "", f"From {before} to {after}", ""]
    if whole.parts:
        lines += ["**Before anything**", "", *(f"- {escaped(caution)}" for caution in whole.cautions), ""]
    lines += [f"{escaped(cost)}  " for cost in whole.costs]
    for part in whole.parts:
        lines += ["", f"## {escaped(part.title)}", "", escaped(part.lead), ""]
        for piece in part.pieces:
            lines += _piece(piece)
    if whole.closing:
        lines += ["", *(f"{escaped(each, ids)}  " for each in whole.closing)]
    return "\n".join(lines) + "\n"


def _piece(piece: Piece) -> list[str]:
    at = f" *{escaped(piece.at)}*" if piece.at else ""
    lines = [f"- [ ] **{piece.number}** {escaped(piece.text)}{at}"]
    lines += [f"  - {escaped(line)}" for line in piece.said]
    lines += [f"  - [ ] {escaped(line)}" for line in piece.items]
    lines += [f"  - {escaped(line.strip())}" for line in piece.pins]
    if piece.hands:
        lines.append(f"  - {_FIELDS}")
    return lines
