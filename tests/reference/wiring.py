"""Six signal conductors between head and receiver with one fault at a time: nodal analysis of the whole network."""

from itertools import combinations

import numpy as np

from table import write

WIRES = ["a+", "a-", "b+", "b-", "r+", "r-"]
DRIVER_OHM = 10.0
BIAS_OHM, BIAS_V = 10e3, 2.5
SHORT_OHM = 0.1
TERMINATOR_OHM = 120.0
SHIELD_V = 0.0


class Network:
    """Conductances between numbered nodes and to fixed potentials; solved as one linear system."""

    def __init__(self, count):
        self.matrix = np.zeros((count, count))
        self.current = np.zeros(count)

    def between(self, i, j, ohm):
        for m, n in ((i, j), (j, i)):
            self.matrix[m, m] += 1 / ohm
            self.matrix[m, n] -= 1 / ohm

    def to(self, i, potential_v, ohm):
        self.matrix[i, i] += 1 / ohm
        self.current[i] += potential_v / ohm

    def solve(self):
        return np.linalg.solve(self.matrix, self.current)


def receiver_v(emf_v, wire_ohm, terminated, opened=(), shield=(), shorted=(), poor=()):
    """Potentials of the six receiver pins. Nodes 0..5: driver outputs behind their resistance, 6..11: receiver pins."""
    net = Network(12)
    for i in range(6):
        net.to(i, emf_v[i], DRIVER_OHM)
        net.to(6 + i, BIAS_V, BIAS_OHM)
        if i not in opened:
            net.between(i, 6 + i, wire_ohm + (1e3 if i in poor else 0.0))
        if i in shield:
            net.to(6 + i, SHIELD_V, SHORT_OHM)
    if len(shorted) == 2:
        net.between(6 + shorted[0], 6 + shorted[1], SHORT_OHM)
    if terminated:
        for first in (6, 8, 10):
            net.between(first, first + 1, TERMINATOR_OHM)
    return net.solve()[6:]


def faults():
    yield "healthy", (), {}
    for i in range(6):
        yield "open", (i,), {"opened": (i,)}
        yield "shield", (i,), {"shield": (i,)}
        yield "poor", (i,), {"poor": (i,)}
    for i in (0, 2, 4):
        yield "open", (i, i + 1), {"opened": (i, i + 1)}
    for pair in combinations(range(6), 2):
        yield "short", pair, {"shorted": pair}


EMFS = [
    [2.75, 2.25, 2.5, 2.5, 2.3, 2.7],
    [2.25, 2.75, 2.9, 2.1, 2.6, 2.2],
    [4.2, 0.8, 0.8, 4.2, 4.2, 0.8],
]


def make():
    rows = []
    for wire_ohm in (5.0, 8.42132):
        for terminated in (True, False):
            for number, emf_v in enumerate(EMFS):
                for kind, wires, fault in faults():
                    if wire_ohm != 5.0 and kind == "poor":
                        continue
                    volts = receiver_v(emf_v, wire_ohm, terminated, **fault)
                    names = [WIRES[i] for i in wires] + ["", ""]
                    rows.append([kind, names[0], names[1], wire_ohm, terminated, number, *volts])
    write(
        __name__,
        "wiring",
        f"""
Potentials (V) at the six receiver pins with one wiring fault: nodal analysis with 12 nodes, numpy.linalg.solve.
Every leg: source of potential emf, {DRIVER_OHM} ohm, a conductor of wire_ohm; at the receiver {BIAS_OHM} ohm to {BIAS_V} V; with
`terminated` {TERMINATOR_OHM} ohm between the two pins of each pair.
fault: open, the conductor is broken; shield, {SHORT_OHM} ohm from the receiver pin to the shield at {SHIELD_V} V; poor, 1000 ohm more
in the conductor; short, {SHORT_OHM} ohm between two receiver pins.
emf: which potentials drive a+ a- b+ b- r+ r-: {'; '.join(f'{n}: {" ".join(map(str, e))}' for n, e in enumerate(EMFS))} (V).
""",
        ["fault", "wire", "other", "wire_ohm", "terminated", "emf", "v1", "v2", "v3", "v4", "v5", "v6"],
        rows,
    )
