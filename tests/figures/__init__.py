"""Tests of the figures of a circuit."""
