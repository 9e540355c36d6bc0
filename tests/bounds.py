"""Bounds of arguments, tried on both of their sides."""

from __future__ import annotations

from collections.abc import Callable

import pytest

NEAR = 1e-9


def check_bounds(
    call: Callable[[float], object],
    name: str,
    *,
    at_least: float | None = None,
    above: float | None = None,
    at_most: float | None = None,
) -> None:
    """Check that `call` takes its bounds, and what lies within, and refuses what lies beyond."""
    taken = [bound for bound in (at_least, at_most) if bound is not None]
    refused = [] if at_least is None else [at_least - NEAR]
    if above is not None:
        taken.append(above + NEAR)
        refused.append(above)
    if at_most is not None:
        refused.append(at_most + NEAR)
    for value in taken:
        call(value)
    for value in refused:
        with pytest.raises(ValueError, match=f"{name} = "):
            call(value)
    with pytest.raises(ValueError, match="= nan"):
        call(float("nan"))
