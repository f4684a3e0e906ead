"""The axis as a linear loop: margins, answers to a step and a ramp, following error, from python-control.

Presets are typed in a second time, the rotary table in rad. Plant: two masses and a spring without play, viscous friction, no
dry friction, as a state-space system. Dead times are exact in the margins and rational (four first-order all-passes) in the answers over time.
"""

import control
import numpy as np

from table import write

# r, J, M, k, c, b_x, b_m, Kp, Tn, Kv, kff, tau_i, tau_v, Tv, Tp, position taken from the table
PRESETS = {
    "router-gantry-x": (2.0e-3, 6.0e-4, 180, 2e7, 3200, 150, 1e-4, 0.13, 0.040, 20, 0.8, 0.6e-3, 0.5e-3, 0.25e-3, 1e-3, True),
    "router-gantry-z": (10e-3 / (2 * np.pi), 1.9e-4, 38, 6e7, 2300, 120, 5e-5, 0.065, 0.025, 25, 0.5, 0.5e-3, 0.3e-3,
                        0.25e-3, 1e-3, False),
    "mill-x": (5e-3 / (2 * np.pi), 5.5e-4, 130, 1.4e8, 6800, 700, 2e-4, 0.18, 0.020, 100 / 3, 0.0, 0.5e-3, 0.3e-3,
               0.25e-3, 0.5e-3, True),
    "mill-z": (5e-3 / (2 * np.pi), 4.5e-4, 95, 1.2e8, 6000, 900, 2e-4, 0.15, 0.020, 100 / 3, 0.0, 0.5e-3, 0.3e-3,
               0.25e-3, 0.5e-3, True),
    "rotary-table": (1 / 90, 8.0e-5, 0.9, 2.5e5, 25, 4, 3e-5, 0.030, 0.030, 25, 0.5, 0.6e-3, 0.5e-3, 0.25e-3, 1e-3, True),
}  # fmt: skip


def plant(name):
    """Torque to motor speed and table speed; states: motor speed, table speed, deflection."""
    r, J, M, k, c, bx, bm = PRESETS[name][:7]
    a = [[-(bm + r * r * c) / J, r * c / J, -r * k / J], [r * c / M, -(c + bx) / M, k / M], [r, -1, 0]]
    return control.ss(a, [[1 / J], [0], [0]], [[1, 0, 0], [0, 1, 0]], [[0], [0]])


def open_loops(name, w):
    """Frequency responses of the open speed loop and the open position loop."""
    r, _, _, _, _, _, _, kp, tn, kv, _, tau_i, tau_v, tv, tp, _ = PRESETS[name]
    s = 1j * w
    motor, table = control.frequency_response(plant(name), w).frdata[:, 0, :]
    forward = kp * (1 + 1 / (s * tn)) * motor * np.exp(-1.5 * s * tv) / (1 + s * tau_i)
    velocity = forward / (1 + s * tau_v)
    closed = forward / (1 + velocity)
    position = kv / s * closed * table / (r * motor) * np.exp(-0.5 * s * tp)
    return velocity, position


def margin_rows():
    w = np.geomspace(1, 1e4, 40_000)
    rows = []
    for name in PRESETS:
        row = [name]
        for response in open_loops(name, w):
            frd = control.frd(response, w, smooth=True)
            gains, phases, _, w_gain, w_phase, _ = control.stability_margins(frd, returnall=True)
            # A lead beyond 90 degrees counts as a lag of less than 270, in line with the lead of the phase itself.
            phases = [p + 360 if p < -90 else p - 360 if p > 270 else p for p in phases]
            above = [i for i, g in enumerate(gains) if g > 1]
            g = min(above, key=lambda i: gains[i])
            p = int(np.argmin(phases))
            row += [phases[p], w_phase[p], phases[int(np.argmin(w_phase))], 20 * np.log10(gains[g]),
                    w_gain[g] / (2 * np.pi)]  # fmt: skip
        rows.append(row)
    return rows


def delay(t):
    """Four first-order all-passes in a row, a quarter of the dead time each: unlike one of order 4 well conditioned."""
    quarter = control.ss([[-8 / t]], [[16 / t]], [[1]], [[-1]])
    return quarter * quarter * quarter * quarter


