"""The shipped soil classes, and a user's own."""

from dataclasses import fields, replace

import pytest

from fieldsim.days.weather import SoilClass, soil_class, soil_classes, soil_figures


def test_every_class_has_every_figure_once_with_unit_and_source():
    quantities = sorted(field.name for field in fields(SoilClass))
    for name in soil_classes():
        figures = soil_figures(name)
        assert sorted(figure.quantity for figure in figures) == quantities
        assert all(figure.unit and figure.source for figure in figures)
        assert all(figure.checked in ("yes", "second hand", "no") for figure in figures)


def test_a_figure_from_memory_or_assumed_is_not_called_checked():
    for name in soil_classes():
        for figure in soil_figures(name):
            if "memory" in figure.source or "assumption" in figure.source:
                assert figure.checked == "no"


def test_classes_run_from_light_and_drained_to_heavy_and_wet():
    names = soil_classes()
    assert (names[0], names[-1]) == ("sandy_loam", "clay_loam_untiled")
    limits = [soil_class(name) for name in names]
    assert limits[0].workable == max(limit.workable for limit in limits)
    heavy = [limit.workable for name, limit in zip(names, limits, strict=True) if "clay" in name]
    light = [
        limit.workable for name, limit in zip(names, limits, strict=True) if "clay" not in name
    ]
    assert max(heavy) < min(light)
    for soil in ("silty_clay_loam", "clay_loam"):
        tiled, untiled = soil_class(f"{soil}_tiled"), soil_class(f"{soil}_untiled")
        assert untiled == replace(tiled, drainage=untiled.drainage)
        assert untiled.drainage < tiled.drainage


def test_drainage_is_that_of_the_conductivity_of_the_soil():
    # AquaCrop reference manual (Raes et al. 2018): 0.0866 Ksat^0.35, at most 1; Ksat [mm/day] of
    # its table of soils, read in the package aquacrop 3.1.0.
    conductivity = {
        "sandy_loam": 1200,
        "loam": 500,
        "silt_loam": 575,
        "silty_clay_loam_tiled": 150,
        "clay_loam_tiled": 125,
    }
    for name, ksat in conductivity.items():
        expected = min(0.0866 * ksat**0.35, 1.0)
        assert soil_class(name).drainage == pytest.approx(expected, abs=0.005)


def test_an_unknown_class_is_answered_with_the_known_ones():
    with pytest.raises(ValueError, match="no soil class 'peat': sandy_loam, loam"):
        soil_class("peat")


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"wilting_point": 0.40}, "must rise from 0 to 1"),
        ({"saturation": 0.39}, "must rise from 0 to 1"),
        ({"depth": 0.0}, "depth = 0.0"),
        ({"drainage": 0.0}, "drainage = 0.0"),
        ({"drainage": 1.2}, "a share of 1 or less"),
        ({"rain_limit": -1.0}, "rain_limit = -1.0"),
        ({"readily_evaporable": 60.0}, "41.2 mm that can evaporate"),
        ({"workable": 1.3}, "saturated soil would carry work"),
    ],
)
def test_figures_that_cannot_be_are_refused(wrong, message):
    with pytest.raises(ValueError, match=message):
        replace(soil_class("clay_loam_tiled"), **wrong)
