"""What `palette references` answers."""

from __future__ import annotations

from palette.evidence.pictures.references import ReferenceStatus
from palette.words import say


def status_json(status: ReferenceStatus) -> dict[str, object]:
    """One reference as the answer of `palette references --json` has it."""
    reference, glance = status.reference, status.glance
    return {
        "reference": reference.id,
        "file": str(reference.file),
        "width": glance.width if glance else None,
        "height": glance.height if glance else None,
        "profile": glance.profile if glance else None,
        "kind": reference.kind,
        "tone": reference.tone,
        "subject": reference.subject,
        "light": reference.light,
        "year": reference.year,
        "credit": reference.credit or None,
        "trust": reference.trust,
        "anchors": len(reference.anchors),
        "samples": len(reference.samples),
        "missing": [say(note) for note in status.missing],
        "same_as": list(status.same_as),
    }
