"""Values of scipy.signal.welch and find_peaks for tests/Checks/SpectrumChecks.cs.

The signal is made from whole numbers by a linear congruential generator (Numerical Recipes constants), so that C# makes the
same doubles. Run: /usr/bin/python3 tools/reference-values/welch.py
"""
import numpy as np
import scipy
from scipy import signal

N, FS = 6000, 1000.0


def noise(count, seed):
    state, out = seed, []
    for _ in range(count):
        state = (1664525 * state + 1013904223) % 2**32
        out.append(state / 2**32 - 0.5)
    return np.array(out)


t = np.arange(N) / FS
x = 9.81 + np.sin(2 * np.pi * 123.4 * t) + 0.25 * np.sin(2 * np.pi * 250.0 * t) + noise(N, 12345)

print("numpy", np.__version__, "scipy", scipy.__version__)
for window, length, overlap in (("hann", 512, 256), ("hann", 1024, 768), ("blackman", 256, 128), ("boxcar", 256, 0), ("flattop", 512, 256)):
    f, p = signal.welch(x, FS, window=window, nperseg=length, noverlap=overlap)
    picks = [0, 1, 2, length // 8, length // 4, length // 2 - 1, length // 2]
    print(window, length, overlap, "sum", repr(float(p.sum())))
    for k in picks:
        print("   ", k, repr(float(p[k])))

f, p = signal.welch(x, FS, window="hann", nperseg=512, noverlap=256)
level = 10 * np.log10(p)
found, about = signal.find_peaks(level, prominence=3.5)
print("peaks", [int(k) for k in found])
print("prominences", [float(v) for v in about["prominences"]])
