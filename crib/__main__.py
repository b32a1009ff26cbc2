"""``python -m crib`` is the same as ``crib``."""

from crib.cli.main import run

if __name__ == "__main__":
    run()
