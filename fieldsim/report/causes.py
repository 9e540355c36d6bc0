"""The causes of lost revenue in words."""

from __future__ import annotations

import pandas as pd

from fieldsim.variables import CAUSES

__all__ = ["causes_lost"]

WORDS = {
    "planting_date": "late planting",
    "weeds": "weeds",
    "drying": "drying",
    "replanting": "planting again",
    "wet_soil": "wet soil",
    "unplanted": "land left unplanted",
    "switched": "land switched",
}
SMALLEST = 0.5  # [$] a year, below which a cause is not shown


def causes_lost(comparison: pd.DataFrame) -> dict[str, str]:
    """Return the causes that cost any option something, by their column, with their words.

    Parameters
    ----------
    comparison : pandas.DataFrame
        From `compare`.

    Examples
    --------
    >>> import fieldsim
    >>> causes_lost(fieldsim.compare(fieldsim.simulate(fieldsim.demo_farm(), 50)))["lost_weeds"]
    'weeds'
    """
    columns = {f"lost_{cause}": WORDS[cause] for cause in CAUSES}
    return {
        column: words
        for column, words in columns.items()
        if (comparison[column].abs() >= SMALLEST).any()
    }
