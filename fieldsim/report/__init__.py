"""The page people hand on: the answer, its figures, and everything it rests on."""

from fieldsim.report.figures import make_figures
from fieldsim.report.page import render_report, write_report

__all__ = ["make_figures", "render_report", "write_report"]
