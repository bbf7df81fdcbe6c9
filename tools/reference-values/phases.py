"""Angles of rotors from noisy phasors by dense least squares, for tests/Checks/PhaseChecks.cs, and speeds from noisy readings, for
tests/Checks/SpeedSmoothingChecks.cs.

Posterior of a Gaussian model: covariance inv(J' J + prior precision), mean covariance (J' residual), all samples in one matrix; no
recursion but that of the coherence exp(-k² variance / 2) by which the filter weighs an order. Lines that overlap are measured together:
their Gram matrix G = L L' makes inv(L) sums an independent measurement of L' phasors. Angles in 1e-7 rad, so that the model is linear.
Run: /usr/bin/python3 tools/reference-values/phases.py
"""
import numpy as np
import scipy
from scipy import linalg

ENVELOPE_S, RAD = 0.032, 1e-7


def wobble(a, b, c):
    """Small whole numbers that look irregular, -3 to 3, as the test makes them."""
    return (3 * a + 5 * b + 2 * c) % 7 - 3


def measured(lines, phasors, hz, correction, b):
    """Jacobian and residual of one sample, both over the root of the variance 1/2 of a real or imaginary part; weights come on top."""
    rows, rest = [], []
    n, rotors = len(lines), len(hz)
    angle = [2 * np.pi * hz[r] * b * ENVELOPE_S + correction[r][b] for r in range(rotors)]
    unit = [np.exp(1j * k * angle[r]) for r, k in lines]
    gram = np.array([[np.sinc(ENVELOPE_S * (lines[o][1] * hz[lines[o][0]] - lines[l][1] * hz[lines[l][0]])) ** 2
                      * np.conj(unit[l]) * unit[o] for o in range(n)] for l in range(n)])
    for l in range(n):
        for o in range(n):
            if abs(lines[o][1] * hz[lines[o][0]] - lines[l][1] * hz[lines[l][0]]) >= 24:
                gram[l][o] = 0
    low = linalg.cholesky(gram, lower=True)
    for axis in range(3):
        c = phasors[:, axis]
        jacobian = np.zeros((n, rotors), complex)
        for l, (r, k) in enumerate(lines):
            jacobian[l, r] = 1j * k * c[l]
        error = np.array([1j * k * c[l] * wobble(l, axis, b) * RAD for l, (r, k) in enumerate(lines)])
        rows.append(low.conj().T @ jacobian)
        rest.append(low.conj().T @ error)
    return rows, rest


def filtered(lines, phasors, weights, hz, correction, variance_a_second, backward):
    """Each sample's angle from the samples up to it."""
    count, rotors = len(correction[0]), len(hz)
    order = list(range(count))[::-1] if backward else list(range(count))
    corr = np.array(correction)
    precision, right, found = np.zeros((0, 0)), np.zeros(0), np.zeros((rotors, count))
    step = variance_a_second * ENVELOPE_S
    for i, b in enumerate(order):
        size = (i + 1) * rotors
        grown = np.zeros((size, size))
        grown[: size - rotors, : size - rotors] = precision
        right = np.concatenate([right, np.zeros(rotors)])
        own = slice(size - rotors, size)
        if i == 0:
            grown[own, own] += np.eye(rotors) / 0.05
            right[own] += corr[:, b] / 0.05
        else:
            last = slice(size - 2 * rotors, size - rotors)
            for one, other, sign in ((own, own, 1), (last, last, 1), (own, last, -1), (last, own, -1)):
                grown[one, other] += sign * np.eye(rotors) / step
        ahead = np.diag(linalg.inv(grown))[own]
        rows, rest = measured(lines, phasors, hz, correction, b)
        coherence = np.array([np.exp(-0.5 * k * k * ahead[r]) for r, k in lines])
        for axis in range(3):
            # Lines that overlap have equal coherence and weight in these cases; lines apart have L = 1.
            scale = (coherence * np.sqrt(2 * weights[:, axis]))[:, None]
            j, e = rows[axis] * scale, rest[axis] * scale[:, 0]
            j, e = np.vstack([j.real, j.imag]), np.concatenate([e.real, e.imag])
            grown[own, own] += j.T @ j
            right[own] += j.T @ (e + j @ corr[:, b])
        precision = grown
        found[:, b] = linalg.solve(precision, right)[own] - corr[:, b]
    return found / RAD


