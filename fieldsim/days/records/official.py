"""What an official series must hold, so that its lines are one record."""

from __future__ import annotations

from fieldsim.errors import Fault, InputError
from fieldsim.tables import Table

__all__ = ["check_official"]

ITEM_COLUMNS = ("dataitem", "shortdesc")
PLACE_COLUMNS = ("state", "statename", "agdistrict", "asddesc", "county", "countyname")
WANTED = "days suitable"
LONGEST_LIST = 5


def check_official(table: Table, names: dict[str, str]) -> None:
    """Raise unless an official series has a year, one item (days suitable) and one place.

    Parameters
    ----------
    table : Table
    names : dict of str
        Columns by their names in lower case without blanks and underscores.

    Raises
    ------
    InputError
        With every fault; several items or places are named.
    """
    faults = []
    if "year" not in names:
        faults.append(Fault(table.file, "columns", "", "the column Year is missing", "add Year"))
    for name in ITEM_COLUMNS:
        items = _values(table, names.get(name))
        if len(items) > 1:
            problem = f"{len(items)} items; a record is of one"
            repair = "keep the lines of one item: that of the days suitable"
            faults.append(Fault(table.file, names[name], _list(items), problem, repair))
        elif items and WANTED not in items[0].casefold():
            problem = f'not days suitable for fieldwork: the item does not say "{WANTED}"'
            faults.append(
                Fault(table.file, names[name], items[0], problem, "download that item instead")
            )
    for name in PLACE_COLUMNS:
        places = _values(table, names.get(name))
        if len(places) > 1:
            problem = f"{len(places)} places; a record is of one"
            repair = "keep the lines of one place"
            faults.append(Fault(table.file, names[name], _list(places), problem, repair))
    if faults:
        raise InputError(faults)


def _values(table: Table, column: str | None) -> list[str]:
    """Return the different values of a column, in order; none if there is no such column."""
    if column is None:
        return []
    return list(dict.fromkeys(text for row in table.rows if (text := row.cells[column])))


def _list(values: list[str]) -> str:
    """Return the first few values as text."""
    more = [f"and {len(values) - LONGEST_LIST} more"] if len(values) > LONGEST_LIST else []
    return "; ".join(values[:LONGEST_LIST] + more)
