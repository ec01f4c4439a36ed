"""The scheme beside the page: worked out apart, row by row as it comes, never waited for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from palette.desk.sights import Lut
from palette.kit.model import Reference

if TYPE_CHECKING:
    from palette.desk.bench import Bench


class Scheming:
    """What is known of one kit's scheme."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench

    def remains(self, reference: Reference, readout: dict[str, Any]) -> dict[str, Any]:
        """A readout of a grey picture with what remains possible."""
        return readout

    def picture(self, reference: Reference) -> dict[str, Any]:
        """How a picture is corrected, as far as that is known."""
        return {
            "corrected": None,
            "painted": None,
            "caption": "",
            "notes": [],
            "problems": [],
            "anchors": [],
            "facts": [],
        }

    def corrected(self, reference: Reference) -> tuple[Lut | None, str | None]:
        """The table of a picture's correction, and its digest."""
        return None, None

    def painted(self, reference: Reference) -> tuple[Lut | None, str | None]:
        """The table by which a picture is seen painted, and its digest."""
        return None, None

    def close(self) -> None:
        """End what runs."""
