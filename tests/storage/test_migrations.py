from typing import Any

import pytest

from siteplan.errors import SiteFileError
from siteplan.storage.migrations import CURRENT, STEPS, upgraded

Site = dict[str, Any]


def rename_walls(site: Site) -> Site:
    return {**site, "edges": site["walls"]}


def count_edges(site: Site) -> Site:
    return {**site, "count": len(site["edges"])}


def make_floats(site: Site) -> Site:
    return {**site, "scale": float(site["scale"])}


def take_first(site: Site) -> Site:
    return {**site, "first": site["walls"][0].upper()}


def test_there_is_a_step_from_every_older_version() -> None:
    assert list(STEPS) == list(range(1, CURRENT))


def test_a_site_of_the_present_version_stays_as_it_is() -> None:
    site: Site = {"walls": []}

    assert upgraded(site, CURRENT) is site


def test_steps_run_one_after_the_other() -> None:
    site = upgraded({"walls": ["W"]}, 1, {1: rename_walls, 2: count_edges}, current=3)

    assert site == {"walls": ["W"], "edges": ["W"], "count": 1}


def test_steps_run_from_the_version_of_the_file() -> None:
    assert upgraded({"edges": ["W"]}, 2, {1: rename_walls, 2: count_edges}, current=3)["count"] == 1


@pytest.mark.parametrize(
    ("step", "site"),
    [
        (rename_walls, {}),
        (count_edges, {"edges": 3}),
        (make_floats, {"scale": "big"}),
        (take_first, {"walls": []}),
        (take_first, {"walls": [3]}),
    ],
)
def test_a_step_that_does_not_find_what_it_needs_names_the_versions(step: Any, site: Site) -> None:
    with pytest.raises(SiteFileError, match="Site of file version 1 cannot be brought to version 2"):
        upgraded(site, 1, {1: step}, current=2)
