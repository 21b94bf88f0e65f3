import pytest
from msgspec.structs import replace

from siteplan.canvas.snapping import named_places, snap_of
from siteplan.model.document import Document
from tests.demo import demo_site

INCH = 25.4


@pytest.fixture
def site() -> Document:
    return demo_site("courtyard-pair")


def words_of_snap(site: Document, dragged: str, *own: tuple[float, float], reach_mm: float = 25.0) -> str:
    snap = snap_of(site, dragged, own, reach_mm)
    return "" if snap is None else snap.words


def test_end_of_a_wall_is_named(site: Document) -> None:
    assert words_of_snap(site, "PA", (172 * INCH, 72 * INCH + 5.0)) == "end of wall W"


def test_middle_of_a_wall_is_named(site: Document) -> None:
    assert words_of_snap(site, "PA", (172 * INCH, 91 * INCH)) == "middle of wall W"


def test_hinge_axis_of_another_post_is_named(site: Document) -> None:
    assert words_of_snap(site, "PA", (160 * INCH, 3.0)) == "hinge axis of post PB"


def test_gate_line_is_named_away_from_all_places(site: Document) -> None:
    assert words_of_snap(site, "PA", (-500.0, 8.0)) == "on the gate line"


def test_corner_of_a_bent_wall_is_named(site: Document) -> None:
    bent = replace(site.edges[0], line=((0.0, 3000.0), (500.0, 3000.0), (500.0, 4000.0)))
    site = replace(site, edges=(bent,))

    assert words_of_snap(site, "PA", (501.0, 3001.0)) == "corner of wall W"


def test_snap_leads_exactly_onto_its_place(site: Document) -> None:
    own = (172 * INCH - 7.0, 72 * INCH + 5.0)

    snap = snap_of(site, "PA", [own], 25.0)

    assert snap is not None
    assert (own[0] + snap.dx_mm, own[1] + snap.dy_mm) == pytest.approx(snap.at)


def test_nothing_snaps_out_of_reach(site: Document) -> None:
    assert words_of_snap(site, "PA", (-500.0, 500.0)) == ""


def test_nothing_snaps_to_itself(site: Document) -> None:
    names = [words for _, words in named_places(site, "PB")]

    assert "hinge axis of post PB" not in names


def test_place_beats_the_gate_line_though_it_is_farther(site: Document) -> None:
    assert words_of_snap(site, "PA", (160 * INCH + 20.0, 1.0)) == "hinge axis of post PB"


def test_thing_without_places_snaps_to_nothing(site: Document) -> None:
    assert words_of_snap(site, "PA") == ""
