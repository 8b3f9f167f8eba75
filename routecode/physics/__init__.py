"""Formulas of studio wiring, each with its source: pure functions of numbers. Knows no studio.

Where a docstring names a check value (L3, P9, W1 ...), the page `figures` holds the published figure against what is computed here.
"""
