"""Sites of older file versions, brought up to the present one step at a time.

A step is a small function, named by what changed: the site of a file of version n as plain dictionaries, lists and
texts goes in, that of version n + 1 comes out.  A renamed field is renamed in ``marks`` too.
"""

from collections.abc import Callable, Mapping
from typing import Any, Final

from siteplan.errors import SiteFileError

Step = Callable[[dict[str, Any]], dict[str, Any]]

CURRENT: Final = 1
"""The version of the files this program writes."""

STEPS: Final[Mapping[int, Step]] = {}
"""From version n to n + 1."""


def upgraded(
    site: dict[str, Any], version: int, steps: Mapping[int, Step] = STEPS, current: int = CURRENT
) -> dict[str, Any]:
    """Return the site of a file of an older version as one of the present version.

    Raises
    ------
    SiteFileError
        When a step does not find what it needs.
    """
    for number in range(version, current):
        try:
            site = steps[number](site)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
            raise SiteFileError(
                f"Site of file version {version} cannot be brought to version {number + 1}: "
                f"{type(error).__name__} {error}; it lacks what files of its version hold."
            ) from error
    return site
