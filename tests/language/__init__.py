"""Tests of the wiring language: names and ranges, decoding, the schema, the reference page."""
