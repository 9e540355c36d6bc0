"""The notebook's host: the same front in a cell, through anywidget."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldsim.errors import FieldsimError, InputError
from fieldsim.explorer.front import front_script, front_style
from fieldsim.explorer.questions import Room, reply
from fieldsim.explorer.spring import deal
from fieldsim.farm import Farm

if TYPE_CHECKING:
    from anywidget import AnyWidget

__all__ = ["explorer_cell", "game_cell"]


def explorer_cell(farm: Farm) -> AnyWidget:
    """Show the explorer of a farm in a notebook.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    anywidget.AnyWidget

    Raises
    ------
    FieldsimError
        If anywidget is not installed.
    """
    return _cell(Room(farm))


def game_cell(farm: Farm, option: str | None = None, seed: int = 0) -> AnyWidget:
    """Show the spring game in a notebook.

    Parameters
    ----------
    farm : Farm
    option : str, optional
        Default: the first.
    seed : int

    Returns
    -------
    anywidget.AnyWidget

    Raises
    ------
    FieldsimError
        If anywidget is not installed.
    InputError
        If there is no such option or seed.
    """
    chosen = next(iter(farm.options)) if option is None else option
    deal(farm, chosen, seed)
    return _cell(Room(farm, "game", chosen, seed))


def _cell(room: Room) -> AnyWidget:
    try:
        from anywidget import AnyWidget
    except ImportError:
        raise FieldsimError('notebook cells need: pip install "fieldsim[notebooks]"') from None

    class Cell(AnyWidget):
        _esm = front_script()
        _css = front_style()

    cell = Cell()
    cell.on_msg(lambda _, message, __: _answer(cell, room, message))
    return cell


def _answer(cell: Any, room: Room, message: Any) -> None:
    """Send the answer to a question back under its number."""
    try:
        found = reply(room, message.get("question"), message.get("given", {}))
    except InputError as error:
        found = {"faults": [str(fault) for fault in error.faults]}
    cell.send({"number": message.get("number"), "answer": found})
