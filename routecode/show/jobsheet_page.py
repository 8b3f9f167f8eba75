"""The jobsheet as one HTML file to be printed: no script, nothing loaded, a policy that forbids both. Every text of the user's is escaped."""

import base64
import hashlib
import html

from routecode.show.jobsheet import Part, Piece, Sheet

_STYLE = """
@page { margin: 14mm 12mm; }
body { font: 10.5pt/1.35 sans-serif; color: #000; background: #fff; max-width: 190mm; margin: 6mm auto; padding: 0 4mm; }
h1 { font-size: 16pt; margin: 0 0 2mm; } h2 { font-size: 13pt; margin: 7mm 0 2mm; border-bottom: 1px solid #000; break-after: avoid; }
.cautions { border: 2px solid #000; padding: 2mm 4mm 2mm 2mm; } .cautions ul { margin: 1mm 0 0; padding-left: 6mm; }
.step { display: grid; grid-template-columns: 7mm 10mm 1fr 52mm; column-gap: 2mm; border-top: 1px solid #999; padding: 2mm 0; break-inside: avoid; }
.long { break-inside: auto; }
.box { display: inline-block; width: 4mm; height: 4mm; border: 1.2px solid #000; vertical-align: -0.6mm; margin-right: 2mm; }
.number { font-weight: bold; text-align: right; } .at { font-style: italic; }
.mind { margin: 1mm 0; } ul.items { list-style: none; margin: 1mm 0; padding: 0 0 0 6.5mm; text-indent: -6.5mm; }
ul.items li { break-inside: avoid; margin: 0.6mm 0; } pre { font: 9.5pt/1.3 monospace; margin: 1mm 0; white-space: pre-wrap; }
.fields { font-size: 9pt; } .fields div { border-bottom: 1px solid #000; height: 6mm; } .fields .free { height: 10mm; }
"""


def jobsheet_page(whole: Sheet) -> str:
    """The page as one text."""
    digest = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    body = [f"<h1>{_text(whole.title)}</h1>", f"<p>From: {_text(whole.sides[0])}<br>To: {_text(whole.sides[1])}</p>"]
    if whole.parts:
        cautions = "".join(f"<li>{_text(caution)}</li>" for caution in whole.cautions)
        body.append(f'<div class="cautions"><strong>Before anything</strong><ul>{cautions}</ul></div>')
    body += [f"<p>{'<br>'.join(map(_text, whole.costs))}</p>"] if whole.costs else []
    body += [_part(part) for part in whole.parts]
    body += [f"<p>{'<br>'.join(map(_text, whole.closing))}</p>"] if whole.closing else []
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="generator" content="routecode jobsheet">\n'
        f"<title>{_text(whole.title)}</title>\n<style>{_STYLE}</style></head>\n<body>\n"
        + "\n".join(body)
        + "\n</body></html>\n"
    )


def _part(part: Part) -> str:
    pieces = "\n".join(map(_piece, part.pieces))
    return f"<h2>{_text(part.title)}</h2>\n<p>{_text(part.lead)}</p>\n{pieces}"


def _piece(piece: Piece) -> str:
    at = f' <span class="at">[{_text(piece.at)}]</span>' if piece.at else ""
    said = [f"<div>{_text(piece.text)}{at}</div>", *(f'<div class="mind">{_text(line)}</div>' for line in piece.said)]
    if piece.items:
        rows = "".join(f'<li><span class="box"></span>{_text(line)}</li>' for line in piece.items)
        said.append(f'<ul class="items">{rows}</ul>')
    if piece.pins:
        said.append(f"<pre>{_text(chr(10).join(piece.pins))}</pre>")
    fields = (
        '<div class="free">Done differently:</div><div>Date, initials:</div>'
        if piece.hands
        else "<div>Date, initials:</div>"
    )
    long = " long" if len(piece.items) > _LONG else ""
    return (
        f'<div class="step{long}"><div><span class="box"></span></div><div class="number">{piece.number}</div>'
        f'<div>{"".join(said)}</div><div class="fields">{fields}</div></div>'
    )


_LONG = 12


def _text(text: str) -> str:
    return html.escape(text)


def is_ours(start: bytes) -> bool:
    """Whether a file begins as one that this module wrote."""
    return b'name="generator" content="routecode jobsheet"' in start
