"""An explorer with sliders and a game of one spring, in a notebook cell or on a page.

The answers are plain functions; `fieldsim.explorer.front` is the one front of both hosts.
"""

from fieldsim.explorer.answers import answer
from fieldsim.explorer.hindsight import Hindsight, best_with_hindsight
from fieldsim.explorer.questions import Room, reply
from fieldsim.explorer.server import page_server
from fieldsim.explorer.settings import farm_with
from fieldsim.explorer.sliders import Slider, sliders_of
from fieldsim.explorer.spring import Decisions, Spring, deal, decide
from fieldsim.explorer.spring_account import Account, account, lost_by_dates, play_out
from fieldsim.explorer.spring_end import debrief, reveal
from fieldsim.explorer.spring_report import standing
from fieldsim.explorer.widget import explorer_cell, game_cell

__all__ = [
    "Account",
    "Decisions",
    "Hindsight",
    "Room",
    "Slider",
    "Spring",
    "account",
    "answer",
    "best_with_hindsight",
    "deal",
    "debrief",
    "decide",
    "explorer_cell",
    "farm_with",
    "game_cell",
    "lost_by_dates",
    "page_server",
    "play_out",
    "reply",
    "reveal",
    "sliders_of",
    "standing",
]
