"""Sites for tests: one written out, and random ones built from the types of the records."""

from functools import cache
from math import pi
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from msgspec import Struct, inspect
from msgspec.structs import replace

from siteplan.errors import ModelError
from siteplan.model.document import COLLECTIONS, Document
from siteplan.model.drives import Arm, Drive, DriveKind, Pad, Rating
from siteplan.model.fields import fields_of, is_signed, number_fields, quantity_of
from siteplan.model.gate import Control, Gate, Leaf, Member, Panel, Plate, Post, Sign
from siteplan.model.marks import BASES, Mark
from siteplan.model.parts import key_of, parts_of
from siteplan.model.project import Datum, LocalLimit, Project, Revision, Use
from siteplan.model.site import Block, Edge, KeepClear, Round, Shot, ShotGround, SurveyPoint


def courtyard() -> Document:
    """Return a site with every kind of record: a pair of unequal leaves before a walled court."""
    return Document(
        project=Project(
            title="Courtyard",
            issue_date="2031-04-02",
            revisions=(Revision(mark="A", date="2031-04-02", what="first issue"),),
            use=Use(land="home", dwellings=1, fire_lane=False),
            scale=48,
        ),
        datum=Datum(north_rad=1.2, north_kind="true"),
        points=(SurveyPoint(id="P1", at=(100.0, -250.5), height_mm=12.7), SurveyPoint(id="P2", at=(3000.0, 0.0))),
        edges=(
            Edge(id="W1", kind="wall", line=((0.0, 900.0), (0.0, 5000.0), (2500.0, 5000.0)), thickness_mm=203.2),
            Edge(id="F1", kind="fence", line=((4000.0, 0.0), (9000.0, 0.0)), thickness_lies="left", top_mm=1800.0),
        ),
        obstacles=(
            Block(id="K1", what="cabinet", outline=((1.0, 1.0), (2.0, 1.0), (2.0, 3.0))),
            Round(id="T1", what="tree", at=(-2000.0, 3000.0), radius_mm=152.4, top_mm=6000.0),
        ),
        ground=ShotGround(
            shots=(Shot(id="S1", at=(0.0, 0.0), height_mm=0.0), Shot(id="S2", at=(1.5, 2.5), height_mm=3.5))
        ),
        keep_clear=(KeepClear(id="E1", why="easement", outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))),),
        posts=(
            Post(id="PA", at=(-100.0, 0.0), hinge=(0.0, 50.8)),
            Post(id="PB", at=(3757.6, 0.0), hinge=(3657.6, 50.8), shape="round", turn_rad=0.25),
        ),
        leaves=(
            Leaf(
                id="A",
                post="PA",
                hinges="left",
                swings="in",
                length_mm=2438.4,
                skew_rad=0.1,
                weight_kg=190.5,
                plates=(Plate(what="edge", from_mm=2400.0, to_mm=2460.0, off_from_mm=-10.0, off_to_mm=60.0),),
            ),
            Leaf(id="B", post="PB", hinges="right", swings="in", length_mm=1200.0, rake=0.02),
        ),
        gates=(Gate(id="G1", leaves=("A", "B")),),
        pads=(Pad(id="D1", at=(-700.0, 660.0), width_mm=600.0, depth_mm=700.0),),
        drive_kinds=(
            DriveKind(
                id="Light", torque_nm=380.0, crank_travel_rad=2.79, chart=(Rating(length_mm=4877.0, weight_kg=363.0),)
            ),
        ),
        drives=(Drive(id="M1", leaf="A", pad="D1", kind="Light", shaft=(-609.6, 660.4), arm=Arm(bracket_mm=1422.4)),),
        controls=(Control(id="C1", what="keypad", at=(-1500.0, -4000.0), height_mm=1066.8),),
        signs=(Sign(id="N1", at=(100.0, -10.0), seen_from="outside"),),
        local=(LocalLimit(row="C-40", margin_mm=50.8, reason="letter of 2 April 2031"),),
        marks=(
            Mark(of="A", field="length_mm", basis="taped", text="8'"),
            Mark(of="A", field="weight_kg", basis="told", by="owner"),
            Mark(of="PA", field="at.0", basis="taped"),
            Mark(of="PA", field="at.1", basis="taped"),
            Mark(of="PA", field="hinge.0", text='0"'),
            Mark(of="datum", field="north_rad", basis="book"),
            Mark(of="ground", field="shots.1.height_mm", basis="taped", text="3.5 mm"),
            Mark(of="local C-40", field="margin_mm", basis="told", text='2"', by="the town"),
            Mark(of="W1", field="kind", basis="told", by="neighbour"),
        ),
    )


unhurried = settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
"""Random sites take their time on a busy machine."""

SMALL_MM, LARGE_MM = 1e-9, 1e7


def places(least: int) -> st.SearchStrategy[Any]:
    """Return random lists of places."""
    return st.lists(st.tuples(*[st.floats(-LARGE_MM, LARGE_MM)] * 2), min_size=least, max_size=least + 1).map(tuple)


