"""Heat of the brakes: the rule's energy, closed forms of one and two nodes, the energy ledger, refusals."""

from dataclasses import replace
from itertools import pairwise

import brake_stop
import numpy as np
import pytest
from brake_stop import GUESS, LANDING, NETWORK, REJECTED
from numpy.testing import assert_allclose
from printed import printed
from scipy.constants import Stefan_Boltzmann, foot, knot, pound, pound_force
from scipy.integrate import cumulative_trapezoid
from scipy.linalg import expm

from beam import Service
from beam.gear import BrakeHeat, BrakeStop, Conduction, Convection, Radiation, ThermalNode
from materials import Source, lamina

MADE_UP = Source("made up for the test")
AIR = 290.0
COLD = BrakeStop(mass=1e-6, ground_speed=0.01, deceleration=10.0)
"""A stop of no energy, for networks that only cool down."""


def node(name, capacity, *, share=0.0, start=None):
    return ThermalNode(
        name=name,
        mass=capacity / 500,
        specific_heat=500,
        heat_share=share,
        start_temperature=start,
        source=MADE_UP,
    )


def to(first, second, conductance):
    return Convection(first=first, second=second, coefficient=conductance / 0.1, surface=0.1, source=MADE_UP)


def network(nodes, links, tip=None):
    return BrakeHeat(nodes=nodes, links=links, ambient=AIR, tip=tip or nodes[0].name)


def test_energy_of_a_stop_is_that_of_the_rule():
    pounds, knots, wheels = 2600.0, 61.0, 2
    stop = BrakeStop(mass=pounds * pound, ground_speed=knots * knot, deceleration=3.0, braked_wheels=wheels)
    unit = foot * pound_force * pounds * knots**2 / wheels
    assert stop.rule_energy / unit == pytest.approx(0.0443, rel=1e-12)
    assert stop.energy / unit == printed("0.0443")
    assert stop.energy / unit == printed("0.04427")
    half = replace(stop, energy_share=0.5, braked_wheels=4)
    assert half.energy == pytest.approx(stop.energy / 4)


def test_power_and_energy_over_time_follow_the_speed():
    stop = replace(LANDING, start=5.0, energy_share=0.8)
    time = np.linspace(0.0, 20.0, 20001)
    assert stop.duration == pytest.approx(29 / 3)
    speed = np.clip(29 - 3 * (time - 5.0), 0.0, 29.0)
    kinetic = 0.8 * 1180 * (29.0**2 - speed**2) / 4
    assert_allclose(stop.absorbed(time), kinetic, rtol=0, atol=1e-6)
    summed = cumulative_trapezoid(stop.power(time), time, initial=0)
    assert_allclose(summed, kinetic, rtol=0, atol=2e-4 * stop.energy)
    assert stop.power([4.9, 15.0]).tolist() == [0.0, 0.0]


def test_one_node_keeps_the_energy_where_none_is_lost():
    alone = network([node("disc", 1200.0, share=1.0), node("hub", 300.0)], [to("disc", "hub", 40.0)])
    found = alone.temperatures([LANDING], duration=600.0)
    assert_allclose(found.temperature[-1], AIR + LANDING.energy / 1500.0, rtol=1e-9)
    assert found.energy_lost == 0.0
    assert any("no heat is lost" in line for line in found.assumptions)


