"""All rules, in the order in which they are listed: the worst first. A rule module that is not named here is found by a test."""

from routecode.rules import (
    accept_names_nothing,
    accept_ran_out,
    accept_unknown,
    accept_unused,
    families_mixed,
    outputs_tied,
    port_ambiguous,
)
from routecode.rules.accepting import AcceptRule
from routecode.rules.rule import Rule

RULES: tuple[Rule, ...] = (
    outputs_tied.RULE,
    families_mixed.RULE,
    port_ambiguous.RULE,
)

ACCEPT_RULES: tuple[AcceptRule, ...] = (
    accept_unknown.RULE,
    accept_names_nothing.RULE,
    accept_ran_out.RULE,
    accept_unused.RULE,
)
