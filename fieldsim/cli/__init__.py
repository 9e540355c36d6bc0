"""The command line: ``fieldsim demo | run | check | new``."""

from fieldsim.cli.commands import main

__all__ = ["main"]
