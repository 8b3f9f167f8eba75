"""Tests of the page on which a rewiring is reviewed."""
