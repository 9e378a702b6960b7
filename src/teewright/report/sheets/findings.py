"""Findings: what was repaired, assumed or doubted, equal ones together."""

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
        parts.append(f"{file} {word} {words.listed(known, _PLACES)}" if known else file)
    named = list(dict.fromkeys(subjects))
    if named:
        parts.append(words.listed(named, _PLACES))
    return words.breakable("; ".join(parts))


def _texts(findings: Sequence[Finding]) -> tuple[list[Json], str]:
    by_text: dict[str, list[Finding]] = {}
    for finding in findings:
        by_text.setdefault(finding.text, []).append(finding)
    rows: list[Json] = []
    for text, same in list(by_text.items())[:_TEXTS]:
        count = f" (× {len(same)})" if len(same) > 1 else ""
        rows.append({"text": words.capital(words.breakable(text)) + count, "where": places(same)})
    rest = list(by_text.values())[_TEXTS:]
    left = sum(len(same) for same in rest)
    return (
        rows,
        f"{words.capital(words.count(left, 'more', 'more'))} under this rule." if left else "",
    )


def _groups(findings: Sequence[Finding]) -> list[Json]:
    groups: dict[tuple[FindingKind, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.kind, finding.rule), []).append(finding)
    ordered = sorted(groups.items(), key=lambda item: _GRAVEST_FIRST.index(item[0][0]))
    out: list[Json] = []
    for (kind, rule), members in ordered:
        rows, more = _texts(members)
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
    body: dict[str, Json] = {"tally": words.listed(named, 9), "groups": _groups(findings)}
    subject = words.figures(len(findings), "finding")
    return [Sheet("findings", "Findings", answer, subject, "Findings", body)]
