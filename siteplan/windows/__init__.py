"""Widgets around the plan."""

from siteplan.analysis import pose
from siteplan.canvas import dragging, picking
from siteplan.drawing import plan_dimensions
from siteplan.reports import findings_text
from siteplan.storage import safe_save, site_file

LOADED_BEFORE_QT = (pose, dragging, picking, plan_dimensions, findings_text, safe_save, site_file)
"""Once Qt is loaded it reads the source of every module loaded after it, so what needs no Qt comes first."""
