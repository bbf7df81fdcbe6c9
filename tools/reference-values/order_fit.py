"""Weighted least squares of two close lines by scipy, for tests/VibeCheck.Core.Tests/Orders/JointFitTests.cs.

The full design (cos, sin of both lines and no shortcut) on every sample, Hann weights. The signal is made from whole numbers by a linear
congruential generator (Numerical Recipes constants) so that C# makes the same doubles. Run: /usr/bin/python3 tools/reference-values/order_fit.py
"""
import numpy as np
import scipy
from scipy import linalg

FS, N = 1000.0, 4096


def noise(count, seed):
    state, out = seed, []
    for _ in range(count):
        state = (1664525 * state + 1013904223) % 2**32
        out.append(state / 2**32 - 0.5)
    return np.array(out)


n = np.arange(N + 1)
a, b = 2 * np.pi * 50.0 * n / FS, 2 * np.pi * 50.6 * n / FS
y = 1.0 * np.cos(a + 0.3) + 0.4 * np.cos(b - 1.1) + np.concatenate([noise(N, 7), [0.0]])
w = 0.5 - 0.5 * np.cos(2 * np.pi * n / N)
design = np.column_stack([np.cos(a), -np.sin(a), np.cos(b), -np.sin(b)])
x, *_ = linalg.lstsq(np.sqrt(w)[:, None] * design, np.sqrt(w) * y)
print("numpy", np.__version__, "scipy", scipy.__version__)
print("line a", repr(float(x[0])), repr(float(x[1])))
print("line b", repr(float(x[2])), repr(float(x[3])))
