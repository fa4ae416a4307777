"""How the builder wants the patterns drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.drawing.marks import Drawing
from patterns.parts.whole import Job
from patterns.plates.plate import plate


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is drawn on every pattern, and what is left off."""

    date: str  # printed as it is; a rule to write it on where there is none
    proud: float  # mm, the saw line outside the net line; 0 for none
    notes: bool
    pricks: bool

    def drawings(self, job: Job) -> list[Drawing]:
        """Every part of a job as a drawing."""
        return [
            plate(
                replace(part, proud=self.proud or part.proud),
                boat=job.boat.name,
                show=job.boat.show,
                number=(number, len(job.parts)),
                date=self.date,
                notes=self.notes,
                pricks=self.pricks,
            )
            for number, part in enumerate(job.parts, 1)
        ]
