"""Envelopes of three lines, two of which overlap, by dense matrices, for tests/Checks/EnvelopeChecks.cs.

Each envelope is a constant, hat functions of speed and hat functions of time; normal equations B' G B of generalised least squares, priors
of the two kinds of knots by expectation maximisation (Dempster, Laird, Rubin 1977), then mean and variance of the quadratic form c' W c of a
complex normal c (Mathai, Provost, Quadratic Forms in Random Variables, 1992; from memory). Whole matrices, no shared sums.
Run: /usr/bin/python3 tools/reference-values/envelopes.py
"""
import numpy as np
from scipy import linalg

STEP_S, COUNT, HALF = 0.032, 101, 2
LINES = [(0, 1), (1, 1), (0, 3)]
RAMPS = [(39.5, 40.5), (41.2, 41.0)]
NOISE = np.array([[0.0040, 0.0050, 0.0060], [0.0060, 0.0050, 0.0040], [0.0020, 0.0030, 0.0010]])
GROUPS = [[0, 1], [2]]
SIZES = np.array([[0.9, 0.5j, -0.3], [0.6 + 0.3j, 0.2, 0.4j], [0.3, 0.1 - 0.2j, 0.25]])
CORRELATION_SPEED, CORRELATION_S, LOADING, KNOT_S, ROUNDS = 0.02, 8, 1e-3, 1.6, 4
CELL, NEAR, FAR, FEW, TAPER_S = 0.004, 2, 5, 0.03, 0.5

t = np.arange(COUNT) * STEP_S
long = t[-1]
angles = [2 * np.pi * (a * t + 0.5 * (b - a) / long * t * t) for a, b in RAMPS]


def speed_hz(angle):
    low, high = np.maximum(0, np.arange(COUNT) - HALF), np.minimum(COUNT - 1, np.arange(COUNT) + HALF)
    return (angle[high] - angle[low]) / (2 * np.pi * (high - low) * STEP_S)


speeds = [speed_hz(a) for a in angles]


def speed_knots(x):
    """Two cells apart where 3 % of the samples lie in the next two cells, else five."""
    counts = np.bincount(((x - x.min()) / CELL).astype(int), minlength=1000)
    knots, cell = [x.min()], 0
    while knots[-1] < x.max():
        cell += NEAR if counts[cell:cell + NEAR].sum() >= FEW * len(x) else FAR
        knots.append(x.min() + cell * CELL)
    return np.array(knots)


def hats(x, knots):
    return np.array([np.interp(x, knots, np.eye(len(knots))[k]) for k in range(len(knots))]).T


def basis(rotor):
    x = speeds[rotor] / speeds[rotor].mean() - 1
    v = speed_knots(x)
    s = np.linspace(0, long, int(np.rint(long / KNOT_S)) + 1)
    gap = lambda k: np.abs(k[:, None] - k[None, :])
    inverses = (linalg.inv(np.exp(-0.5 * (gap(v) / CORRELATION_SPEED) ** 2) + LOADING * np.eye(len(v))),
                linalg.inv(np.exp(-gap(s) / CORRELATION_S) + LOADING * np.eye(len(s))))
    return np.hstack([np.ones((COUNT, 1)), hats(x, v), hats(t, s)]), inverses


bases = [basis(r) for r, _ in LINES]
edge = np.minimum(np.arange(COUNT), COUNT - 1 - np.arange(COUNT)) / (TAPER_S / STEP_S)
weights = np.where(edge >= 1, 1, np.sin(np.pi / 2 * np.minimum(edge, 1)) ** 2)
variance = [0.004 + 0.0002 * np.arange(COUNT), 0.02 - 0.0001 * np.arange(COUNT)]
coherence = [np.exp(-0.5 * k * k * variance[r]) for r, k in LINES]
units = [np.exp(1j * k * angles[r]) for r, k in LINES]


