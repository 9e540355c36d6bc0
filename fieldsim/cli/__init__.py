"""The command line: ``fieldsim demo | run | compare | check | days | fit | new``."""

from fieldsim.cli.commands import main

__all__ = ["main"]
