"""Parts of a thermal network: nodes with a heat capacity, and what carries heat between two of them."""

from typing import Annotated

from scipy.constants import Stefan_Boltzmann

from materials.checks import Frozen, Limits, reject
from materials.source import Source

AMBIENT = "ambient"
"""Name of the air and the ground around the gear in a link; its temperature is given and constant."""

TEMPERATURE = Limits("K", at_least=200.0, at_most=2500.0, cause="given in degC?")
_Temperature = Annotated[float, TEMPERATURE]
_Surface = Annotated[float, Limits("m2", above=0.0, at_most=10.0, cause="given in mm2 or cm2?")]


class ThermalNode(Frozen):
    """One part of wheel, brake, leg or strut, of one temperature.

    Parameters
    ----------
    name : str
        As in "disc"; not "ambient".
    mass : float
        Mass of the part [kg].
    specific_heat : float
        Heat that warms 1 kg by 1 K, at the temperatures of the stop [J/(kg K)].
    source : Source
        Where mass and specific heat come from; a note with the word "guess" marks a guess.
    heat_share : float
        Part of the energy of the brake that enters here; the shares of all nodes sum to 1 [-].
    start_temperature : float, optional
        Temperature before the first stop; that of the surroundings if not given [K].
    highest_temperature : float, optional
        What the part withstands, such as the tire's bead, a seal or a laminate [K].

    Raises
    ------
    ValueError
        If a value is outside its limits; a node without mass has no temperature under the energy of a brake.

    Examples
    --------
    >>> disc = ThermalNode(name="disc", mass=2.5, specific_heat=490, heat_share=1.0, source=Source("drawing 7"))
    >>> disc.heat_capacity
    1225.0
    """

    name: str
    mass: Annotated[
        float, Limits("kg", above=0.0, at_most=500.0, cause="brake energy without mass; given in pounds?")
    ]
    specific_heat: Annotated[
        float, Limits("J/(kg K)", at_least=50.0, at_most=1e4, cause="given in kJ/(kg K) or in cal?")
    ]
    source: Source
    heat_share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")] = 0.0
    start_temperature: _Temperature | None = None
    highest_temperature: _Temperature | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.name == AMBIENT:
            reject("ThermalNode: name", repr(AMBIENT), "another", "that is the name of the surroundings")

    @property
    def heat_capacity(self) -> float:
        """Mass times specific heat [J/K]."""
        return self.mass * self.specific_heat


class ThermalLink(Frozen):
    """What carries heat from one node to another or to the surroundings."""

    first: str
    second: str
    source: Source

    @property
    def linear(self) -> float:
        """Flow over the difference of the temperatures [W/K]."""
        return 0.0

    @property
    def radiative(self) -> float:
        """Flow over the difference of the fourth powers of the temperatures [W/K4]."""
        return 0.0


class Conduction(ThermalLink):
    """Heat that flows through a solid from one node to another.

    Parameters
    ----------
    first, second : str
        Names of the nodes; "ambient" is the surroundings.
    conductivity : float
        Thermal conductivity along the way; of a laminate, in that direction [W/(m K)].
    cross_section : float
        Area across the way [m2].
    length : float
        Length of the way between the middles of both parts [m].
    source : Source
        Where the numbers come from; a note with the word "guess" marks a guess.

    Raises
    ------
    ValueError
        If a number is not positive: a negative conductance would carry heat from cold to hot.

    Notes
    -----
    Flow Q = k A / L (T1 - T2), Fourier's law.

    Examples
    --------
    >>> axle = Conduction(first="wheel", second="axle", conductivity=45, cross_section=4e-4, length=0.09,
    ...                   source=Source("drawing 7"))
    >>> round(axle.linear, 3)
    0.2
    """

    conductivity: Annotated[float, Limits("W/(m K)", above=0.0, at_most=3000.0)]
    cross_section: _Surface
    length: Annotated[float, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")]

    @property
    def linear(self) -> float:
        """Flow over the difference of the temperatures [W/K]."""
        return self.conductivity * self.cross_section / self.length


class Convection(ThermalLink):
    """Heat that flows through a surface to the air, or across the contact of two parts.

    Parameters
    ----------
    first, second : str
        Names of the nodes; "ambient" is the surroundings.
    coefficient : float
        Heat transfer or contact coefficient [W/(m2 K)].
    surface : float
        Area of the surface [m2].
    source : Source
        Where the numbers come from; a note with the word "guess" marks a guess.

    Raises
    ------
    ValueError
        If a number is not positive: a negative conductance would carry heat from cold to hot.

    Notes
    -----
    Flow Q = h A (T1 - T2), Newton's law of cooling. The coefficient is constant; that of still air is safe while the
    wheel rolls.

    Examples
    --------
    >>> air = Convection(first="disc", second="ambient", coefficient=20, surface=0.06, source=Source("a test"))
    >>> round(air.linear, 3)
    1.2
    """

    coefficient: Annotated[float, Limits("W/(m2 K)", above=0.0, at_most=1e5)]
    surface: _Surface

    @property
    def linear(self) -> float:
        """Flow over the difference of the temperatures [W/K]."""
        return self.coefficient * self.surface


class Radiation(ThermalLink):
    """Heat that a gray surface radiates to the surroundings or to another part.

    Parameters
    ----------
    first, second : str
        Names of the nodes; "ambient" is the surroundings.
    emissivity : float
        Emissivity; between two parts, their effective one [-].
    surface : float
        Area of the surface of the first [m2].
    source : Source
        Where the numbers come from; a note with the word "guess" marks a guess.
    view_factor : float
        Part of the radiation of the first that meets the second [-].

    Raises
    ------
    ValueError
        If a number is outside its limits.

    Notes
    -----
    Flow Q = sigma e F A (T1^4 - T2^4), the law of Stefan and Boltzmann.

    Examples
    --------
    >>> glow = Radiation(first="disc", second="ambient", emissivity=0.8, surface=0.06, source=Source("a test"))
    >>> round(glow.radiative * (800**4 - 288**4))
    1096
    """

    emissivity: Annotated[float, Limits("-", above=0.0, at_most=1.0, cause="given in percent?")]
    surface: _Surface
    view_factor: Annotated[float, Limits("-", above=0.0, at_most=1.0, cause="given in percent?")] = 1.0

    @property
    def radiative(self) -> float:
        """Flow over the difference of the fourth powers of the temperatures [W/K4]."""
        return Stefan_Boltzmann * self.emissivity * self.view_factor * self.surface
