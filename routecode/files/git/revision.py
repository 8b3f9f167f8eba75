"""From what a person writes to one commit: names, dates, numbers; and what to say when there is no such commit."""

import re
from datetime import datetime, timedelta
from difflib import get_close_matches
from pathlib import Path

from routecode.files.git.process import run
from routecode.ground.finding import Mistake

_DATE = re.compile(r"(\d{4})-(\d\d)-(\d\d)(?:[ T](\d\d):(\d\d)(?::(\d\d))?)?")
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")
_ID = re.compile(r"[0-9a-f]{40}|[0-9a-f]{64}")
_DAYS = ("today", "yesterday", "tomorrow")
MAX_LENGTH = 500
ALL_COMMITS = "See the commits there are: routecode history"


def refused(text: str) -> Mistake | None:
    """Why a text is not even looked up: it would be read as something other than a revision."""
    if not text.strip():
        return Mistake(
            "revision-empty",
            "The revision is empty.",
            do="Name one: last, a date, a tag, or a number (1 is the newest change).",
        )
    if text.startswith("-"):
        return Mistake(
            "revision-dash",
            f'A revision does not begin with a dash: "{text}".',
            do=f"Name it without the dash. A branch whose name begins with one: heads/{text}",
        )
    if _CONTROL.search(text) or len(text) > MAX_LENGTH:
        told = "This revision has signs in it that no name has, or is far too long."
        return Mistake("revision-unreadable", told, do=ALL_COMMITS)
    try:
        text.encode()
    except UnicodeEncodeError:
        return Mistake("revision-unreadable", "This revision is not UTF-8.", do=ALL_COMMITS)
    if ".." in text:
        return Mistake(
            "revision-range", f'"{text}" is a range; one revision is asked for here.', do="Name one end of it."
        )
    return None


def verified(top: Path, text: str) -> str | None:
    """The id of the commit that git knows by this name."""
    done = run(top, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{text}^{{commit}}")
    return done.line if done.status == 0 and _ID.fullmatch(done.line) else None


def head_id(top: Path) -> str | None:
    """The id that is checked out, whether or not its commit can be read; None before the first commit."""
    done = run(top, "rev-parse", "--verify", "--quiet", "HEAD")
    return done.line if done.status == 0 and _ID.fullmatch(done.line) else None


def named(top: Path, text: str) -> str | Mistake:
    """The id of the commit with this name (branch, tag, id, or whatever git reads), or why there is none."""
    commit_id = verified(top, text)
    if commit_id is None:
        return _unknown(top, text)
    branch, tag = (verified(top, f"refs/{kind}/{text}") for kind in ("heads", "tags"))
    if branch is not None and tag is not None and branch != tag:
        return Mistake(
            "revision-ambiguous",
            f'There are a branch and a tag "{text}", and they are different commits.',
            do=f"Write heads/{text} for the branch or tags/{text} for the tag.",
        )
    return commit_id


def dated(top: Path, text: str) -> str | Mistake | None:
    """The last commit at or before the end of a day or minute, on the current branch; None: not a date.

    Days and times are those of the zone this machine is set to.
    """
    match = _DATE.fullmatch(text)
    if match is None:
        return None
    year, month, day, hour, minute, second = (int(part) if part else None for part in match.groups())
    try:
        begin = datetime(year or 0, month or 0, day or 0, hour or 0, minute or 0, second or 0).astimezone()
    except (ValueError, OverflowError):
        return Mistake(
            "revision-date", f'There is no such date: "{text}".', do="Write it like 2026-03-01 or 2026-03-01 14:00."
        )
    if hour is None:
        end = (begin.replace(tzinfo=None) + timedelta(days=1)).astimezone()
    else:
        end = begin + (timedelta(minutes=1) if second is None else timedelta(seconds=1))
    done = run(top, "rev-list", "-1", "--first-parent", f"--min-age={int(end.timestamp()) - 1}", "HEAD")
    if done.status == 0 and _ID.fullmatch(done.line):
        return done.line
    return Mistake("revision-date", f"No commit is as old as {text}.", do=ALL_COMMITS)


def _unknown(top: Path, text: str) -> Mistake:
    text = re.sub(r"\AHEAD(?=[~^])", "last", text)
    back = re.fullmatch(r"last~([0-9]{1,9})", text)
    if back is not None:
        count = run(top, "rev-list", "--count", "--first-parent", "HEAD").line
        known = "one commit" if count == "1" else f"{count} commits"
        told = f"The history has {known}, so nothing is {int(back[1])} before the last."
        return Mistake("revision-unknown", told, do=ALL_COMMITS)
    if text.casefold() in _DAYS:
        return Mistake("revision-unknown", f'"{text}" is no date.', do="Write the day in figures, like 2026-03-01.")
    if re.fullmatch(r"[0-9a-f]{4,40}", text):
        found = run(top, "rev-parse", f"--disambiguate={text}").line.split()
        commits = [short for short in found if verified(top, short) == short]
        if len(commits) > 1:
            shown = ", ".join(sorted(short[:12] for short in commits)[:5])
            return Mistake(
                "revision-ambiguous", f'"{text}" is the beginning of several commits: {shown}.', do="Write more of it."
            )
    done = run(top, "for-each-ref", "--format=%(refname)", "refs/heads", "refs/tags")
    names = sorted({name.split("/", 2)[2] for name in done.line.split("\n") if name.count("/") >= 2})
    near = get_close_matches(text, [*names, "last", "HEAD"], n=3, cutoff=0.6)
    do = f"Did you mean {' or '.join(near)}?" if near else ALL_COMMITS
    return Mistake("revision-unknown", f'There is no commit "{text}" in this repository.', do=do)


def in_shallow(mistake: Mistake) -> Mistake:
    """The same in a copy that holds only the newest commits: which fetch is needed. Nothing is fetched for the user."""
    if mistake.id not in ("revision-unknown", "revision-number", "revision-date"):
        return mistake
    why = "This copy of the repository is shallow: it holds only the newest commits."
    do = "Fetch the older ones yourself, then try again: git fetch --unshallow"
    return Mistake(
        mistake.id, mistake.text, mistake.place, why, do if mistake.do == ALL_COMMITS else f"{mistake.do}\n{do}"
    )
