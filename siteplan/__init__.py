"""Site plans for automated vehicular swing gates."""

__version__ = "0.1.0"
