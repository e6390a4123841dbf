"""`python -m hoseselect` is the same as `hoseselect`."""

from hoseselect.interfaces.cli.main import run

if __name__ == "__main__":
    run()
