"""Findings: what was repaired, assumed or doubted, equal ones together."""

import re
from collections.abc import Sequence

from teewright.findings import Finding, FindingKind
from teewright.report import words
from teewright.report.index import JobIndex
from teewright.report.sheets.sheet import Json, Sheet

_GRAVEST_FIRST = list(reversed(list(FindingKind)))
_TEXTS = 4
_PLACES = 6


def places(findings: Sequence[Finding]) -> str:
    """Where findings stand: files with their lines, then subjects; the rest are counted."""
    lines: dict[str, list[str]] = {}
    subjects: list[str] = []
    for finding in findings:
        if finding.place.file:
            line = finding.place.line
            lines.setdefault(finding.place.file, []).append("" if line is None else str(line))
        elif finding.place.field or finding.subject:
            subjects.append(finding.subject or finding.place.field)
    parts = []
    for file, numbers in lines.items():
        known = list(dict.fromkeys(n for n in numbers if n))
        word = "line" if len(known) == 1 else "lines"
        said = f"{file} {word} {words.listed(known, _PLACES)}" if known else file
        parts.append(words.breakable(said))
    named = list(dict.fromkeys(subjects))
    if named:
        parts.append(words.listed([words.unbroken(n) for n in named], _PLACES))
    return "; ".join(parts)


def told(index: JobIndex, finding: Finding) -> tuple[str, list[str]]:
    """The text of a finding without its list of connections, and that list.

    Args:
        index: The job.
        finding: With ids of connections in its text, perhaps.

    Returns:
        The text, and the ids with how many more there are.
    """
    ids = "|".join(re.escape(c) for c in sorted(index.connections, key=len, reverse=True))
    text = finding.text
    found = re.search(rf"({ids})(, ({ids}))+( and (({ids})|\d+ more))?", text) if ids else None
    if found is None:
        return text, []
    named = re.split(r", | and ", found[0])
    count = len(named)
    if text[: found.start()].endswith(" (") and text[found.end() :].startswith(")"):
        return text[: found.start() - 2] + text[found.end() + 1 :], named
    many = words.count(count, "connection")
    return text[: found.start()] + many + text[found.end() :], named


def _where(index: JobIndex, same: Sequence[Finding]) -> str:
    """Where findings of one text stand; connections in their text come last."""
    parts = [places(same)]
    named = list(dict.fromkeys(n for f in same for n in told(index, f)[1]))
    if named:
        parts.append(words.listed([words.unbroken(n) for n in named], 7))
    return "; ".join(part for part in parts if part)


def _without_file(text: str, file: str) -> str:
    """The text of a finding, its file left out where the job has but one."""
    return text.replace(f"{file}, line", "line") if file else text


def _texts(index: JobIndex, findings: Sequence[Finding], file: str) -> tuple[list[Json], str]:
    by_text: dict[str, list[Finding]] = {}
    for finding in findings:
        key = _without_file(told(index, finding)[0], file)
        by_text.setdefault(key, []).append(finding)
    rows: list[Json] = []
    for text, same in list(by_text.items())[:_TEXTS]:
        count = f" (× {len(same)})" if len(same) > 1 else ""
        said = words.capital(words.breakable(text)) + count
        rows.append({"text": said, "where": _where(index, same)})
    rest = list(by_text.values())[_TEXTS:]
    left = sum(len(same) for same in rest)
    return (
        rows,
        f"{words.capital(words.count(left, 'more', 'more'))} under this rule." if left else "",
    )


def _groups(index: JobIndex, findings: Sequence[Finding]) -> list[Json]:
    groups: dict[tuple[FindingKind, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.kind, finding.rule), []).append(finding)
    ordered = sorted(groups.items(), key=lambda item: _GRAVEST_FIRST.index(item[0][0]))
    files = {f.place.file for f in findings if f.place.line is not None}
    file = files.pop() if len(files) == 1 else ""
    out: list[Json] = []
    for (kind, rule), members in ordered:
        rows, more = _texts(index, members, file)
        out.append(
            {
                "kind": kind.value,
                "rule": words.breakable(words.rule_words(rule)),
                "count": f"× {len(members)}" if len(members) > 1 else "",
                "rows": rows,
                "more": more,
            }
        )
    return out


def sheets(index: JobIndex) -> list[Sheet]:
    """All findings, the gravest first; every single one is in the lists."""
    findings = index.job.findings
    counts = {kind: sum(1 for f in findings if f.kind is kind) for kind in _GRAVEST_FIRST}
    named = [f"{n} {kind.value}" for kind, n in counts.items() if n]
    grave = counts[FindingKind.REFUSED] + counts[FindingKind.DOUBT]
    if not findings:
        answer = "Nothing was repaired, assumed or doubted"
    elif grave:
        verb = "needs" if grave == 1 else "need"
        answer = f"{grave} of {words.figures(len(findings), 'finding')} {verb} a decision"
    else:
        answer = f"{words.figures(len(findings), 'finding')}, none in doubt"
    body: dict[str, Json] = {"tally": words.listed(named, 9), "groups": _groups(index, findings)}
    subject = words.figures(len(findings), "finding")
    return [Sheet("findings", "Findings", answer, subject, "Findings", body)]
