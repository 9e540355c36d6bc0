"""Where the day of each machine goes, in words."""

from __future__ import annotations

import pandas as pd

from fieldsim.farm import Farm
from fieldsim.plots.words import readable
from fieldsim.report.shown import share_text
from fieldsim.report.table import Table, without_empty_columns
from fieldsim.work.time_use import day_use

__all__ = ["time_table"]

ELEMENTS = ("row", "turn", "adjustment", "stops", "setup", "morning")
HEADS = ("in the row", "turning", "adjusting", "all stops", "road, set-up", "before work")


def time_table(farm: Farm) -> Table:
    """Return what share of its days each machine of any option spends on what.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    Table
        A row for each machine, and one for each number of units where options have other numbers.
    """
    rows = []
    for (_, name, units), of in day_use(farm).groupby(["option", "machine", "units"], sort=False):
        shares = of[of.element != "fill"].set_index("element").share
        fills = of[of.element == "fill"].set_index("material").share
        label = readable(str(name)) if units == 1 else f"{units} × {readable(str(name))}"
        told = {element: _share(shares, element) for element in ELEMENTS}
        filling = ", ".join(
            f"{share_text(share)} {readable(str(material))}" for material, share in fills.items()
        )
        rows.append((label, told.pop("row"), told.pop("turn"), filling, *told.values()))
    heads = ("machine", HEADS[0], HEADS[1], "filling", *HEADS[2:])
    note = (
        "Shares of full working days, over all fields of the machine; every unit drives to each "
        "field. Where a field efficiency is given, all stops, turns and overlap stand together."
    )
    table = Table("Where the day goes", heads, tuple(dict.fromkeys(rows)), note)
    return without_empty_columns(table)


def _share(shares: pd.Series[float], element: str) -> str:
    share = float(shares.get(element, 0.0))
    return share_text(share) if share > 0 else ""
