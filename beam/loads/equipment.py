"""Points and ratings that the layout and equipment checks ask for."""

from typing import Annotated

from scipy.constants import g

from materials.checks import Frozen, Limits, OptionalNumbers, default

_Rating = Annotated[float, Limits("N", above=0.0)]
_Point = Annotated[OptionalNumbers, Limits("m", shape=(3,))]


class Equipment(Frozen):
    """Bought wheels, tires and brakes, and the points of the airframe that come near the ground.

    What is left at None is listed as not given.

    Parameters
    ----------
    main_wheel_static_rating, main_wheel_limit_rating : float, optional
        Static and radial limit rating of a main wheel [N].
    main_tire_static_rating : float, optional
        Static rating of a main tire [N].
    nose_wheel_static_rating, nose_wheel_limit_rating : float, optional
        Static and radial limit rating of the nose wheel [N].
    nose_tire_dynamic_rating : float, optional
        Dynamic rating of the nose tire [N].
    brake_energy_rating : float, optional
        Kinetic energy one brake is rated for [J].
    braking_deceleration : float, optional
        Mean deceleration of the stop, for its distance and torque [m/s2].
    propeller_tip : array_like, shape (3,), optional
        Lowest point of the propeller disk, airplane axes [m].
    nose_sink : float, optional
        How far the nose comes down with strut bottomed and tire flat [m].
    tail_point : array_like, shape (3,), optional
        What touches first when the nose rises, airplane axes [m].

    Notes
    -----
    Source: 14 CFR 23.731, 23.733, 23.735, 23.925.

    Examples
    --------
    >>> bought = Equipment(main_wheel_static_rating=6.5e3, propeller_tip=(0.3, 0.0, -0.58))
    >>> bought.propeller_tip
    array([ 0.3 ,  0.  , -0.58])
    """

    main_wheel_static_rating: _Rating | None = None
    main_wheel_limit_rating: _Rating | None = None
    main_tire_static_rating: _Rating | None = None
    nose_wheel_static_rating: _Rating | None = None
    nose_wheel_limit_rating: _Rating | None = None
    nose_tire_dynamic_rating: _Rating | None = None
    brake_energy_rating: Annotated[float, Limits("J", above=0.0)] | None = None
    braking_deceleration: (
        Annotated[float, Limits("m/s2", at_least=0.65, at_most=1.5 * g, cause="given in g or ft/s2?")] | None
    ) = None
    propeller_tip: _Point = default(None)
    nose_sink: Annotated[float, Limits("m", above=0.0, at_most=2.0, cause="given in mm?")] | None = None
    tail_point: _Point = default(None)
