"""An invented four-seat tourer with a trailing-link main gear, for the examples of the docstrings and the tests."""

from beam.loads.airplane import Airplane
from beam.loads.flight_gear import FlightGear

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
