"""Tables in the terminal."""

from __future__ import annotations

from rich.box import SIMPLE_HEAD
from rich.table import Table

__all__ = ["plain_table"]


def plain_table(title: str) -> Table:
    """Return an empty table with a title, without a frame."""
    return Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
