"""From findings to a refusal: the first that stops, the first caution that nobody has answered yet."""

from __future__ import annotations

from kiosk.core.findings import Finding, Level, Refusal


def first_stop(findings: tuple[Finding, ...]) -> Refusal | None:
    """Return the first stop among the findings as a refusal."""
    for finding in findings:
        if finding.level is Level.STOP:
            return Refusal(finding.id, finding.facts, finding.source)
    return None


def first_caution(findings: tuple[Finding, ...], answered: tuple[str, ...]) -> Refusal | None:
    """Return the first caution that nobody has answered yet as a refusal."""
    for finding in findings:
        if finding.level is Level.CAUTION and finding.id not in answered:
            return Refusal(finding.id, finding.facts, finding.source, Level.CAUTION)
    return None