def test_one_node_warms_and_cools_by_exponentials():
    C, G = 1200.0, 6.0
    found = network([node("disc", C, share=1.0)], [to("disc", "ambient", G)]).temperatures([LANDING])
    tau, T, P = C / G, LANDING.duration, 2 * LANDING.energy / LANDING.duration
    # C y' + G y = P (1 - t / T) has the particular solution P / G (1 + tau / T - t / T)
    during = found.time <= T
    t = found.time[during]
    warm = P / G * ((1 + tau / T) * (1 - np.exp(-t / tau)) - t / T)
    assert_allclose(found.temperature[during, 0], AIR + warm, rtol=0, atol=2e-5)
    after = found.time[~during]
    assert_allclose(
        found.temperature[~during, 0], AIR + warm[-1] * np.exp(-(after - T) / tau), rtol=0, atol=2e-3
    )
    lost = LANDING.energy - C * (found.temperature[-1, 0] - AIR)
    assert found.energy_lost == pytest.approx(lost, rel=1e-6)
    # the peak lies where the brake gives what the air takes, before the airplane stands
    at = tau * np.log(1 + T / tau)
    assert found.tip_time == pytest.approx(at, rel=1e-3)
    assert found.tip_temperature == pytest.approx(
        AIR + P / G * ((1 + tau / T) * (1 - np.exp(-at / tau)) - at / T)
    )


def test_two_nodes_even_out_by_one_exponential():
    C1, C2, G = 800.0, 2000.0, 3.0
    two = network(
        [node("disc", C1, share=1.0, start=700.0), node("hub", C2, start=300.0)], [to("disc", "hub", G)]
    )
    found = two.temperatures([COLD], duration=3000.0)
    mean = (C1 * 700 + C2 * 300) / (C1 + C2)
    apart = 400 * np.exp(-G * (1 / C1 + 1 / C2) * found.time)
    assert_allclose(found.temperature[:, 0] - found.temperature[:, 1], apart, rtol=0, atol=2e-3)
    assert_allclose(found.temperature @ [C1, C2] / (C1 + C2), mean, rtol=1e-9)


def test_soak_back_peaks_when_the_closed_form_of_two_nodes_says():
    """Disc to tip, tip to air: T2 = A (exp(-a t) - exp(-b t)), highest at ln(b / a) / (b - a)."""
    C1, C2, G1, G2 = 1500.0, 400.0, 0.9, 0.7
    two = network([node("disc", C1, share=1.0, start=600.0), node("tip", C2)],
                  [to("disc", "tip", G1), to("tip", "ambient", G2)], tip="tip")  # fmt: skip
    found = two.temperatures([COLD], duration=12000.0)
    a, b = np.sort(np.linalg.eigvals([[G1 / C1, -G1 / C1], [-G1 / C2, (G1 + G2) / C2]]).real)
    at = np.log(b / a) / (b - a)
    high = 310 * G1 / C2 / (b - a) * (np.exp(-a * at) - np.exp(-b * at))
    assert found.tip_time == pytest.approx(at, rel=1e-3)
    assert found.tip_temperature - AIR == pytest.approx(high, rel=1e-5)


def test_radiation_alone_cools_by_the_inverse_cube():
    C, area, start = 900.0, 0.05, 1500.0
    glow = Radiation(
        first="disc", second="ambient", emissivity=0.8, view_factor=0.5, surface=area, source=MADE_UP
    )
    one = BrakeHeat(nodes=[node("disc", C, share=1.0, start=start)], links=[glow], ambient=200.0, tip="disc")
    found = one.temperatures([COLD], duration=1800.0)
    R = Stefan_Boltzmann * 0.8 * 0.5 * area
    # whole law: C dT / (R (T^4 - a^4)) summed up in closed form
    a, T = 200.0, found.temperature[::50, 0]

    def time_at(T):
        def F(x):
            return np.log((x + a) / (x - a)) / (4 * a**3) + np.arctan(x / a) / (2 * a**3)

        return C / R * (F(T) - F(start))

    assert_allclose(time_at(T), found.time[::50], rtol=1e-5, atol=1e-4)
    # while hot, the surroundings do not count: T^-3 = T0^-3 + 3 R t / C
    hot = T > 900.0
    cube = start**-3.0 + 3 * R * found.time[::50] / C
    assert hot.sum() > 3
    assert_allclose(T[hot], cube[hot] ** (-1 / 3), rtol=(a / 900.0) ** 4)
    assert found.tip_temperature == pytest.approx(start)