def smoothed(lines, phasors, weights, hz, correction, variance_a_second):
    """All angles from all samples, and their variances."""
    count, rotors = len(correction[0]), len(hz)
    corr, step = np.array(correction), variance_a_second * ENVELOPE_S
    size = count * rotors
    precision, right = 1e-6 / step * np.eye(size), np.zeros(size)
    for b in range(count):
        own = slice(b * rotors, (b + 1) * rotors)
        if b > 0:
            last = slice((b - 1) * rotors, b * rotors)
            for one, other, sign in ((own, own, 1), (last, last, 1), (own, last, -1), (last, own, -1)):
                precision[one, other] += sign * np.eye(rotors) / step
        rows, rest = measured(lines, phasors, hz, correction, b)
        for axis in range(3):
            scale = np.sqrt(2 * weights[axis])
            j, e = rows[axis] * scale, rest[axis] * scale
            j, e = np.vstack([j.real, j.imag]), np.concatenate([e.real, e.imag])
            precision[own, own] += j.T @ j
            right[own] += j.T @ (e + j @ corr[:, b])
    covariance = linalg.inv(precision)
    x = (covariance @ right).reshape(count, rotors).T
    return (x - corr) / RAD, np.diag(covariance).reshape(count, rotors).T


def level(values, noise, walk):
    """Local level model, nothing known of the first level: generalised least squares."""
    n = len(values)
    steps = np.diff(np.eye(n), axis=0)
    return linalg.solve(np.eye(n) / noise + steps.T @ steps / walk, values / noise)


def show(name, values):
    print(name)
    for row in np.atleast_2d(values):
        print("   ", [float(v) for v in row])


print("numpy", np.__version__, "scipy", scipy.__version__)
drift = lambda r, count: [RAD * (2 * b - r * b * b / 2) for b in range(count)]
one = ([(0, 1), (0, 3)], np.array([[1 + 0.2j, 0.3 - 0.4j, 0.5j], [0.2, -0.1 + 0.3j, 0.25 - 0.05j]]),
       np.array([[4.0, 9, 2], [12, 5, 7]]), [40.0], [drift(0, 6)], 0.5)
show("one rotor, forward", filtered(*one, False))
show("one rotor, backward", filtered(*one, True))
polar = lambda r, a: r * np.exp(1j * a)
two = ([(0, 2), (1, 2)], np.array([[1, polar(0.6, 0.4), 0.3], [polar(1, 0.7), polar(0.6, -1.1), polar(0.3, 2)]]),
       np.array([[4.0, 9, 2], [4, 9, 2]]), [20.0, 22.5], [drift(0, 6), drift(1, 6)], 0.5)
show("two rotors, forward", filtered(*two, False))
show("two rotors, backward", filtered(*two, True))
phasors = np.array([[1, polar(0.6, 0.4), 0.3], [polar(0.4, 0.2), 0.2, polar(0.5, 3)], [polar(0.8, 0.7), polar(0.9, -1.1), polar(0.2, 2)]])
floor = 1e-5 * np.sum(np.abs(phasors) ** 2)
all_at_once = smoothed([(0, 32), (0, 33), (1, 32)], phasors, 1 / (np.array([0.0045, 0.004, 0.0035]) + floor), [10.0, 10.15],
                       [drift(0, 6), drift(1, 6)], 1e-4)
show("three lines, steps", all_at_once[0])
show("three lines, variances", all_at_once[1])
for rpm in ([3000, 3030, 3010, 3060, 3100, 3080, 3140, 3120, 3090, 3160, 3150, 3230.0],
            [3000, 3012, 2994, 3018, 3006, 3030, 3015, 3048, 3027, 3060, 3051, 3075.0]):
    d = np.diff(rpm)
    noise = -np.sum(d[1:] * d[:-1]) / (len(rpm) - 2)
    walk = np.sum(d * d) / (len(rpm) - 1) - 2 * noise
    print("noise", noise, "walk", walk)
    show("local level", level(np.array(rpm), noise, max(walk, 1e-4 * noise)))