def overlap(i, j):
    """What the triangle of the demodulation leaves of line j along line i."""
    apart = LINES[j][1] * speeds[LINES[j][0]] - LINES[i][1] * speeds[LINES[i][0]]
    response = np.where(np.pi * STEP_S * np.abs(apart) > 3, 0, np.sinc(STEP_S * apart) ** 2)
    return response * np.conj(units[i]) * units[j]


def wobble(a, b, c):
    """Small whole numbers that look irregular, -3 to 3, as the test makes them."""
    return (3 * a + 5 * b + 2 * c) % 7 - 3


k = np.arange(COUNT)
envelope = [[SIZES[l, axis] * (1 + 0.3 * np.cos(0.05 * k + l)) for axis in range(3)] for l in range(3)]
sums = [[sum(overlap(l, o) * envelope[o][axis] for o in range(3)) + 0.02 * (wobble(l, axis, k) + 1j * wobble(l, axis + 4, 3 * k))
         for axis in range(3)] for l in range(3)]


def fit(group):
    matrices = [bases[l][0] for l in group]
    at = np.cumsum([0] + [m.shape[1] for m in matrices])
    noise = NOISE[group].mean(axis=0)
    normal = np.zeros((at[-1], at[-1]), complex)
    for i, l in enumerate(group):
        for j, o in enumerate(group):
            between = weights * (1 if i == j else coherence[l] * coherence[o] * overlap(l, o))
            normal[at[i]:at[i + 1], at[j]:at[j + 1]] = matrices[i].T @ (between[:, None] * matrices[j])
    right = np.array([np.concatenate([matrices[i].T @ (weights * coherence[l] * sums[l][axis]) for i, l in enumerate(group)])
                      / np.sqrt(noise[axis]) for axis in range(3)])
    level = [max(1, np.mean(np.abs(right[:, at[i]] / normal[at[i], at[i]].real) ** 2)) for i in range(len(group))]
    spread = [[0.05 * v, 0.01 * v] for v in level]
    parts = lambda i: [(slice(at[i] + 1, at[i] + 1 + len(bases[group[i]][1][0])), bases[group[i]][1][0]),
                       (slice(at[i] + 1 + len(bases[group[i]][1][0]), at[i + 1]), bases[group[i]][1][1])]

    def prior(used):
        p = np.zeros_like(normal)
        for i in range(len(group)):
            p[at[i], at[i]] += 1e-9
            for (own, inverse), v in zip(parts(i), used[i]):
                p[own, own] += inverse / v
        return p

    for _ in range(ROUNDS):
        used = spread
        covariance = linalg.inv(normal + prior(used))
        c = (covariance @ right.T).T
        second = 3 * covariance + sum(np.outer(a, a.conj()) for a in c)
        spread = [[np.trace(inverse @ second[own, own]).real / (3 * len(inverse)) for own, inverse in parts(i)] for i in range(len(group))]
    for i, l in enumerate(group):
        own = slice(at[i], at[i + 1])
        w, p = matrices[i].T @ matrices[i] / COUNT, covariance[own, own]
        alone = linalg.inv(normal[own, own] + prior(spread)[own, own])
        axes = [noise[a] * ((c[a, own].conj() @ w @ c[a, own]).real + np.trace(w @ p).real - 2 * (p @ w)[0, 0].real) / 2 for a in range(3)]
        of = sum(noise[a] ** 2 * (2 * (c[a, own].conj() @ w @ p @ w @ c[a, own]).real + np.trace(w @ p @ w @ p).real) / 4 for a in range(3))
        print("line", l, "variances", [float(v * noise.mean()) for v in spread[i]])
        print("  axes", [float(a) for a in axes], "deviation", float(np.sqrt(of)), "inflation", float((np.trace(w @ p) / np.trace(w @ alone)).real))
        made = matrices[i] @ c[:, own].T * np.sqrt(noise)
        print("  envelope at 20:", [complex(v) for v in made[20]], "at 77:", [complex(v) for v in made[77]])


for g in GROUPS:
    fit(g)
