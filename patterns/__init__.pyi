from patterns.errors import PatternsError as PatternsError
from patterns.job.boat_job import BoatJob as BoatJob
from patterns.job.from_python import Pattern as Pattern
from patterns.job.from_python import draw as draw
from patterns.job.from_python import loft as loft
from patterns.job.from_python import write as write
from patterns.job.making import make as make
from patterns.job.products.table import PRODUCTS as PRODUCTS
from patterns.job.wishes.wishes import Wishes as Wishes
from patterns.parts.part import Part as Part
from patterns.reading.boat.boat_toml import BoatFile as BoatFile
from patterns.reading.boat.boat_toml import LinesFile as LinesFile
from patterns.reading.boat.boat_toml import read_boat as read_boat
from patterns.reading.boat.boat_toml import read_lines as read_lines

__version__: str
__all__: list[str]
