"""routecode: the wiring of a recording studio as text in git."""

__version__ = "0.1.0"
