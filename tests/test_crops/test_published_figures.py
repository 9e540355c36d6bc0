from __future__ import annotations

import pytest

from fieldsim.crops import (
    PublishedFigure,
    figure_subjects,
    published_figure,
    published_figures,
)

STATUSES = ("read in the source", "read in a secondary source", "derived", "from memory")
ALL = [figure for subject in figure_subjects() for figure in published_figures(subject)]


@pytest.mark.parametrize("figure", ALL, ids=[figure.name for figure in ALL])
def test_every_figure_has_a_range_a_unit_a_source_and_says_how_sure_it_is(
    figure: PublishedFigure,
) -> None:
    assert 0 <= figure.low <= figure.high
    assert figure.unit
    assert len(figure.source) > 10
    assert figure.status in STATUSES


@pytest.mark.parametrize("subject", figure_subjects())
def test_names_are_given_once_in_a_subject(subject: str) -> None:
    names = [figure.name for figure in published_figures(subject)]
    assert len(names) == len(set(names))


def test_unknown_subjects_and_names_are_answered_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"no subject 'moon': emergence, .* are allowed"):
        published_figures("moon")
    with pytest.raises(ValueError, match=r"no figure 'moon' on emergence: corn_growing_degrees, "):
        published_figure("emergence", "moon")
