"""Reference values for tests/Checks/StatisticsChecks.cs, made with scipy (python3-scipy). Run: python3 statistics.py"""
import numpy as np
from scipy import stats

run = [2.1, 2.4, 2.0, 2.9, 3.1, 2.8, 2.2, 2.6, 3.3, 2.7, 2.5, 3.0]
mean, sd, n = np.mean(run), np.std(run, ddof=1), len(run)
print("t interval of the mean", stats.t.interval(0.95, n - 1, mean, sd / np.sqrt(n)))
print("t 0.975", [stats.t.ppf(0.975, v) for v in (1, 2, 3.5, 4, 9, 19, 199, 1000)])
x = [0.41, 0.02, 0.52, 0.04, 0.30, 0.05, 0.17, 0.33]
y = [7.8, 0.4, 7.5, 0.2, 6.3, -0.2, 2.9, 5.1]
print("theilslopes 0.95", stats.theilslopes(y, x, 0.95))
print("kendall exact", stats.kendalltau(x, y, method="exact"))
