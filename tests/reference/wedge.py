"""A wedge test worked out with scipy: least squares, Student's t, Fieller, and posteriors by numerical integration.

Shares no code with the program. The fixture it writes is committed, so that nothing here is needed to run the tests.

    pip install scipy
    python3 tests/reference/wedge.py > tests/fixtures/wedge.json
"""

import json
import math
import platform
import sys

import numpy
import scipy
from scipy import stats
from scipy.optimize import brentq

FIVE = ([20, 40, 80, 160, 320], [0.097, 0.216, 0.359, 0.479, 0.626])

# Absorbance of a film of 93 micrometres (G. P. Nordin 2016, MIT licence; Gong et al. 2015, RSC Adv. 5:106621).
OPTICAL = {
    365: [[0, 0.1621], [0.1, 0.3529], [0.15, 0.4931], [0.2, 0.5514], [0.4, 0.8297]],
    385: [[0, 0.1449], [0.1, 0.3905], [0.15, 0.5654], [0.2, 0.6497], [0.4, 1.0016]],
    405: [[0, 0.0982], [0.1, 0.4148], [0.15, 0.6422], [0.2, 0.7539], [0.4, 1.2281]],
}


def fit(seconds, depths):
    x, y, n = numpy.log(seconds), numpy.array(depths), len(seconds)
    line = stats.linregress(x, y)
    t = stats.t.ppf(0.975, n - 2)
    left = y - line.intercept - line.slope * x
    scatter = math.sqrt((left ** 2).sum() / (n - 2))
    sxx = ((x - x.mean()) ** 2).sum()
    log_first = -line.intercept / line.slope
    error = scatter / line.slope * math.sqrt(1 / n + (x.mean() - log_first) ** 2 / sxx)

    # Fieller from its definition: the abscissae at which a line of height 0 is not refused by the t-test.
    def refusal(at):
        height = line.intercept + line.slope * at
        return height ** 2 - t ** 2 * scatter ** 2 * (1 / n + (at - x.mean()) ** 2 / sxx)

    low = brentq(refusal, log_first - 60 * error, log_first, xtol=1e-15)
    high = brentq(refusal, log_first, log_first + 60 * error, xtol=1e-15)
    share = 1 / n + (math.log(50) - x.mean()) ** 2 / sxx
    return {
        "slope": line.slope, "intercept": line.intercept, "scatter": scatter, "explained": line.rvalue ** 2,
        "slope_error": line.stderr, "first_set": math.exp(log_first), "log_first_set_error": error,
        "slope_within": [line.slope - t * line.stderr, line.slope + t * line.stderr],
        "fieller": [math.exp(low), math.exp(high)],
        "at_50": [line.intercept + line.slope * math.log(50), t * scatter * math.sqrt(share),
                  t * scatter * math.sqrt(1 + share)],
    }


def series(points):
    c = [p[0] for p in points]
    per_mm = [p[1] * math.log(10) / 0.093 for p in points]
    line = stats.linregress(c, per_mm)
    return {"points": points, "slope": line.slope, "intercept": line.intercept, "explained": line.rvalue ** 2}


MEAN = numpy.zeros(2)
COVARIANCE = numpy.array([[0.0625, 0.06], [0.06, 0.16 + 0.35 ** 2 - 0.14 ** 2]])
LAPSE, LAMP, HAND, SESSION, STATED, SKIN, LEAST_SKIN = 0.05, 0.14, 0.10, 0.10, 4, 0.3, 0.1


def log_likelihood(a, b, evidence):
    """a = ln Dp, b = ln tc."""
    dp, total = math.exp(a), 0.0
    for kind, *what in evidence:
        if kind == "wedge":
            nothing = [s for s, d, _ in what[0] if d == 0]
            if nothing:
                # Not even the least skin of any of them set, or one slip explains them all.
                over = numpy.array([math.log(s) - b - LEAST_SKIN / dp for s in nothing])
                total += math.log(LAPSE / 2 + (1 - LAPSE) * stats.norm.cdf(-over / LAMP).prod())
            points = [point for point in what[0] if point[1] > 0]
            n = len(points)
            if n == 0:
                continue
            off = numpy.array([d - dp * (math.log(s) - b) for s, d, _ in points])
            cov = numpy.diag([u ** 2 for _, _, u in points]) + (dp * SESSION) ** 2
            _, det = numpy.linalg.slogdet(cov)
            total += stats.multivariate_t.logpdf(off, loc=numpy.zeros(n), shape=cov, df=STATED)
            assert math.isfinite(det)
        else:
            thickness, seconds, times = what
            if kind == "firm":
                # Felt from above to be hard, or tacky: its skin has set.
                kind, thickness = "hard", min(thickness, SKIN)
            y = math.log(seconds) - b - thickness / dp
            w = math.hypot(LAMP, HAND / dp)
            if kind == "hard":
                # A habit: one slip for all of it.
                total += math.log(LAPSE / 2 + (1 - LAPSE) * stats.norm.cdf(y / w) ** times)
            else:
                assert kind == "soft"
                # So many layers, each felt by itself.
                total += times * math.log(LAPSE / 2 + (1 - LAPSE) * stats.norm.cdf(-y / w))
    return total


