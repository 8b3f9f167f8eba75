"""`python -m routecode`, the same as the command `routecode`."""

from routecode.cli.main import run

if __name__ == "__main__":
    run()