NARROW: dict[tuple[type, str], st.SearchStrategy[Any]] = {
    (Leaf, "near_edge_mm"): st.floats(-1000, SMALL_MM / 2),
    (Leaf, "open_angle_rad"): st.floats(1e-6, pi),
    (Plate, "from_mm"): st.floats(-LARGE_MM, 0),
    (Plate, "to_mm"): st.floats(SMALL_MM, LARGE_MM),
    (Plate, "off_from_mm"): st.floats(-LARGE_MM, 0),
    (Plate, "off_to_mm"): st.floats(SMALL_MM, LARGE_MM),
    (Project, "issue_date"): st.sampled_from(["", "2031-04-02"]),
    (Gate, "leaves"): st.just(("X",)),
    (LocalLimit, "reason"): st.just("letter"),
    (LocalLimit, "margin_mm"): st.floats(0, LARGE_MM),
    (Edge, "line"): places(2),
    (Block, "outline"): places(3),
    (KeepClear, "outline"): places(3),
    (DriveKind, "driving_least_mm"): st.none(),
    (DriveKind, "driven_least_mm"): st.none(),
    (DriveKind, "breakaway_least_nm"): st.none(),
    (DriveKind, "chart"): st.just(()),
    (Arm, "bend_rad"): st.just(0.0),
    (Arm, "driving_mm"): st.none(),
    (Arm, "driven_mm"): st.none(),
    (Member, "count"): st.integers(1, 100),
    (Member, "face_mm"): st.floats(10, LARGE_MM),
    (Member, "depth_mm"): st.none(),
    (Member, "wall_mm"): st.floats(SMALL_MM, 5),
    (Panel, "from_mm"): st.floats(-LARGE_MM, 0),
    (Panel, "to_mm"): st.floats(SMALL_MM, LARGE_MM),
    (Panel, "low_mm"): st.just(0.0),
    (Panel, "high_mm"): st.floats(SMALL_MM, LARGE_MM),
    (Panel, "solid"): st.floats(0, 1),
    (Document, "marks"): st.just(()),
    (Document, "retired"): st.just(()),
}
"""What the types alone do not say."""

words = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
whole_numbers = st.integers(1, 10**6)


def values_of(kind: inspect.Type) -> st.SearchStrategy[Any]:
    """Return random values of the type of a field."""
    match kind:
        case inspect.Metadata():
            return numbers_of(kind)
        case inspect.UnionType():
            return st.one_of([values_of(one) for one in kind.types])
        case inspect.NoneType():
            return st.none()
        case inspect.BoolType():
            return st.booleans()
        case inspect.IntType():
            return whole_numbers
        case inspect.LiteralType():
            return st.sampled_from(kind.values)
        case inspect.StructType():
            return records_of_kind(kind.cls)
        case inspect.TupleType():
            return st.tuples(*[values_of(one) for one in kind.item_types])
        case inspect.VarTupleType():
            return st.lists(values_of(kind.item_type), max_size=3).map(tuple)
    return words


def numbers_of(kind: inspect.Type) -> st.SearchStrategy[float]:
    """Return random numbers of a quantity."""
    if quantity_of(kind) == "grade":
        return st.floats(-1, 1)
    return st.floats(-LARGE_MM, LARGE_MM) if is_signed(kind) else st.floats(SMALL_MM, LARGE_MM)


@cache
def records_of_kind(kind: type[Struct]) -> st.SearchStrategy[Any]:
    """Return random records of a kind."""
    fields = {name: NARROW.get((kind, name), values_of(field.type)) for name, field in fields_of(kind).items()}
    return st.fixed_dictionaries(fields).map(lambda values: _built(kind, values)).filter(bool)


@st.composite
def documents(draw: st.DrawFn) -> Document:
    """Return random documents that a site can have, with marks on some of their fields."""
    document = _with_own_ids(draw(records_of_kind(Document)))
    marked = draw(st.lists(st.sampled_from(_fields(document)), unique=True, max_size=6))
    marks = [
        Mark(of=of, field=field, basis=draw(st.sampled_from([None, *BASES])), by=draw(words), text=draw(words))
        for of, field in marked
    ]
    return replace(document, marks=tuple(marks))


def _fields(document: Document) -> list[tuple[str, str]]:
    numbers = [
        (key_of(part), number.path)
        for part in parts_of(document)
        for number in number_fields(part)
        if number.value is not None
    ]
    return [*numbers, ("project", "title"), ("datum", "height")]


def _with_own_ids(document: Document) -> Document:
    """Give every record an id of its own, every post a hinge axis, and every reference something to point to."""
    changes: dict[str, Any] = {}
    for home in dict.fromkeys(COLLECTIONS.values()):
        records = getattr(document, home)
        changes[home] = tuple(replace(record, id=f"{home}é{number}") for number, record in enumerate(records))
    posts = tuple(replace(post, hinge=post.hinge or post.at) for post in changes["posts"])
    leaves = changes["leaves"] if posts else ()
    pad, kind = (changes[home][0].id if changes[home] else "" for home in ("pads", "drive_kinds"))
    if isinstance(document.ground, ShotGround):
        shots = tuple(replace(shot, id=f"G{number}") for number, shot in enumerate(document.ground.shots))
        changes["ground"] = ShotGround(shots=shots)
    return replace(
        document,
        **changes
        | {
            "posts": posts,
            "leaves": tuple(replace(leaf, post=posts[-1].id) for leaf in leaves),
            "gates": tuple(
                replace(gate, leaves=(leaves[0].id,), latch_post="", closes_last="")
                for gate in changes["gates"]
                if leaves
            ),
            "drives": tuple(
                replace(drive, leaf=leaves[0].id, pad=pad, kind=kind) for drive in changes["drives"] if leaves
            ),
            "local": tuple(replace(limit, row=f"row {number}") for number, limit in enumerate(document.local)),
        },
    )


def _built(kind: type[Struct], values: dict[str, Any]) -> Struct | None:
    try:
        return kind(**values)
    except ModelError:
        return None
