"""What a drop raises when the shock meets its stop while the unit still comes down."""


class Bottomed(RuntimeError):
    """The shock reached its compression stop with energy left.

    Parameters
    ----------
    speed : float
        Sink speed left [m/s].
    energy : float
        Kinetic energy left, which shock and tire fall short by [J].
    total : float
        Kinetic energy at touchdown and work of weight less lift since [J].
    time : float
        Time since touchdown [s].
    max_stroke : float
        Stroke of the shock [m].
    """

    def __init__(self, *, speed: float, energy: float, total: float, time: float, max_stroke: float) -> None:
        self.speed, self.energy, self.time = speed, energy, time
        super().__init__(
            f"drop: the shock bottomed at its full stroke of {max_stroke:g} m, {time:.4f} s after touchdown, "
            f"with {speed:.3g} m/s of sink left: {energy:.4g} J of {total:.4g} J not absorbed; "
            "more stroke, charge pressure or orifice damping, or less mass or speed?"
        )