def posterior(evidence, reach=5.5, least=-16):
    """Means and covariance of (ln Dp, ln tc) by a plain fine grid over the whole prior."""
    inverse = numpy.linalg.inv(COVARIANCE)
    grid_a = numpy.linspace(-reach * 0.25, reach * 0.25, 401)
    grid_b = numpy.linspace(-reach * 0.513, reach * 0.513, 401)
    logs = numpy.empty((len(grid_a), len(grid_b)))
    for i, a in enumerate(grid_a):
        for j, b in enumerate(grid_b):
            v = numpy.array([a, b])
            logs[i, j] = -0.5 * v @ inverse @ v
    # The likelihood is slow in Python, so it is only asked where the prior leaves a chance.
    for i, a in enumerate(grid_a):
        for j, b in enumerate(grid_b):
            if logs[i, j] > least:
                logs[i, j] += log_likelihood(a, b, evidence)
            else:
                logs[i, j] = -1e9
    weights = numpy.exp(logs - logs.max())
    weights /= weights.sum()
    wa, wb = weights.sum(1), weights.sum(0)
    mean_a, mean_b = wa @ grid_a, wb @ grid_b
    var_a, var_b = wa @ (grid_a - mean_a) ** 2, wb @ (grid_b - mean_b) ** 2
    cov = (grid_a - mean_a) @ weights @ (grid_b - mean_b)
    return {"mean": [mean_a, mean_b], "covariance": [var_a, cov, var_b]}


POSTERIORS = {
    "nothing": [],
    "works": [["hard", 2.0, 69.0, 20]],
    "outcomes": [["hard", 2.5, 120.0, 1], ["hard", 3.0, 180.0, 1], ["firm", 3.0, 2.0, 1], ["soft", 3.5, 60.0, 1]],
    "wedge": [["wedge", [[5, 1.15, 0.1], [12, 1.9, 0.1], [30, 2.6, 0.1], [75, 3.3, 0.1]]]],
    "wedge and contradiction": [
        ["wedge", [[5, 1.15, 0.1], [12, 1.9, 0.1], [30, 2.6, 0.1], [75, 3.3, 0.1]]],
        ["soft", 1.0, 60.0, 1], ["hard", 3.0, 60.0, 1]],
    "all steps of nothing": [["wedge", [[s, 0, 0.05] for s in [3, 6, 12, 24, 48]]]],
    "little light that set nothing": [["wedge", [[s, 0, 0.05] for s in [1, 2, 3]]]],
    "wedge with steps of nothing": [
        ["wedge", [[1, 0, 0.1], [2, 0, 0.1], [5, 1.15, 0.1], [12, 1.9, 0.1], [30, 2.6, 0.1], [75, 3.3, 0.1]]]],
    "soft against all expectation": [["soft", 0.5, 120.0, 20]],
}

# What lies far from all that was believed is looked for further out.
FAR = {"soft against all expectation": (14, -500)}


def pigment():
    """ln of a dye's absorption after one wedge of a mix, the clear resin being known within a little."""
    seconds, load, doubt = [10, 25, 60, 140], 0.5, 0.03
    depths = [math.log(s) / (1 + 2.4 * load) for s in seconds]
    nodes, weights = numpy.polynomial.hermite_e.hermegauss(15)
    root = numpy.linalg.cholesky(numpy.array([[0.05 ** 2, 0.8 * 0.05 * 0.10], [0.8 * 0.05 * 0.10, 0.10 ** 2]]))
    grid = numpy.linspace(math.log(1.5) - 3, math.log(1.5) + 3, 301)
    density = numpy.zeros(len(grid))
    for i, log_alpha in enumerate(grid):
        for u, wu in zip(nodes, weights):
            for v, wv in zip(nodes, weights):
                a, b = root @ numpy.array([u, v])
                per_mm = math.exp(-a) + math.exp(log_alpha) * load
                off = numpy.array([d - (math.log(s) - b) / per_mm for s, d in zip(seconds, depths)])
                cov = numpy.eye(4) * doubt ** 2 + (SESSION / per_mm) ** 2
                density[i] += wu * wv * stats.multivariate_t.pdf(off, loc=numpy.zeros(4), shape=cov, df=STATED)
        density[i] *= math.exp(-0.5 * ((log_alpha - math.log(1.5)) / 0.6) ** 2)
    density /= density.sum()
    mean = density @ grid
    return {"mean": mean, "deviation": math.sqrt(density @ (grid - mean) ** 2)}


def main():
    json.dump({
        "made_by": "tests/reference/wedge.py",
        "with": f"Python {platform.python_version()}, scipy {scipy.__version__}, numpy {numpy.__version__}",
        "five": fit(*FIVE),
        "optical": [{"nm": nm, **series(points)} for nm, points in OPTICAL.items()],
        "posteriors": [{"name": name, "evidence": evidence, **posterior(evidence, *FAR.get(name, ()))}
                       for name, evidence in POSTERIORS.items()],
        "pigment": pigment(),
    }, sys.stdout, indent=1)
    sys.stdout.write("\n")


if __name__ == "__main__":
    main()
