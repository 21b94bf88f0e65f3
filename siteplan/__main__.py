"""``python -m siteplan``."""

from siteplan.commands.main import main

main()
