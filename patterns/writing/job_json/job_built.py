"""The boat as she stands, as job.json has it: mm."""

from __future__ import annotations

from typing import Any

from patterns.shop.built.as_built import AsBuilt


def built_figures(built: AsBuilt) -> dict[str, Any]:
    """What was measured, what each frame would need, and which parts are cut."""
    return {
        "within": built.asked.within,
        "figures": [
            {
                "frame": one.frame,
                "line": one.figure.line,
                "side": one.figure.side,
                "measure": str(one.figure.measure),
                "planned": one.planned,
                "measured": one.figure.mm,
                "beyond_measuring": one.beyond,
            }
            for one in built.figures
        ],
        "dressing": [
            {
                "frame": one.frame,
                "side": one.side,
                "edge": one.edge,
                "at": list(one.ends),
                "to_plan": list(one.to_plan),
                "to_built": list(one.to_built),
            }
            for one in built.dressing
        ],
        "lines": {
            line.name: {
                "from_fp": line.height.from_fp.tolist(),
                "half_breadth": line.half_breadth.batten.value(line.height.from_fp).tolist(),
                "height": line.height.batten.value(line.height.from_fp).tolist(),
            }
            for line in built.job.lines
        },
        "changed": [
            {"parts": list(one.titles), "by": one.by, "face": one.face, "edge": one.edge, "at": list(one.there)}
            for one in built.changed
        ],
        "misfits": [{"part": one.title, "by": one.by} for one in built.misfits],
        "as_cut": [part.title for part in built.job.parts if part.as_cut],
    }
