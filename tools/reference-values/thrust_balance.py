"""Thrust of each motor in a hover with tilted mounts, by a general constrained minimiser.

Newton's balances are written with vectors in three dimensions (arm x force, reaction torque along the tilted axis), not with
the short formula of the program; scipy.optimize.minimize (SLSQP) then finds the thrusts nearest to equal that meet them.
Prints one line a case: name, split, thrust shares. Run with /usr/bin/python3 (numpy, scipy).
"""
import numpy as np
from scipy.optimize import minimize


def solve(name, motors, kappa):
    """motors: (azimuth deg, arm m, +1 cw / -1 ccw seen from above, tilt across deg, right low positive)."""
    n = len(motors)
    columns = []
    for azimuth, arm, sense, tilt in motors:
        a, t = np.radians(azimuth), np.radians(tilt)
        out = np.array([np.cos(a), np.sin(a), 0.0])          # x forward, y right, z down
        right = np.array([-np.sin(a), np.cos(a), 0.0])       # right of the arm, seen from the hub looking out
        axis = np.cos(t) * np.array([0, 0, -1.0]) + np.sin(t) * right  # thrust of 1 N leans to the low side
        # A rotor turning clockwise from above turns about +z; the air pushes back about -z, along the tilted axis.
        reaction = sense * kappa * axis
        moment = np.cross(arm * out, axis) + reaction
        columns.append(np.concatenate([moment, [-axis[2]]]))
    rows = np.array(columns).T                                # roll, pitch, yaw moments and lift
    target = np.array([0, 0, 0, n])
    result = minimize(lambda x: np.sum((x - 1) ** 2), np.ones(n), method="SLSQP",
                      constraints={"type": "eq", "fun": lambda x: rows @ x - target},
                      options={"ftol": 1e-15, "maxiter": 500})
    speeds = np.sqrt(result.x)
    sense = np.array([m[2] for m in motors])
    split = (speeds[sense > 0].mean() - speeds[sense < 0].mean()) / speeds.mean()
    print(name, f"{split:.6f}", " ".join(f"{x:.5f}" for x in result.x), "ok" if result.success else result.message)


def ring(n, arm, tilts, first=30.0):
    return [(first + 360 * i / n, arm, 1 if i % 2 == 0 else -1, tilts[i]) for i in range(n)]


if __name__ == "__main__":
    solve("hexa_0.1_same_side", ring(6, 0.42, [0.1] * 6), 0.018)
    solve("hexa_mixed", ring(6, 0.42, [0.4, 0.0, 0.5, -0.05, 0.3, 0.05]), 0.018)
    solve("quad", ring(4, 0.25, [0.3, -0.1, 0.2, 0.0], 45.0), 0.015)
    solve("octo", ring(8, 0.60, [0.2, 0.1, -0.3, 0.0, 0.4, 0.1, 0.0, -0.1], 22.5), 0.021)
    coaxial = [(45 + 90 * (i % 4), 0.35, 1 if (i % 4 + i // 4) % 2 == 0 else -1, t)
               for i, t in enumerate([0.2, 0.1, 0.0, 0.3, -0.1, 0.1, 0.2, 0.0])]
    solve("coaxial_x8", coaxial, 0.018)
