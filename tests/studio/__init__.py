"""Tests of a revision, opened."""
