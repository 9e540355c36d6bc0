"""The farm as files and as checked, frozen parts."""

from fieldsim.farm.changes import Times, changed, figure_at
from fieldsim.farm.farm import Farm
from fieldsim.farm.files import parse_farm, read_farm

__all__ = ["Farm", "Times", "changed", "figure_at", "parse_farm", "read_farm"]