def closed_position_loop(name):
    """From commanded place and commanded speed to the place in the loop."""
    r, _, _, _, _, _, _, kp, tn, kv, kff, tau_i, tau_v, tv, tp, scale = PRESETS[name]
    parts = {
        "plant": (plant(name), ["torque"], ["omega", "v"]),
        "drive": (delay(1.5 * tv) * control.ss(control.tf([1], [tau_i, 1])), ["wanted"], ["torque"]),
        "pi": (control.ss(control.tf([kp * tn, kp], [tn, 0])), ["speed_error"], ["wanted"]),
        # The estimate is the mean over the last period: half of it late, then filtered.
        "estimate": (delay(0.5 * tv) * control.ss(control.tf([1], [tau_v, 1])), ["omega"], ["estimated"]),
        "hold": (delay(0.5 * tp), ["v_asked"], ["v_held"]),
        "place": (control.ss(control.tf([1], [1, 0])), ["v_loop"], ["x"]),
    }
    systems = [control.ss(s, inputs=i, outputs=o, name=n) for n, (s, i, o) in parts.items()]
    gain = control.ss([], [], [], [[1 if scale else 0, 0 if scale else r]], inputs=["v", "omega"], outputs=["v_loop"],
                      name="source")  # fmt: skip
    outer = control.ss([], [], [], [[kv, -kv, kff]], inputs=["x_ref", "x", "v_cmd"], outputs=["v_asked"], name="outer")
    inner = control.ss([], [], [], [[1 / r, -1]], inputs=["v_held", "estimated"], outputs=["speed_error"], name="inner")
    return control.interconnect(systems + [gain, outer, inner], inputs=["x_ref", "v_cmd"], outputs=["x"])


def answer_rows():
    """Step of the commanded place by 1, and error behind a ramp of speed 1."""
    t = np.arange(0, 0.4001, 50e-6)
    rows = []
    for name in PRESETS:
        loop = closed_position_loop(name)
        step = control.forced_response(loop, t, [np.ones_like(t), np.zeros_like(t)]).outputs.squeeze()
        ramp = control.forced_response(loop, t, [t, np.ones_like(t)]).outputs.squeeze()
        for i in range(0, len(t), 80):
            rows.append([name, t[i], step[i], t[i] - ramp[i]])
    return rows


def following_rows():
    """Error far behind the start of a ramp, per speed: by the final value of the linear loop."""
    rows = []
    for name in PRESETS:
        loop = closed_position_loop(name)
        t = np.arange(0, 3.0, 1e-3)
        ramp = control.forced_response(loop, t, [t, np.ones_like(t)]).outputs.squeeze()
        limit = {"router-gantry-x": 0.8, "router-gantry-z": 0.4, "rotary-table": 2.0}.get(name, 0.25)
        for share in (0.02, 0.1, 0.25, 0.5, 1.0):
            rows.append([name, share * limit, share * limit * (t[-1] - ramp[-1])])
    return rows


def make():
    write(
        __name__,
        "axis_margins",
        """
Margins of the open speed loop and the open position loop of each machine (control.stability_margins on the frequency
response): smallest phase margin (deg) and its frequency (rad/s), phase margin at the lowest crossing (deg), smallest
gain margin (dB) and its frequency (Hz). Phase margins lie between -90 and 270 deg.
""",
        ["machine", "speed_phase_deg", "speed_phase_rad_s", "speed_first_deg", "speed_gain_db", "speed_gain_hz",
         "place_phase_deg", "place_phase_rad_s", "place_first_deg", "place_gain_db", "place_gain_hz"],
        margin_rows(),
        also=[control],
    )  # fmt: skip
    write(
        __name__,
        "axis_answers",
        """
Closed position loop without dry friction (control.forced_response): place in the loop after a unit step of the
commanded place at time 0, and following error (s) behind a ramp of unit speed with its feed-forward.
""",
        ["machine", "t_s", "step", "ramp_error_s"],
        answer_rows(),
        also=[control],
    )
    write(
        __name__,
        "axis_following",
        """
Following error (m; rotary table: rad) long after the start of a ramp, at five speeds (m/s; rad/s)
(control.forced_response over 3 s).
""",
        ["machine", "speed", "error"],
        following_rows(),
        also=[control],
    )
