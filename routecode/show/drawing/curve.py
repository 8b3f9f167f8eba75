"""Curves as graphviz gives them (cubic pieces, end to end): flattened, cut into dashes, shortened for an arrow head."""

import itertools
from collections.abc import Sequence
from math import hypot

from routecode.show.drawing.picture import Point

_STEPS = 16


def flat(points: Sequence[Point]) -> list[Point]:
    """A curve of 3n + 1 control points as short straight pieces."""
    found = [points[0]]
    for start in range(0, len(points) - 3, 3):
        p, q, r, s = points[start : start + 4]
        for step in range(1, _STEPS + 1):
            t = step / _STEPS
            u = 1 - t
            a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
            found.append((a * p[0] + b * q[0] + c * r[0] + d * s[0], a * p[1] + b * q[1] + c * r[1] + d * s[1]))
    return found


def straight(points: Sequence[Point]) -> tuple[Point, ...]:
    """A line of straight pieces as a curve."""
    found = [points[0]]
    for a, b in itertools.pairwise(points):
        found += [_between(a, b, 1 / 3), _between(a, b, 2 / 3), b]
    return tuple(found)


def rounded(points: Sequence[Point], radius: float = 4.0) -> tuple[Point, ...]:
    """A line of straight pieces as a curve with rounded corners."""
    found = [points[0]]
    for index in range(1, len(points) - 1):
        before, corner, after = points[index - 1], points[index], points[index + 1]
        near, far = length((before, corner)), length((corner, after))
        start = _between(corner, before, min(radius, near / 2) / max(near, 0.01))
        end = _between(corner, after, min(radius, far / 2) / max(far, 0.01))
        found += straight((found[-1], start))[1:]
        found += [_between(start, corner, 0.6), _between(end, corner, 0.6), end]
    return tuple(found + list(straight((found[-1], points[-1]))[1:]))


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def length(points: Sequence[Point]) -> float:
    """The length of straight pieces."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points))


def along(points: Sequence[Point], distance: float) -> Point:
    """The point at a distance from the start of straight pieces."""
    for a, b in itertools.pairwise(points):
        piece = hypot(b[0] - a[0], b[1] - a[1])
        if distance <= piece and piece > 0:
            return _between(a, b, distance / piece)
        distance -= piece
    return points[-1]


def dashes(points: Sequence[Point], pattern: Sequence[float]) -> list[tuple[Point, ...]]:
    """Straight pieces cut into dashes: `pattern` holds lengths on, off, on, ..."""
    found: list[tuple[Point, ...]] = []
    total = length(points)
    at, index = 0.0, 0
    while at < total:
        step = pattern[index % len(pattern)]
        if index % 2 == 0:
            found.append(_piece(points, at, min(at + step, total)))
        at += step
        index += 1
    return found


def _piece(points: Sequence[Point], start: float, end: float) -> tuple[Point, ...]:
    inner = []
    so_far = 0.0
    for a, b in itertools.pairwise(points):
        so_far += hypot(b[0] - a[0], b[1] - a[1])
        if start < so_far < end:
            inner.append(b)
    return (along(points, start), *inner, along(points, end))
