"""What the front asks of its host, and the answers: the same in a notebook and on the page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from fieldsim.errors import Fault, InputError
from fieldsim.explorer.answers import answer, explorer_start
from fieldsim.explorer.spring import Decisions, Spring, deal, decide, weeks_of
from fieldsim.explorer.spring_end import debrief
from fieldsim.explorer.spring_report import standing
from fieldsim.farm import Farm
from fieldsim.plots.words import readable

__all__ = ["QUESTIONS", "Room", "reply", "spring_of"]

QUESTIONS = ("start", "answer", "game", "debrief")
DECISIONS = ("helpers", "extra_hours", "first", "switch")


@dataclass(frozen=True)
class Room:
    """What a page or a notebook cell shows.

    Parameters
    ----------
    farm : Farm
    view : "explorer" or "game"
    option : str
        Of the game.
    seed : int
        Of the game.
    """

    farm: Farm = field(repr=False)
    view: Literal["explorer", "game"] = "explorer"
    option: str = ""
    seed: int = 0


def reply(room: Room, question: object, given: object) -> dict[str, Any]:
    """Answer a question of the front.

    Parameters
    ----------
    room : Room
    question : str
        ``start``, ``answer`` (of the explorer), ``game`` or ``debrief``.
    given : mapping
        What comes with it: settings, or the decisions of the weeks played.

    Returns
    -------
    dict
        Ready for JSON.

    Raises
    ------
    InputError
        If the question or what comes with it cannot be used.
    """
    if not isinstance(given, Mapping):
        raise InputError([_fault("given", given, "not a table of names and values")])
    if question == "start":
        if room.view == "explorer":
            return explorer_start(room.farm)
        name = readable(room.farm.name)
        return {"view": "game", "farm": name, "option": room.option, "seed": room.seed}
    if question == "answer":
        return answer(room.farm, given)
    if question == "game":
        return standing(spring_of(room.farm, given))
    if question == "debrief":
        return debrief(spring_of(room.farm, given))
    raise InputError([_fault("question", question, f"one of {', '.join(QUESTIONS)} is allowed")])


def spring_of(farm: Farm, given: Mapping[str, Any]) -> Spring:
    """Return the spring of a game: dealt, and decided week by week.

    Parameters
    ----------
    farm : Farm
    given : mapping
        ``option``, ``seed``, ``weeks``, a list with ``helpers``, ``extra_hours``, ``first`` and
        ``switch`` for each week, any of which may be left out, and ``rest``: whether to play the
        weeks left as in the farm file.

    Returns
    -------
    Spring

    Raises
    ------
    InputError
        If any of it cannot be used.
    """
    spring = deal(farm, given.get("option", next(iter(farm.options))), given.get("seed", 0))
    weeks = given.get("weeks", [])
    if not isinstance(weeks, list) or len(weeks) > weeks_of(farm):
        problem = f"a list of at most {weeks_of(farm)} weeks is needed"
        raise InputError([_fault("weeks", "", problem)])
    for week in weeks:
        spring = decide(spring, _decisions(week))
    while given.get("rest") is True and len(spring.weeks) < weeks_of(farm):
        spring = decide(spring, Decisions())
    return spring


def _decisions(week: object) -> Decisions:
    if not isinstance(week, Mapping):
        raise InputError([_fault("weeks", week, "not the decisions of a week")])
    faults = [
        _fault(str(name), value, "there is no such decision")
        for name, value in week.items()
        if name not in DECISIONS
    ]
    switch = week.get("switch", [])
    if not isinstance(switch, list | tuple) or not all(isinstance(name, str) for name in switch):
        faults.append(_fault("switch", switch, "not a list of fields"))
    if faults:
        raise InputError(faults)
    own = {name: value for name, value in week.items() if name != "switch"}
    return Decisions(**own, switch=tuple(switch))


def _fault(field: str, value: object, problem: str) -> Fault:
    return Fault("", field, repr(value)[:80] if value != "" else "", problem, "")
