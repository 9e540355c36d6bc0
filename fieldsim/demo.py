"""The invented demo farm that comes with fieldsim."""

from __future__ import annotations

from pathlib import Path

from fieldsim.farm import Farm, read_farm

__all__ = ["demo_farm", "demo_folder"]


def demo_folder() -> Path:
    """Return the folder of the demo farm's files: in an installed package or in a checkout.

    Returns
    -------
    Path
    """
    package = Path(__file__).parent
    installed = package / "demo_data"
    return installed if installed.is_dir() else package.parent / "data" / "demo"


def demo_farm() -> Farm:
    """Return the invented demo farm: 900 acres of corn and soybeans, four options.

    Returns
    -------
    Farm
        What `read_farm` makes of the files that ``fieldsim new DIR --copy`` writes.

    Examples
    --------
    >>> demo_farm().name
    'Prairie Bend (invented demo farm)'
    """
    return read_farm(demo_folder() / "farm.toml")
