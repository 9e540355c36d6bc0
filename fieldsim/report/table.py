"""A table of text for people to read."""

from __future__ import annotations

from dataclasses import dataclass, replace

__all__ = ["Table", "without_empty_columns"]


@dataclass(frozen=True)
class Table:
    """A table of text: a heading, the heads of its columns, its rows, and a note below it."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


def without_empty_columns(table: Table) -> Table:
    """Return a table without the columns in which no row says anything.

    Examples
    --------
    >>> without_empty_columns(Table("", ("a", "b", "c"), (("1", "", "2"), ("3", "", "")))).columns
    ('a', 'c')
    """
    kept = [place for place in range(len(table.columns)) if any(r[place] for r in table.rows)]
    return replace(
        table,
        columns=tuple(table.columns[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
    )
