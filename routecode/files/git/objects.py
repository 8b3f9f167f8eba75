"""What git's objects say: commits, trees and listings of trees, read from their bytes. Pure; runs nothing."""

import re
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from typing import NamedTuple

_IDENT = re.compile(r"(?P<name>[^<]*)<(?P<mail>[^>]*)>(?: (?P<seconds>-?\d+)(?: (?P<zone>[+-]\d{4}))?)?")
FILE, PROGRAM, LINK, MODULE, FOLDER = "100644", "100755", "120000", "160000", "40000"
RawEntry = tuple[bytes, bytes, bytes]
_TREE_ENTRY = {size: re.compile(rb"([0-7]+) ([^\0]+)\0(.{%d})" % size, re.DOTALL) for size in (20, 32)}


class Commit(NamedTuple):
    """A commit as people are told of it.

    `when` is the moment it was recorded (the committer's), ISO with zone; `author` a name; `title` the first paragraph
    on one line; `body` the rest.
    """

    id: str
    title: str
    author: str
    when: str
    parents: tuple[str, ...]
    body: str


class Entry(NamedTuple):
    """One line of a tree: `mode` without leading zeros, the object's id, and the name or path as bytes."""

    mode: str
    id: str
    name: bytes


def read_commit(commit_id: str, data: bytes) -> Commit:
    """The commit object `data`. Takes anything: what is not there reads as empty."""
    head, _, message = data.partition(b"\n\n")
    fields: dict[str, list[str]] = {}
    for line in head.split(b"\n"):
        if not line.startswith(b" "):  # a continued line belongs to a signature
            key, _, value = line.partition(b" ")
            fields.setdefault(key.decode("ascii", errors="replace"), []).append(value.decode("utf-8", errors="replace"))
    encoding = fields.get("encoding", ["utf-8"])[0]
    title, _, body = _decoded(message, encoding).strip("\n").partition("\n\n")
    author = _IDENT.match(fields.get("author", [""])[0])
    committer = _IDENT.match(fields.get("committer", [""])[0])
    return Commit(
        commit_id,
        " ".join(title.split()),
        author["name"].strip() if author else "",
        iso_date(committer["seconds"] or "0", committer["zone"] or "+0000") if committer else "",
        tuple(fields.get("parent", ())),
        body.strip("\n"),
    )


def tree_of(data: bytes) -> str:
    """The id of a commit object's tree."""
    return data.partition(b"\n")[0].removeprefix(b"tree ").decode("ascii", errors="replace")


def iso_date(seconds: str, zone: str) -> str:
    """Seconds since 1970 and a zone like `+0130` as an ISO date; what no calendar has is empty."""
    offset = timedelta(hours=int(zone[1:3]), minutes=int(zone[3:5])) * (-1 if zone[0] == "-" else 1)
    try:
        return datetime.fromtimestamp(int(seconds), timezone(offset)).isoformat()
    except (ValueError, OverflowError, OSError):
        return ""


def raw_entries(data: bytes, id_bytes: int) -> frozenset[RawEntry]:
    """The entries of a tree object as (mode, name, id), all bytes; ids have `id_bytes` bytes (20, or 32)."""
    return frozenset(_TREE_ENTRY[id_bytes].findall(data))


def whole_entries(data: bytes, id_bytes: int) -> list[RawEntry] | None:
    """The entries of a tree object in their order; None where it is not made of entries throughout."""
    found = _TREE_ENTRY[id_bytes].findall(data)
    if sum(len(mode) + len(name) + id_bytes + 2 for mode, name, _ in found) != len(data):
        return None
    return [(mode.lstrip(b"0"), name, raw_id) for mode, name, raw_id in found]


def read_listing(out: bytes) -> Iterator[Entry]:
    """What `ls-tree -z` prints; the name is a path below the tree."""
    for line in out.split(b"\0"):
        facts, tab, name = line.partition(b"\t")
        if tab:
            mode, _, object_id = facts.decode("ascii", errors="replace").split(" ")[:3]
            yield Entry(mode.lstrip("0"), object_id, name)


def _decoded(message: bytes, encoding: str) -> str:
    try:
        return message.decode(encoding, errors="replace")
    except LookupError:
        return message.decode("utf-8", errors="replace")
