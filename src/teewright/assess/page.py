"""The page docs/assess-rules.md, made from the table of rules and their docstrings."""

import inspect

from teewright.assess.entry import NOMINAL_FLOW
from teewright.assess.rules import LAST_RESORT, RULES, Rule
from teewright.units import shown

_HEAD = """# Rules of the assessment

Made by `python docs/make_pages.py` from the rules; do not edit.

The rules are tried in this order for each connection; the first that fires decides what the
connection needs. Rules further down that fire as well are told with it where they bear on it:
for work to be done first, every kind of work is listed. The last rule fires where none else
does. A value in the site file's `[[connections]]` goes before the survey. What an engineer
decides by hand goes before every rule: its reason is told as `decided-by-hand`, and those of the
rules after it.

| | rule | need | it fires where |
|---|---|---|---|
"""
_RANKING = """
## Ranking by groundwater entry

The flow through the thin gap at the cut edge is computed only where the head, a measured gap
and the diameter of the branch are known, and only where the formula holds; a gap is never
assumed. Connections rank by the greater of that flow and of the nominal flow of the class that
the survey codes (BBF), because what was seen is the least that the highest groundwater brings.
Ties stay in order of run and chainage. The nominal flows are common practice, without a source;
they rank and are never shown as a result.

| class | nominal flow in l/h |
|---|---|
"""


def _row(number: int, rule: Rule) -> str:
    text = inspect.getdoc(rule.test) or ""
    need = f"{rule.need.value}: {rule.work.value}" if rule.work else rule.need.value
    return f"| {number} | `{rule.name}` | {need} | {' '.join(text.split())} |"


def rules_page() -> str:
    """The page, rules in order of precedence, then the ranking."""
    rows = [_row(i, rule) for i, rule in enumerate((*RULES, LAST_RESORT), start=1)]
    flows = [f"| {k.value} | {shown(v, 'l/h')} |" for k, v in NOMINAL_FLOW.items()]
    return f"{_HEAD}{chr(10).join(rows)}\n{_RANKING}{chr(10).join(flows)}\n"
