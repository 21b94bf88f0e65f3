"""The colours of the window and of the plan on it, by their roles.

Text keeps 4.5:1 against every ground it stands on, meaningful marks keep 3:1 (WCAG 2.1, 1.4.3 and 1.4.11).
"""

from typing import Final, NamedTuple

from siteplan.model.project import Severity


class Palette(NamedTuple):
    """Colours as ``#RRGGBB``."""

    desk: str  # behind the cards
    card: str
    paper: str  # the plan and the sheets
    ink: str  # text, new work
    mid: str  # labels, existing things
    faint: str  # marks that need not be read
    rule: str  # borders
    accent: str  # selection, focus, what is being moved
    wash: str  # behind what is selected
    swept: str
    ground: str  # fills of existing things


LIGHT: Final = Palette(
    desk="#E8E6E1",
    card="#FBFAF8",
    paper="#FFFFFF",
    ink="#1E2A33",
    mid="#56626B",
    faint="#A9B0B5",
    rule="#DAD7D0",
    accent="#1F5A7E",
    wash="#E3EDF3",
    swept="#6390AC",
    ground="#E3E1DB",
)

SEVERITY_COLOURS: Final[dict[Severity, str]] = {
    "Stop": "#B03700",
    "Guard": "#8A5800",
    "Tight": "#00629B",
    "Ask": "#964474",
    "Note": "#5A646B",
}

TEXT_CONTRAST: Final = 4.5
MARK_CONTRAST: Final = 3.0

# sRGB to relative luminance and contrast, WCAG 2.1.
_LINEAR_BELOW: Final = 0.04045
_LINEAR_SLOPE: Final = 12.92
_GAMMA_SHIFT: Final = 0.055
_GAMMA: Final = 2.4
_SHARES: Final = (0.2126, 0.7152, 0.0722)
_FLARE: Final = 0.05
_CHANNEL_STARTS: Final = (1, 3, 5)
_FULL: Final = 255


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.1)."""
    darker, lighter = sorted((_luminance(first), _luminance(second)))
    return (lighter + _FLARE) / (darker + _FLARE)


def _luminance(colour: str) -> float:
    channels = (int(colour[start : start + 2], 16) / _FULL for start in _CHANNEL_STARTS)
    return sum(share * _linear(channel) for share, channel in zip(_SHARES, channels, strict=True))


def _linear(channel: float) -> float:
    if channel <= _LINEAR_BELOW:
        return channel / _LINEAR_SLOPE
    return float(((channel + _GAMMA_SHIFT) / (1 + _GAMMA_SHIFT)) ** _GAMMA)
