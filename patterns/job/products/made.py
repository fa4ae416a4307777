"""What a product comes to, and a line of the table of products."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from patterns.geometry.short_repr import brief
from patterns.job.boat_job import BoatJob
from patterns.job.told import Told
from patterns.job.wishes.wishes import Wishes

Files = Mapping[str, bytes | str]  # by path within the job's folder; text is written as UTF-8


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """Files, and what is to be told of them."""

    files: Files = field(default_factory=dict)
    told: tuple[Told, ...] = ()

    __repr__ = brief

    def __or__(self, other: Made) -> Made:
        return Made({**self.files, **other.files}, (*self.told, *other.told))


@dataclass(frozen=True, slots=True)
class Product:
    """One thing a job can be asked for."""

    name: str
    about: str
    files: Callable[[BoatJob], Iterable[str]]  # paths of its files, told without making them
    make: Callable[[BoatJob], Made]
    wished: Callable[[Wishes], bool] = lambda wishes: True  # whether it belongs to the whole job
