"""Tests of how answers are shown."""
