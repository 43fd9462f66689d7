"""
The peer of the benchmark: offset and gas, presliding drag per direction with its Stribeck level carried through the
memory, linear and quadratic damping, moving mass, lag and start state, fitted by variable projection in NumPy and
SciPy, vectorised as far as it goes. Plain sampling only; no intervals, no findings, no drag that changes along the
stroke, no bends of damping.

    python3 scipy-fit.py FILE...   prints one JSON line for each file
"""

import json
import sys
import time

import numpy as np
import scipy
from scipy.optimize import least_squares
from scipy.signal import savgol_filter


def read(path):
    t, x_mm, f = np.loadtxt(path, delimiter=",", skiprows=1, unpack=True)
    return t, x_mm * 1e-3, f


def motion(t, x):
    """Savitzky-Golay, degree 5, over a sixth of the fastest stroke's period (3 Hz) each way."""
    step = (t[-1] - t[0]) / (len(t) - 1)
    half = max(4, round(0.055 / step))
    along = dict(window_length=2 * half + 1, polyorder=5, delta=step)
    return [savgol_filter(x, deriv=d, **along) for d in (0, 1, 2)]


def seal(x, v, presliding, excess, stribeck, start):
    """State u of the recursion u <- s*g + (u - s*g)*exp(-|dx|/(presliding*g)), s the sign of v, without a loop over samples."""
    g = 1 + excess * np.exp(-((v / stribeck) ** 2))
    decay = np.abs(np.diff(x, prepend=x[0])) / (presliding * g)
    gain = -np.expm1(-decay) * np.sign(v) * g
    total = np.cumsum(decay)
    u = np.empty_like(x)
    at, state = 0, start
    while at < len(x):
        before = total[at - 1] if at else 0.0
        end = max(at + 1, np.searchsorted(total, before + 500))
        grown = np.exp(total[at:end] - before)
        u[at:end] = (state + np.cumsum(gain[at:end] * grown)) / grown
        state, at = u[end - 1], end
    return u


def fit(t, x, f):
    x, v, a = motion(t, x)
    z = 2 * (x - x.min()) / np.ptp(x) - 1
    up, down = np.maximum(v, 0), np.minimum(v, 0)
    fixed = [np.ones_like(z), z, z * z, z**3, up, down, up * up, -down * down, a]

    def columns(p):
        u = seal(x, v, np.exp(p[0]), p[1], np.exp(p[2]), p[3])
        return np.array([np.maximum(u, 0), np.minimum(u, 0), *fixed])

    def delayed(c, lag):
        return np.array([np.interp(t - lag, t, one) for one in c]) if c.ndim > 1 else np.interp(t - lag, t, c)

    kept = {}

    def project(p):
        raw = columns(p)
        phi = delayed(raw, p[4])
        q, r = np.linalg.qr(phi.T)
        c = np.linalg.solve(r, q.T @ f)
        kept.update(p=p.copy(), raw=raw, q=q, c=c)
        return f - q @ (q.T @ f)

    def jacobian(p):
        """Kaufman 1975: the derivative of the columns times the coefficients, less what the columns explain of it."""
        if not np.array_equal(kept.get("p"), p):
            project(p)
        raw, q, c = kept["raw"], kept["q"], kept["c"]
        by = []
        for j, h in enumerate((1e-4, 1e-4, 1e-4, 1e-4)):
            moved = p.copy()
            moved[j] += h
            by.append(delayed(c @ (columns(moved) - raw), p[4]) / h)
        by.append(-np.gradient(delayed(c @ raw, p[4]), t))
        d = np.array(by).T
        return -(d - q @ (q.T @ d))

    start = np.array([np.log(0.08e-3), 0.3, np.log(4e-3), 0.0, 1e-3])
    low = [np.log(0.005e-3), -0.5, np.log(0.3e-3), -3, -0.01]
    high = [np.log(1e-3), 4, np.log(50e-3), 3, 0.06]
    found = least_squares(
        project, start, jacobian, bounds=(low, high), x_scale=[0.3, 0.3, 0.3, 0.5, 1e-3], ftol=1e-8, max_nfev=40
    )
    project(found.x)
    return 0.5 * (kept["c"][0] + kept["c"][1]), found.nfev


for path in sys.argv[1:]:
    begun = time.perf_counter()
    t, x, f = read(path)
    parsed = time.perf_counter()
    mean, evaluations = fit(t, x, f)
    fit_s = time.perf_counter() - parsed
    runs = 3 if fit_s < 5 else 2
    for _ in range(1, runs):
        again = time.perf_counter()
        fit(t, x, f)
        fit_s = min(fit_s, time.perf_counter() - again)
    print(
        json.dumps(
            {
                "samples": len(t),
                "parse_s": parsed - begun,
                "fit_s": fit_s,
                "mean_N": mean,
                "evaluations": evaluations,
                "runs": runs,
                "scipy": scipy.__version__,
                "numpy": np.__version__,
            }
        )
    )
