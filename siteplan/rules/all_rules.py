"""The modules that hold rules, by hand: importing this registers them all."""

from siteplan.rules import access_rules, ground_rules, input_rules, leaf_rules
from siteplan.rules.registry import RULES, check_site, troubles

RULE_MODULES = (leaf_rules, ground_rules, access_rules, input_rules)

__all__ = ["RULES", "RULE_MODULES", "check_site", "troubles"]
