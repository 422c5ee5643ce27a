"""What is said while a job is taken off."""

from __future__ import annotations

from dataclasses import dataclass, field

from service.errors import Finding, Relaxed


@dataclass(slots=True)
class Remarks:
    """Findings and cautions, collected while a job is taken off."""

    findings: list[Finding] = field(default_factory=list)
    relaxed: list[Relaxed] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    not_computed: list[str] = field(default_factory=list)

    def find(self, finding: Finding) -> None:
        """Add a finding."""
        self.findings.append(finding)
