"""The farm as files and as checked, frozen parts."""

from fieldsim.farm.farm import Farm
from fieldsim.farm.files import parse_farm, read_farm

__all__ = ["Farm", "parse_farm", "read_farm"]
