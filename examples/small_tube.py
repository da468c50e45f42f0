"""A small tube for the examples of the docstrings: two bays, one kind of ply, one load case; all invented."""

from beam import Lattice, MoldLine, PlyKind, PointLoads, Requirement, Service
from beam.strength import screening
from materials import lamina

LINE = MoldLine(
    root=[0, 0, 0.4], tip=[0, 0, 0], stations=[0, 0.4],
    width=[0.1, 0.08], height=[0.08, 0.06], corner_radius=[0.02, 0.015],
)  # fmt: skip
TAPE = PlyKind(
    name="tape", lamina=lamina("T700S/2510"), angles_deg=(0,), walls=LINE.wall_names, least=2, most=12, depth=0, pitch=1
)  # fmt: skip
LATTICE = Lattice(mold_line=LINE, stations=[0, 0.2, 0.4], kinds=[TAPE], most_ending=9)
PULL = PointLoads(at=[0.4], force=[[[2e5, 0, 0]]], moment=[[[0, 0, 0]]])
ROOM = Service(name="room", temperature=293)
REQUIREMENT = Requirement(
    services=[ROOM],
    special_factor=1.2,
    special_factor_basis="invented",
    route="factor",
    mixed="an example",
    checks=screening(),
    corner_opening=False,
)
