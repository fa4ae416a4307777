"""How numbers are spelt in every file of ink: to so many digits, and none that says nothing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.geometry.arrays import Floats

_GAP = "#"  # in a form, where a number goes
_END = ";"  # behind each number until it is shortened


def spelt(form: str, numbers: Floats | Sequence[float], digits: int, *, whole: str = "") -> str:
    """``form`` with a number for each ``#`` in it, all at once: a file has many thousands of them.

    Parameters
    ----------
    form : str
        What stands round the numbers; no ``%`` and no ``;`` in it.
    digits : int
        After the point, at the most: those that are nought are left off.
    whole : str
        What follows a number that is whole: ".0" where a format tells whole numbers from others.

    >>> spelt("M#,# #,#Z", [0.5, -0.0001, 20.0, 3.14159], 3)
    'M0.5,0 20,3.142Z'
    >>> spelt("10 #", [7.0], 4, whole=".0")
    '10 7.0'
    """
    noughts = "0" * digits
    text = form.replace(_GAP, f"%.{digits}f{_END}") % tuple(np.ravel(numbers).tolist())
    text = text.replace(f"-0.{noughts}{_END}", f"0{whole}").replace(f".{noughts}{_END}", whole)
    for count in range(digits - 1, -1, -1):
        text = text.replace(noughts[:count] + _END, "")
    return text
