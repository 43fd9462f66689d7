"""Writes scipy-fixtures.json beside this file: distribution values and fits that the tests compare against.

Run by hand with a SciPy of 1.17 or later (older ones carry errors of 5e-9 in t.ppf):  python3 scipy-fixtures.py
The JSON is committed (after `npm run format`); no test runs Python.
"""

import json
import pathlib

import numpy as np
import scipy
from scipy import optimize, special, stats

DEGREES = [1, 1.3, 2, 2.5, 3.7, 5, 7.5, 10, 16.76, 33.3, 100, 1234.5, 1e5]
TAILS = [1e-12, 1e-9, 1e-6, 1e-4, 0.001, 0.005, 0.025, 0.05, 0.1, 0.2, 0.25, 0.3, 0.4, 0.49]
QUANTILES = TAILS + [0.5, 0.6, 0.75, 0.9, 0.975, 0.999, 0.999999]


def f_isf(q, a, b):
    """Upper F quantile through the inverse incomplete beta; stats.f.isf goes through 1 - q and is 2e-5 off at 1e-12."""
    y = special.betaincinv(b / 2, a / 2, q)
    return float(b * (1 - y) / (a * y))


def distributions():
    t = [[x, df, float(special.stdtr(df, -x))] for df in DEGREES for x in [0.01, 0.3, 1, 1.96, 3.5, 8, 40, 1000]]
    t_upper = [[q, df, float(-special.stdtrit(df, q))] for df in DEGREES for q in TAILS]
    normal = [[z, float(stats.norm.sf(z))] for z in [-3, -0.5, 0, 0.1, 0.7, 1, 1.2, 1.96, 3, 5, 7, 10, 20, 37]]
    normal_upper = [[q, float(stats.norm.isf(q))] for q in TAILS + [1e-30, 1e-300]]
    chi2 = [
        [r * df, df, float(special.chdtr(df, r * df)), float(special.chdtrc(df, r * df))]
        for df in DEGREES
        for r in [0.01, 0.3, 0.8, 1, 1.2, 2, 5]
        if df * r < 2000 or 0.7 < r < 1.3
    ]
    chi2_quantile = [[p, df, float(stats.chi2.ppf(p, df))] for df in DEGREES for p in QUANTILES]
    chi2_upper = [[q, df, float(stats.chi2.isf(q, df))] for df in DEGREES for q in TAILS]
    pairs = [(a, b) for a in [1, 2, 3.5, 10, 40] for b in [1, 2.7, 8, 16.76, 30, 500]]
    f = [
        [x, a, b, float(special.fdtr(a, b, x)), float(special.fdtrc(a, b, x))]
        for a, b in pairs
        for x in [0.001, 0.2, 0.7, 1, 1.3, 3, 10, 60]
    ]
    f_upper = [[q, a, b, f_isf(q, a, b)] for a, b in pairs for q in TAILS]
    return {
        "tSurvival": t,
        "tUpperQuantile": t_upper,
        "normalSurvival": normal,
        "normalUpperQuantile": normal_upper,
        "chiSquare": chi2,
        "chiSquareQuantile": chi2_quantile,
        "chiSquareUpperQuantile": chi2_upper,
        "f": f,
        "fUpperQuantile": f_upper,
    }


def damper_force(b, v):
    """Offset, tanh drag, and linear and quadratic damping each way: the shape of a bench recording."""
    push = v > 0
    return (
        b[0]
        + b[1] * np.tanh(v / b[2])
        + np.where(push, b[3], b[4]) * v
        + np.where(push, b[5], b[6]) * v * np.abs(v)
    )


def nonlinear_fit(upper_drag):
    """Weighted, bounded fit of 200 noisy points; the noise is a fixed sequence of SciPy's generator."""
    n = 200
    v = 0.35 * np.sin(2 * np.pi * 7 * np.arange(n) / n + 0.1)
    truth = np.array([4.0, 1.6, 0.012, 55.0, 70.0, 90.0, 20.0])
    sigma = 0.02 + 0.05 * np.abs(v)
    force = damper_force(truth, v) + sigma * np.random.default_rng(20261125).standard_normal(n)
    start = np.array([0.0, 1.0, 0.03, 20.0, 20.0, 10.0, 10.0])
    low = np.array([-50, 0, 1e-4, 0, 0, -500, -500.0])
    high = np.array([50, upper_drag, 0.5, 500, 500, 500, 500.0])
    fit = optimize.least_squares(
        lambda b: (damper_force(b, v) - force) / sigma,
        start,
        bounds=(low, high),
        jac="3-point",
        x_scale="jac",
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
        max_nfev=2000,
    )
    free = [j for j in range(7) if fit.active_mask[j] == 0]
    rss = float(2 * fit.cost)
    covariance = np.linalg.inv(fit.jac[:, free].T @ fit.jac[:, free]) * rss / (n - len(free))
    errors = np.full(7, np.nan)
    errors[free] = np.sqrt(np.diag(covariance))
    return {
        "velocity": v.tolist(),
        "force": force.tolist(),
        "sigma": sigma.tolist(),
        "start": start.tolist(),
        "lower": low.tolist(),
        "upper": high.tolist(),
        "parameters": fit.x.tolist(),
        "standardErrors": [None if np.isnan(e) else float(e) for e in errors],
        "rss": rss,
    }


