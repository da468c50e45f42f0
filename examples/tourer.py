"""An invented four-seat tourer and an invented trailing-link gear, for the examples of the docstrings and the tests."""

from beam import Airplane, AirSpring, MainGear, Orifice, Shock, Tire, TrailingLink
from beam.loads import FlightGear

TOURER = Airplane(
    max_mass=1240.0,
    landing_mass=1180.0,
    wing_area=11.8,
    stall_speed=29.0,
    cg_forward=(2.43, 0.0, 0.20),
    cg_aft=(2.51, 0.0, 0.20),
    nose_contact=(0.82, 0.0, -0.85),
    main_contact=(2.83, 1.05, -0.85),
    main_wheel_radius=0.19,
    nose_wheel_radius=0.16,
    tail_down_angle_deg=13.0,
    moments_of_inertia=(1900.0, 2300.0, 3900.0),
    main_tire_pressure=3.1e5,
    flight_gear=FlightGear(
        mass=14.0,
        drag_area=0.06,
        stall_speed_clean=32.0,
        wheel_inertia=0.25,
        take_off_speed=36.0,
        retraction_rate=(0.5, 0.0, -0.2),
        brake_torque=120.0,
        flight_load_factor=3.8,
        sideslip_deg=12.0,
    ),
    name="tourer",
)

GEAR = MainGear(
    link=TrailingLink(
        pivot=(0.0, 0.94, -0.55),
        axle=(0.205, 1.05, -0.77),
        shock_on_link=(0.123, 0.92, -0.685),
        shock_on_strut=(0.055, 0.80, -0.253),
    ),
    shock=Shock(
        spring=AirSpring(pressure=2.6e6, volume=221e-6, area=1.6e-3, exponent=1.1),
        damper=Orifice(compression=20e3, extension=250e3),
        max_stroke=0.115,
        friction=300.0,
    ),
    tire=Tire.smiley_horne(
        width=0.16,
        diameter=0.4445,
        pressure=290e3,
        rated_pressure=290e3,
        bottoming_deflection=0.11,
        damping=0.03,
    ),
    wheel_mass=9.0,
    wheel_inertia=0.13,
    rolling_radius=0.20,
    link_mass=5.0,
)
"""Starboard gear for about 500 kg on the wheel: a trailing link and an air-oil shock of 115 mm stroke."""
