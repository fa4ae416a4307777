"""What a job holds for the bench: layout tables, bevel boards, the setting-up sheet, the fit report."""

from __future__ import annotations

from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.reading.boat_toml import BoatFile
from patterns.shop.layout_tables import LayoutTable, layout_table
from patterns.writing.layout_csv import layout_csv

Files = dict[str, bytes | str]


def layout_tables(read: BoatFile, job: Job) -> tuple[LayoutTable, ...]:
    """A table for every part, whole and as the pieces it is joined from."""
    return tuple(layout_table(part, room=read.sheets, show=job.boat.show) for part in (*job.parts, *job.pieces))


def bench_files(read: BoatFile, job: Job) -> Files:
    """Files for the bench, by their names in the job's folder."""
    files: Files = {}
    files |= {table_name(table.part): layout_csv(table) for table in layout_tables(read, job)}
    return files


def table_name(part: Part) -> str:
    return f"tables/{part.file_name}.csv"
