"""Reports on the job's paper, upright."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.job.boat_job import BoatJob
from patterns.writing.report.report_blocks import Block, Section


def on_paper(job: BoatJob, title: str, lead: Sequence[Block], sections: Sequence[Section]) -> bytes:
    """A PDF of a report, the run mark behind its title."""
    from patterns.writing.report.report_pdf import report_pdf

    sides = sorted((job.paper.width, job.paper.height))
    return report_pdf(
        f"{title}, run {job.run_mark}", lead, sections, width=sides[0], height=sides[1], margin=job.paper.margin
    )
