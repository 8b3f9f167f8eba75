"""Tests of the formulas against published figures and an outside simulator."""
