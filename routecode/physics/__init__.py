"""Formulas of studio wiring, each with its source: pure functions of numbers. Knows no studio.

Where a docstring names a check value (L3, P9, W1 ...), the page `figures` holds the published figure against what is computed here.
The limits of physics are answers and no errors: a short is 0 ohms, an open end infinitely many, and no voltage at all is -inf dB. What
can be no quantity of its kind (a negative resistance, a gauge that does not exist) is a ValueError that names it.
"""
