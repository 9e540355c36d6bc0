"""What the answer rests on: the farm in tables of words, in its own unit system."""

from __future__ import annotations

from fieldsim.farm import Farm
from fieldsim.report.crop_tables import crop_tables
from fieldsim.report.machine_tables import machine_tables
from fieldsim.report.table import Table, without_empty_columns
from fieldsim.report.work_tables import work_tables

__all__ = ["assumptions"]


def assumptions(farm: Farm) -> tuple[Table, ...]:
    """Return the tables of everything that was assumed.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    tuple of Table
        Crops and what lateness costs them, days and people, money, fields, operations, machines
        and tractors with the sources of shipped figures, options; without what a farm does not
        have.
    """
    tables = (*crop_tables(farm), *work_tables(farm), *machine_tables(farm))
    return tuple(without_empty_columns(table) for table in tables if table.rows)
