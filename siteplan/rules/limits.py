"""Limits somebody laid down, and the dated packs that hold them."""

from functools import cache
from math import radians
from operator import attrgetter
from typing import Any, Literal

from msgspec import Struct, ValidationError, convert
from msgspec.structs import replace

from siteplan.analysis.derived import Derived
from siteplan.errors import PackError
from siteplan.model.project import LocalLimit, Severity
from siteplan.model.quantities import spoken
from siteplan.tables import RESOURCES, read_table

LimitUnit = Literal["mm", "rad", "ratio", "count"]
UNITS: dict[str, tuple[LimitUnit, float]] = {
    "in": ("mm", 25.4),
    "ft": ("mm", 304.8),
    "mm": ("mm", 1.0),
    "m": ("mm", 1000.0),
    "deg": ("rad", radians(1.0)),
    "ratio": ("ratio", 1.0),
    "count": ("count", 1.0),
}
"""What a row may be written in: the unit used inside, and its size in that."""

LOCAL_FIELDS: dict[LimitUnit, str] = {"mm": "value_mm", "count": "value_mm", "rad": "angle_rad", "ratio": "ratio"}
"""Which field of a local limit holds the value for a row in a unit."""

NumberBasis = Literal["read", "memory", "practice", "derived", "own"]
LOW_HIGH_ROWS = (("UNDER_LEAF_ZONE_LOW", "UNDER_LEAF_ZONE_HIGH"),)  # the first must be below the second


class Limit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One number somebody laid down, in the unit used inside."""

    row: str
    value: float
    unit: LimitUnit
    about: str
    title: str  # of the standard or source
    edition: str
    clause: str
    basis: NumberBasis
    on_breach: Severity
    margin_mm: float = 0.0  # a pass nearer to the limit than this is Tight
    changed: str = ""  # why it differs from the table: reason and who laid it down


class Pack(Struct, frozen=True, kw_only=True):
    """A dated set of limits."""

    name: str  # file name
    title: str
    date: str
    editions: tuple[tuple[str, str], ...]  # key, edition
    limits: tuple[Limit, ...]

    def __getitem__(self, row: str) -> Limit:
        """Return the limit of a row."""
        found = next((limit for limit in self.limits if limit.row == row), None)
        if found is None:
            raise PackError(f"Pack {self.name}: there is no row {row!r} in its tables of limits.")
        return found

    @property
    def label(self) -> str:
        """How sheets and lists name the pack."""
        return f"{self.title} {self.date}"


def pack_names() -> tuple[str, ...]:
    """Return the names of the packs that travel with the program."""
    return tuple(sorted(path.stem for path in (RESOURCES / "packs").glob("*.toml")))


@cache
def shipped_pack(name: str) -> Pack:
    """Return a pack as it stands in its file.

    Raises
    ------
    PackError
        When there is no such pack, or a row of it cannot be used.
    """
    if name not in pack_names():
        raise PackError(f"There is no rule pack {name!r}; there are {', '.join(pack_names())}.")
    table = read_table(f"packs/{name}")
    if "extends" in table:
        pack = shipped_pack(table["extends"])
    else:
        pack = Pack(name=name, title="", date="", editions=(), limits=_limits(table["limits"]))
    changes = tuple(_change(row, f"Pack {name}") for row in table.get("change", ()))
    named = replace(
        pack,
        name=name,
        title=table["title"],
        date=table["date"],
        editions=tuple(sorted(table["editions"].items())) if "editions" in table else pack.editions,
    )
    return with_changes(named, changes)


def _limits(names: list[str]) -> tuple[Limit, ...]:
    return tuple(to_limit(row, values) for name in names for row, values in read_table(f"limits/{name}").items())


def to_limit(row: str, values: dict[str, Any]) -> Limit:
    """Check one row of a table and return it in the unit used inside."""
    unit = values.get("unit", "")
    if unit not in UNITS:
        raise PackError(f"Table of limits: {row}: unit must be one of {', '.join(UNITS)}, not {unit!r}.")
    inside, factor = UNITS[unit]
    plain = {key: value for key, value in values.items() if key not in ("value", "unit", "margin")}
    try:
        return convert(
            {
                **plain,
                "row": row,
                "value": float(values["value"]) * factor,
                "unit": inside,
                "margin_mm": float(values.get("margin", 0.0)) * factor,
            },
            Limit,
        )
    except (ValidationError, KeyError, TypeError, ValueError) as error:
        raise PackError(f"Table of limits: {row}: {error}.") from error


def _change(values: dict[str, Any], where: str) -> LocalLimit:
    inside, factor = UNITS[values.get("unit", "in")]
    names = {"value": LOCAL_FIELDS[inside], "margin": "margin_mm"}
    scaled = {name: float(values[key]) * factor for key, name in names.items() if key in values}
    try:
        return LocalLimit(
            row=values["row"], reason=values["reason"], severity=values.get("on_breach"), by=where, **scaled
        )
    except KeyError as error:
        raise PackError(f"{where}: a change needs the field {error}.") from error


def with_changes(pack: Pack, changes: tuple[LocalLimit, ...]) -> Pack:
    """Return a pack with rows taken over by a local table.

    Raises
    ------
    PackError
        When a change names no row of the pack, or the changed rows contradict each other.
    """
    limits = {limit.row: limit for limit in pack.limits}
    for change in changes:
        if change.row not in limits:
            rows = ", ".join(sorted(limits))
            raise PackError(f"Local limit {change.row!r} is not a row of pack {pack.name}; its rows are {rows}.")
        limits[change.row] = _changed(limits[change.row], change)
    for low, high in LOW_HIGH_ROWS:
        if low in limits and high in limits and limits[low].value >= limits[high].value:
            raise PackError(f"Pack {pack.name}: {low} ({limits[low].value:g} mm) must be below {high}.")
    return replace(pack, limits=tuple(limits.values()))


def _changed(limit: Limit, change: LocalLimit) -> Limit:
    own = LOCAL_FIELDS[limit.unit]
    for field in ("value_mm", "angle_rad", "ratio", "margin_mm"):
        fits = field == own or (field == "margin_mm" and own == "value_mm")
        if not fits and getattr(change, field) is not None:
            raise PackError(f"Local limit {change.row}: its row takes {spoken(own)}, and not {spoken(field)}.")
    value = getattr(change, own)
    return replace(
        limit,
        value=limit.value if value is None else value,
        margin_mm=limit.margin_mm if change.margin_mm is None else change.margin_mm,
        on_breach=change.severity or limit.on_breach,
        changed=f"{change.reason}, {change.by}" if change.by else change.reason,
    )


def _pack(name: str, local: tuple[LocalLimit, ...]) -> Pack:
    return with_changes(shipped_pack(name), local)


pack_of = Derived(_pack, attrgetter("pack"), attrgetter("local"))