def linear_fit():
    """Weighted fit through SciPy's own QR: 60 rows, 5 columns of very different size."""
    rng = np.random.default_rng(7)
    n = 60
    u = np.linspace(-1, 1, n)
    design = np.column_stack([np.ones(n), 1e3 * u, 1e-4 * u**2, np.sign(u), 1e6 * np.cos(3 * u)])
    weights = rng.uniform(0.2, 5, n)
    y = design @ np.array([3.0, 2e-3, 5e3, -1.5, 1e-6]) + rng.standard_normal(n) / np.sqrt(weights)
    root = np.sqrt(weights)
    q, r = scipy.linalg.qr(design * root[:, None], mode="economic")
    beta = scipy.linalg.solve_triangular(r, q.T @ (y * root))
    rss = float(np.sum(((y - design @ beta) * root) ** 2))
    inverse = scipy.linalg.solve_triangular(r, np.eye(5))
    return {
        "columns": design.T.tolist(),
        "y": y.tolist(),
        "weights": weights.tolist(),
        "coefficients": beta.tolist(),
        "covariance": (inverse @ inverse.T * rss / (n - 5)).ravel().tolist(),
        "rss": rss,
    }


def clustered_fit():
    """Bias-reduced cluster-robust covariance and its degrees of freedom, each by its definition over single samples."""
    rng = np.random.default_rng(11)
    sizes = [9, 4, 12, 7, 3, 10, 8]
    cluster = np.repeat(np.arange(len(sizes)), sizes)
    n = len(cluster)
    u = rng.uniform(-1, 1, n)
    design = np.column_stack([np.ones(n), 50 * u, np.sign(u) * u**2, rng.standard_normal(n)])
    shared = rng.standard_normal(len(sizes))[cluster]
    y = design @ np.array([2.0, 0.1, -1.0, 0.3]) + 0.2 * rng.standard_normal(n) + 0.3 * shared
    bread = np.linalg.inv(design.T @ design)
    residual_maker = np.eye(n) - design @ bread @ design.T
    beta = bread @ design.T @ y
    residual = y - design @ beta
    adjusted = []
    for g in range(len(sizes)):
        own = cluster == g
        values, vectors = np.linalg.eigh(residual_maker[np.ix_(own, own)])
        root = vectors @ np.diag(values**-0.5) @ vectors.T
        adjusted.append((own, root @ design[own] @ bread))
    scores = [residual[own] @ part for own, part in adjusted]
    contrasts = [[1, 0, 0, 0], [0, 0, 1, 0], [0.5, 0, -1, 2], [0, 0.01, 1, 0]]
    freedoms = []
    for contrast in contrasts:
        seen = np.column_stack([residual_maker[:, own] @ part @ contrast for own, part in adjusted])
        values = np.linalg.eigvalsh(seen.T @ seen)
        freedoms.append(float(values.sum() ** 2 / (values**2).sum()))
    return {
        "columns": design.T.tolist(),
        "y": y.tolist(),
        "clusters": sizes,
        "coefficients": beta.tolist(),
        "covariance": sum(np.outer(s, s) for s in scores).ravel().tolist(),
        "contrasts": contrasts,
        "degreesOfFreedom": freedoms,
    }


if __name__ == "__main__":
    fixtures = {
        "scipy": scipy.__version__,
        "numpy": np.__version__,
        **distributions(),
        "boundedFit": nonlinear_fit(upper_drag=10.0),
        "fitOnBound": nonlinear_fit(upper_drag=1.2),
        "linearFit": linear_fit(),
        "clusteredFit": clustered_fit(),
    }
    lines = ",\n".join(f"{json.dumps(key)}: {json.dumps(value)}" for key, value in fixtures.items())
    pathlib.Path(__file__).with_suffix(".json").write_text("{\n" + lines + "\n}\n")
