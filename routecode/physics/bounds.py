"""What a number must be to be a quantity at all; ValueError for programmers. What users write is judged where it is read, not here."""


def above_zero(**values: float) -> None:
    """ValueError, with the name, for a value that is not above 0 (not a number among them)."""
    for name, value in values.items():
        if not value > 0:
            raise ValueError(f"{name} must be above 0, not {value}")


def not_negative(**values: float) -> None:
    """ValueError, with the name, for a value below 0 (not a number among them)."""
    for name, value in values.items():
        if not value >= 0:
            raise ValueError(f"{name} must be 0 or more, not {value}")


def from_to(low: float, high: float, **values: float) -> None:
    """ValueError, with the name, for a value outside `low` to `high`, both included."""
    for name, value in values.items():
        if not low <= value <= high:
            raise ValueError(f"{name} must be from {low:g} to {high:g}, not {value}")
