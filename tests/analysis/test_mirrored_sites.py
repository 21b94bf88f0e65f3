"""A mirrored site gives mirrored results, to all printed digits; random sites from hypothesis."""

from math import degrees

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siteplan.analysis.ground_fit import ground_fits
from siteplan.analysis.leaf_contacts import LeafContacts, leaf_contacts
from siteplan.analysis.leaf_places import leaf_places, swept_areas
from siteplan.model.document import Document
from siteplan.model.edits import mirrored
from siteplan.model.site import PlaneGround, Round
from siteplan.rules.all_rules import check_site
from tests.demo import INCH, NAMES, demo_site

SAME = 1e-6

places = st.tuples(st.floats(-60, 200), st.floats(-60, 160)).map(lambda at: (at[0] * INCH, at[1] * INCH))
grades = st.floats(-0.15, 0.15)


@st.composite
def random_sites(draw: st.DrawFn) -> Document:
    """The courtyard with round things and even ground of any slope."""
    base = demo_site("courtyard-pair")
    spots = draw(st.lists(places, max_size=6))
    things = tuple(
        Round(id=f"T{number}", what="bollard", at=at, radius_mm=draw(st.floats(10, 300)))
        for number, at in enumerate(spots)
    )
    ground = PlaneGround(x_grade=draw(grades), y_grade=draw(grades))
    return replace(base, obstacles=things, ground=ground)


def numbers_of(contacts: LeafContacts) -> dict[tuple[str, str], float]:
    """The gap to each thing, and the angle of each touch."""
    return {
        **{("passing", each.thing): each.gap_mm for each in contacts.passes},
        **{("pocket", each.thing): each.gap_mm for each in contacts.pockets},
        **{("touch", each.thing): degrees(each.angle_rad) for each in contacts.touches},
    }


@settings(max_examples=40)
@given(random_sites())
def test_mirrored_site_has_the_same_contacts(site: Document) -> None:
    there = {leaf: numbers_of(contacts) for leaf, contacts in leaf_contacts(mirrored(site)).items()}
    same = {leaf: pytest.approx(numbers_of(contacts), abs=SAME) for leaf, contacts in leaf_contacts(site).items()}
    assert there == same


@settings(max_examples=40)
@given(random_sites())
def test_mirrored_site_has_the_same_ground_gaps(site: Document) -> None:
    here, there = ground_fits(site), ground_fits(mirrored(site))
    gaps = {leaf: (fit.least.gap_mm, fit.greatest.gap_mm) for leaf, fit in here.items()}
    assert gaps == {
        leaf: pytest.approx((fit.least.gap_mm, fit.greatest.gap_mm), abs=SAME) for leaf, fit in there.items()
    }


@pytest.mark.parametrize("name", NAMES)
def test_mirrored_demo_site_has_the_same_findings(name: str) -> None:
    site = demo_site(name)
    here = [(each.code, each.severity, set(each.subjects)) for each in check_site(site)]
    there = [(each.code, each.severity, set(each.subjects)) for each in check_site(mirrored(site))]
    assert sorted(here, key=str) == sorted(there, key=str)


@settings(max_examples=25)
@given(random_sites(), st.floats(0, 1))
def test_swept_area_contains_the_leaf_at_every_angle(site: Document, share: float) -> None:
    for leaf, place in leaf_places(site).items():
        outline = place.outline(share * place.travel_rad)
        assert outline.difference(swept_areas(site)[leaf]).area < 1e-3
