"""The project's exceptions: what a user did wrong, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Fault", "FieldsimError", "InputError"]

LONGEST = 600  # letters of each part of a message

LONGEST = 600  # letters of each part of a message


class FieldsimError(Exception):
    """Base of every error that fieldsim raises on purpose."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong with the input, said so that it can be mended.

    Parameters
    ----------
    file : str
        File the fault is in, or a word for where the input came from.
    field : str
        Path of the field in that file, as ``fields.north.area`` or ``line 7, at_least_90``.
    value : str
        What was found there, as written; empty where nothing was found.
    problem : str
        What is wrong and what is allowed.
    repair : str
        What to write instead.
    """

    file: str
    field: str
    value: str
    problem: str
    repair: str

    def __str__(self) -> str:
        file, field, value, problem, repair = (
            part if len(part) <= LONGEST else f"{part[: LONGEST - 3]}..."
            for part in (self.file, self.field, self.value, self.problem, self.repair)
        )
        place = ": ".join(part for part in (file, field) if part)
        found = f" = {value}" if value else ""
        return f"{place}{found}: {problem}{f'; {repair}' if repair else ''}"


class InputError(FieldsimError):
    """Input that cannot be used; carries every fault that was found.

    Parameters
    ----------
    faults : iterable of Fault
        At least one.

    Examples
    --------
    >>> print(InputError([Fault("farm.toml", "money.wage", "24", "no unit", 'write "$24/h"')]))
    farm.toml: money.wage = 24: no unit; write "$24/h"
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))
