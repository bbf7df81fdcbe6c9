"""What averaging cannot take out of a display in steps, by numerical integration.

A reading is the truth plus normal scatter (standard deviation s), rounded to whole steps (1 here). The mean of endless readings
still misses the truth by E[round(m + e)] - m; this prints the root mean square of that over truths m spread evenly in a step, and
the standard deviation that single readings show about their own mean. Run with /usr/bin/python3 (numpy, scipy).
"""
import numpy as np
from scipy.stats import norm

for s in (0.1, 0.2, 0.3, 0.5):
    m = (np.arange(4000) + 0.5) / 4000 - 0.5
    k = np.arange(-8, 9)
    p = norm.cdf((k[None, :] + 0.5 - m[:, None]) / s) - norm.cdf((k[None, :] - 0.5 - m[:, None]) / s)
    mean = (p * k).sum(axis=1)
    var = (p * k ** 2).sum(axis=1) - mean ** 2
    print(f"scatter {s}: left {np.sqrt(np.mean((mean - m) ** 2)):.6f}, shown {np.sqrt(var.mean()):.6f}")
