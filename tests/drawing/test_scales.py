import pytest

from siteplan.drawing.scales import largest_that_fits, ratios_for, scale_text
from siteplan.errors import SheetError


@pytest.mark.parametrize(
    ("ratio", "units", "text"),
    [
        (48, "ftin", '1/4" = 1\'-0"'),
        (96, "ftin", '1/8" = 1\'-0"'),
        (240, "ftin", "1\" = 20'"),
        (600, "ftin", "1\" = 50'"),
        (50, "m", "1:50"),
        (1, "ftin", "FULL SIZE"),
    ],
)
def test_scales_are_written_as_the_trade_does(ratio: float, units: str, text: str) -> None:
    assert scale_text(ratio, units) == text  # type: ignore[arg-type]


def test_largest_listed_scale_is_taken() -> None:
    assert largest_that_fits(lambda ratio: ratio >= 50, "ftin") == 64


@pytest.mark.parametrize("units", ["ftin", "m"])
def test_scales_stand_largest_first(units: str) -> None:
    ratios = ratios_for(units)  # type: ignore[arg-type]
    assert list(ratios) == sorted(ratios)


def test_site_too_large_for_the_paper_is_refused() -> None:
    with pytest.raises(SheetError, match="choose a larger paper"):
        largest_that_fits(lambda _: False, "ftin")
