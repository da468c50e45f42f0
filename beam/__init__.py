"""The composite strut of a light airplane's main gear: ground loads, landing, margins and the lightest ply book.

Every name is loaded on first use. The packages below hold the rest: `beam.loads`, `beam.gear`, `beam.section`,
`beam.strut`, `beam.strength`, `beam.joints`, `beam.sizing`, `beam.dossier`.
"""

from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

_ROOT = Path(__file__).resolve().parents[1]
for _name in ("materials", "laminate"):
    _found = find_spec(_name)
    _place = Path(_found.origin).resolve() if _found and _found.origin else _ROOT
    if _place != _ROOT / _name / "__init__.py":
        raise ImportError(
            f"beam needs its package {_ROOT / _name}, but Python finds {_place} first: rename or move that file"
        )

from beam.version import __version__  # noqa: E402
from materials.lazy import lazy_names  # noqa: E402

_NAMES = {
    "beam.strut_cases": ("DesignCases", "design_cases"),
    "beam.dossier.design": ("Design",),
    "beam.dossier.stress_report": ("report",),
    "beam.flexibility": ("Flexibility",),
    "beam.gear": (
        "AirSpring",
        "DamperCurve",
        "Drop",
        "LandingEnvelope",
        "MainGear",
        "Orifice",
        "Shock",
        "Tire",
        "TrailingLink",
        "Variant",
        "drop",
        "landing_envelope",
    ),
    "beam.joints": ("joints",),
    "beam.loads": (
        "Airplane",
        "Equipment",
        "Landing",
        "SpinUp",
        "ground_cases",
        "layout_table",
        "static_reactions",
    ),
    "beam.section": ("Section",),
    "beam.sizing": ("InfeasibleSizing", "Lattice", "PlyKind", "Sizing", "lightest"),
    "beam.strength": ("Requirement", "Service", "margins"),
    "beam.strut": ("Band", "BookPly", "MoldLine", "PlyBook", "PointLoads", "Rib", "Span", "Strut", "Support"),
}
__all__ = ["__version__", *(name for names in _NAMES.values() for name in names)]
__getattr__, __dir__ = lazy_names(
    "beam", {name: module for module, names in _NAMES.items() for name in names}
)

if TYPE_CHECKING:
    from beam import joints as joints
    from beam.dossier.design import Design as Design
    from beam.dossier.stress_report import report as report
    from beam.flexibility import Flexibility as Flexibility
    from beam.gear import AirSpring as AirSpring
    from beam.gear import DamperCurve as DamperCurve
    from beam.gear import Drop as Drop
    from beam.gear import LandingEnvelope as LandingEnvelope
    from beam.gear import MainGear as MainGear
    from beam.gear import Orifice as Orifice
    from beam.gear import Shock as Shock
    from beam.gear import Tire as Tire
    from beam.gear import TrailingLink as TrailingLink
    from beam.gear import Variant as Variant
    from beam.gear import drop as drop
    from beam.gear import landing_envelope as landing_envelope
    from beam.loads import Airplane as Airplane
    from beam.loads import Equipment as Equipment
    from beam.loads import Landing as Landing
    from beam.loads import SpinUp as SpinUp
    from beam.loads import ground_cases as ground_cases
    from beam.loads import layout_table as layout_table
    from beam.loads import static_reactions as static_reactions
    from beam.section import Section as Section
    from beam.sizing import InfeasibleSizing as InfeasibleSizing
    from beam.sizing import Lattice as Lattice
    from beam.sizing import PlyKind as PlyKind
    from beam.sizing import Sizing as Sizing
    from beam.sizing import lightest as lightest
    from beam.strength.margins import margins as margins
    from beam.strength.requirement import Requirement as Requirement
    from beam.strength.requirement import Service as Service
    from beam.strut import Band as Band
    from beam.strut import BookPly as BookPly
    from beam.strut import MoldLine as MoldLine
    from beam.strut import PlyBook as PlyBook
    from beam.strut import PointLoads as PointLoads
    from beam.strut import Rib as Rib
    from beam.strut import Span as Span
    from beam.strut import Strut as Strut
    from beam.strut import Support as Support
    from beam.strut_cases import DesignCases as DesignCases
    from beam.strut_cases import design_cases as design_cases
