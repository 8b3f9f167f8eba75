"""Tests of how it is asked: commands, exit statuses, and the first ten minutes."""