def test_a_linear_network_follows_the_matrix_exponential():
    """Six nodes of the example without radiation: the state with the falling power is exp(A t) of one larger matrix."""
    plain = replace(NETWORK, links=[link for link in NETWORK.links if not isinstance(link, Radiation)])
    found = plain.temperatures([LANDING])
    names = plain.names
    n = len(names)
    A = np.zeros((n + 2, n + 2))
    for link in plain.links:
        i, j = names.index(link.first), [*names, "ambient"].index(link.second)
        for one, other in ((i, j), (j, i)):
            if one < n:
                capacity = plain.nodes[one].mass * plain.nodes[one].specific_heat
                A[one, one] -= link.linear / capacity
                if other < n:
                    A[one, other] += link.linear / capacity
    for i, part in enumerate(plain.nodes):
        A[i, n] = part.heat_share / (part.mass * part.specific_heat)
    A[n, n + 1] = 1.0  # the power falls at a constant rate
    T, power = LANDING.duration, 2 * LANDING.energy / LANDING.duration
    at_rest = expm(A * T) @ [*np.zeros(n), power, -power / T]
    still = np.append(at_rest[:n], [0.0, 0.0])
    for k in np.flatnonzero(found.time > T)[::60]:
        want = plain.ambient + (expm(A * (found.time[k] - T)) @ still)[:n]
        assert_allclose(found.temperature[k], want, rtol=0, atol=2e-3)


@pytest.mark.parametrize("stops", [[LANDING], [REJECTED, LANDING]], ids=["one stop", "two stops"])
def test_the_ledger_closes(stops):
    found = NETWORK.temperatures(stops)
    assert abs(found.ledger_error) < 1e-7
    assert found.energy_in == pytest.approx(sum(stop.energy for stop in stops))
    # a second way: the flow to the air at the samples, by the trapezoid
    place = {name: i for i, name in enumerate(NETWORK.names)}
    flow = 0.0
    for link in NETWORK.links:
        if link.second == "ambient":
            T = found.temperature[:, place[link.first]]
            flow = flow + link.linear * (T - 303.0) + link.radiative * (T**4 - 303.0**4)
    assert found.energy_lost == pytest.approx(np.trapezoid(flow, found.time), rel=1e-3)
    off = replace(found, energy_lost=1.01 * found.energy_lost)
    assert abs(off.ledger_error) > 1e-3


def test_order_of_the_peaks_is_the_way_of_the_heat():
    found = NETWORK.temperatures([LANDING])
    order = [
        found.peak_time[NETWORK.names.index(name)] for name in ("disc", "wheel", "axle", "link", "strut tip")
    ]
    assert all(before < after for before, after in pairwise(order))
    assert found.tip_time > LANDING.end
    high = found.peak_temperature
    assert (high >= found.temperature.max(axis=0) - 1e-9).all()
    assert (high <= high[0]).all()


def test_the_tip_temperature_is_the_service_of_the_strength_check():
    """A hotter tip is closer to the cure: the lamina sees the change of temperature from its stress-free state."""
    found = NETWORK.temperatures([LANDING, REJECTED])
    hot = Service(name="after a rejected take-off", temperature=found.tip_temperature, moisture=0.008)
    cloth = lamina("AS4/3501-6")
    change = hot.temperature_change(cloth)
    tip = found.temperature[:, NETWORK.names.index("strut tip")].max()
    assert change == pytest.approx(tip - cloth.stress_free_temperature, abs=0.5)
    cold = Service(name="before", temperature=NETWORK.ambient, moisture=0.008)
    assert change > cold.temperature_change(cloth)


def test_what_makes_a_stop_harder_makes_the_tip_hotter():
    base = NETWORK.temperatures([LANDING]).tip_temperature
    assert NETWORK.temperatures([replace(LANDING, mass=1240.0)]).tip_temperature > base
    assert NETWORK.temperatures([replace(LANDING, braked_wheels=1)]).tip_temperature > base
    assert NETWORK.temperatures([replace(LANDING, energy_share=0.8)]).tip_temperature < base
    assert NETWORK.temperatures([LANDING, REJECTED]).tip_temperature > base
    assert replace(NETWORK, ambient=313.0).temperatures([LANDING]).tip_temperature > base


