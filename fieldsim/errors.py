"""The project's exceptions: what a user did wrong, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

__all__ = ["Fault", "FieldsimError", "InputError", "no_such"]

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


def no_such(kind: str, field: str, value: object, names: Iterable[str]) -> Fault:
    """Return the fault of an argument that names what there is not.

    Parameters
    ----------
    kind : str
        What is named, as ``option``, ``crop`` or ``soil``.
    field : str
        What the argument is called where the user wrote it.
    value : object
        What was written there; no text where it came from Python or a page.
    names : iterable of str
        All that there are.

    Returns
    -------
    Fault
        With the nearest of the names, if one is near, and with all of them.

    Examples
    --------
    >>> print(no_such("option", "--against", "sx", ["four", "six"]))
    --against = 'sx': there is no such option; perhaps six is meant; options are four, six
    """
    known = list(names)
    near = get_close_matches(value, known, 1) if isinstance(value, str) else []
    repair = f"{kind}s are {', '.join(known)}"
    if near:
        repair = f"perhaps {near[0]} is meant; {repair}"
    return Fault("", field, repr(value), f"there is no such {kind}", repair)
