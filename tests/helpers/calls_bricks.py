"""One good call of every public callable of beam.strut.bricks; that of `brick_margins` stands with beam.strength."""

from matplotlib.figure import Figure
from small_strut import TAPE

from beam.strut import BookPly, MoldLine, PlyBook, PointLoads, Strut, bricks
from beam.strut.bricks import Bricks, Comparison, Density, compare, converge, plots, solve
from beam.strut.bricks.brick_mesh import RESIN

PACKAGES = [bricks, plots]
LINE = MoldLine(
    root=[0.0, 0.0, 0.12], tip=[0.0, 0.0, 0.0], stations=[0.0, 0.12], width=[0.1, 0.1], height=[0.08, 0.08],
    corner_radius=[0.02, 0.02],
)  # fmt: skip
PLY = BookPly(lamina=TAPE, angle_deg=0.0, walls=LINE.wall_names, start=0.0, end=0.12)
STRUT = Strut(LINE, PlyBook([PLY] * 20))
LOADS = PointLoads(at=[0.12], force=[[[1e3, 0.0, 0.0]]])
COARSE = Density(per_corner=4, per_face=2, size=0.02, fine=0.02)
FOUND = solve(STRUT, LOADS, COARSE)
COMPARED = compare(FOUND, [0.06])
AX = Figure().subplots()
WHERE = {"self": FOUND, "stations": [0.06], "at": [0.5]}

CALLS = {
    Density: {"per_corner": 8, "per_face": 8, "size": 0.015, "fine": 0.006},
    Density.refined: {"self": COARSE, "factor": 1.5},
    solve: {"strut": STRUT, "loads": LOADS, "density": COARSE, "resin": RESIN},
    Bricks.motion: {"self": FOUND, "stations": [0.06]},
    Bricks.displacement: {"self": FOUND, "station": 0.06, "at": [0.5], "height": [0.5]},
    Bricks.wall_loads: WHERE,
    Bricks.face_strain: WHERE,
    Bricks.ply_states: {"self": FOUND, "station": 0.06, "wall": "aft", "at": [0.5]},
    Comparison: {
        name: getattr(COMPARED, name) for name in ("stations", "beam", "bricks", "walls", "marks", "level")
    },
    Comparison.largest_ratio: {"self": COMPARED},
    compare: {"found": FOUND, "stations": [0.06]},
    converge: {
        "quantity": lambda density: density.size,
        "density": COARSE,
        "tolerance": 1.0,
        "factor": 1.5,
        "most": 2,
    },
    plots.plot_beam_and_bricks: {"comparison": COMPARED, "case": 0, "wall": 0, "ax": AX, "units": "SI"},
}
EXCLUDED = {
    "Bricks": "a result of `solve`, not read again",
    "PlyStates": "a result",
    "Convergence": "a result",
}
