"""What to buy in job.json: boards with their blanks, woods with their totals, and what the yard has not."""

from __future__ import annotations

from typing import Any

from patterns.shop.stock.buying import BuyingPlan


def buying_figures(plan: BuyingPlan) -> dict[str, Any]:
    """Lengths mm, volumes mm3, prices in the builder's money; null where a board has no price."""
    return {
        "boards": [
            {
                "number": one.number,
                "material": one.board.material,
                "length": one.board.length,
                "width": one.board.width,
                "thickness": one.board.thickness,
                "dressed": one.board.dressed,
                "wood": one.board.volume,
                "price": one.board.costs,
                "used": one.used,
                "blanks": [
                    {
                        "name": cut.blank.name,
                        "parts": list(cut.blank.titles),
                        "left": cut.left,
                        "bottom": cut.bottom,
                        "length": cut.blank.length,
                        "width": cut.blank.width,
                        "finished_thickness": cut.blank.thickness,
                    }
                    for cut in one.cuts
                ],
            }
            for one in plan.boards
        ],
        "woods": [
            {"material": total.material, "net": total.net, "gross": total.gross, "cost": total.cost}
            for total in plan.totals
        ],
        "on_hand": [
            {"part": one.title, "board": one.on_hand.board, "lengths": list(one.on_hand.lengths)}
            for one in plan.on_hand
            if one.on_hand
        ],
        "missing": [{"part": one.title, "material": one.material, "why": one.why} for one in plan.missing],
    }