def test_guesses_and_shares_are_named_in_the_output():
    found = NETWORK.temperatures([LANDING])
    said = " ".join(found.assumptions)
    for words in ("landing 1 (1 is safe)", "constant deceleration", "303 K", "convection, disc to wheel"):
        assert words in said
    inputs = NETWORK.inputs
    assert set(inputs.part[inputs.guess]) == set(NETWORK.guesses)
    assert not inputs.guess[inputs.part == "disc"].any()
    sure = replace(NETWORK, links=[replace(link, source=MADE_UP) for link in NETWORK.links])
    assert "guesses: none" in sure.temperatures([LANDING]).assumptions
    k = inputs.index[(inputs.part == "conduction, axle to link") & (inputs.input == "conductivity")][0]
    assert inputs.loc[k, ["value", "unit"]].tolist() == [45.0, "W/(m K)"]


def test_a_limit_of_a_node_is_judged():
    table = NETWORK.temperatures([LANDING]).table.set_index("node")
    assert table.met[["disc", "strut tip"]].all()
    assert table.met.isna()["axle"]
    nodes = [
        replace(part, highest_temperature=400.0 if part.name == "disc" else None) for part in NETWORK.nodes
    ]
    hot = replace(NETWORK, nodes=nodes).temperatures([LANDING]).table.set_index("node")
    assert not hot.met["disc"]
    assert hot["peak [degC]"]["disc"] == pytest.approx(hot["peak [K]"]["disc"] - 273.15)


NODES = (node("disc", 900.0, share=1.0), node("tip", 300.0))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: to("disc", "tip", -1.0), r"coefficient \[W/\(m2 K\)\]: got -10, must be > 0"),
        (
            lambda: Conduction(first="a", second="b", conductivity=-1, cross_section=1e-3, length=1, source=GUESS),
            "conductivity .*> 0",
        ),
        (lambda: ThermalNode(name="disc", mass=0, specific_heat=500, source=GUESS), "brake energy without mass"),
        (lambda: replace(LANDING, mass=0.0), "mass .*> 0"),
        (lambda: network(NODES, [to("disc", "ambient", 1.0), to("tip", "ambient", 1.0)]), "disconnected tip"),
        (lambda: network(NODES, [to("disc", "hub", 1.0)]), "links.0., end of Convection: got 'hub'.*no such node"),
        (lambda: network(NODES, [to("disc", "disc", 1.0)]), "'disc' at both ends"),
        (lambda: network(NODES, [to("disc", "tip", 1.0)], tip="strut"), "tip: got 'strut'"),
        (lambda: network([NODES[1], node("a", 1.0)], [to("tip", "a", 1.0)]), "heat_share .* got 0"),
        (lambda: network([NODES[0], NODES[0]], [to("disc", "ambient", 1.0)]), "different names"),
        (lambda: node("ambient", 10.0), "name of the surroundings"),
        (lambda: replace(NETWORK, ambient=30.0), "given in degC"),
        (lambda: NETWORK.temperatures([LANDING], duration=5.0), "before the airplane stands"),
        (lambda: NETWORK.temperatures([LANDING], duration=600.0), "the tip still warms"),
        (lambda: NETWORK.temperatures([LANDING, replace(LANDING, start=4.0)]), "still goes on"),
        (lambda: replace(NETWORK.temperatures([LANDING]), peak_time=[1.0]), "BrakeTemperatures: .*shapes"),
    ],
)  # fmt: skip
def test_bad_networks_and_stops_are_refused(make, says):
    with pytest.raises(ValueError, match=f"(?s){says}"):
        make()


def test_the_example_prints_what_it_promises(capsys):
    brake_stop.main()
    said = capsys.readouterr().out
    for words in (
        "service of the strength check: after a rejected take-off",
        "invented",
        "strut tip",
        "error of the ledger",
        "guesses:",
        "stable",
        "forward",
    ):
        assert words in said
