"""The page people hand on: the answer, its figures, and everything it rests on."""

from fieldsim.report.figures import make_figures
from fieldsim.report.handout import make_handout, write_handout
from fieldsim.report.page import render_report, write_report

__all__ = ["make_figures", "make_handout", "render_report", "write_handout", "write_report"]
