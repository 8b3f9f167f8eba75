"""The second opinion: a naive reading of the wiring language, random studios, and how the two are compared."""
