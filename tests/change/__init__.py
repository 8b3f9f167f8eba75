"""Tests of what differs between two studios."""
