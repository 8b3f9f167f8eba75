"""What is written: files of a work tree or of a revision, TOML with places, atomic writes, git. Knows no wiring."""
