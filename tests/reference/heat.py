"""Heat of curing resin, worked out by other means than the program's.

S1 and S2 are slabs with an insulated base and a source that dies away, by their eigenfunctions (mpmath). The layers
are resin on silicone by the method of lines: 400 even cells in the resin, 400 in the silicone, Radau with tight
tolerances (scipy). The fixture is committed, so that nothing here is needed to run the tests.

    pip install mpmath numpy scipy
    python3 tests/reference/heat.py > tests/fixtures/heat.csv
"""

import importlib.metadata as versions
import platform

import mpmath as mp
import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import diags

mp.mp.dps = 30


def series(t, x, shape):
    """Rise at x above the base, time t; source rho Q/tau e^(-t/tau) f(x) on 0..L, f given by its cosine moments."""
    k, rho_c, rho, length, h, q, tau = map(mp.mpf, ("0.2", "1.77e6", "1180", "0.002", "10", "250e3", "15"))
    alpha, bi, total = k / rho_c, h * length / k, mp.mpf(0)
    for n in range(40):
        z = mp.findroot(lambda z: z * mp.sin(z) - bi * mp.cos(z), n * mp.pi + mp.mpf("0.2") / (n + 1))
        norm = length / 2 * (1 + mp.sin(2 * z) / (2 * z))
        moment = mp.quad(lambda y: shape(y, length) * mp.cos(z * y / length), [0, length])
        lam = alpha * z * z / length**2
        growth = (mp.exp(-t / tau) - mp.exp(-lam * t)) / (lam - 1 / tau)
        total += moment / norm * mp.cos(z * x / length) * rho * q / (rho_c * tau) * growth
    return total


def layer(thick_mm, total_s, ramp_s, q, ratio, first_set_s=1.0, dp_mm=1.0, watch_s=400.0):
    """Peak rise in a clear layer on 6 mm of silicone, and how long from lamp-on until it is below +20 K."""
    n = 400
    dx = np.concatenate((np.full(n, thick_mm / 1000 / n), np.full(n, 0.006 / n)))
    k = np.concatenate((np.full(n, 0.18), np.full(n, 0.25)))
    c = np.concatenate((np.full(n, 1150.0 * 1600), np.full(n, 1100.0 * 1300)))
    g = 1 / (dx[:-1] / 2 / k[:-1] + dx[1:] / 2 / k[1:])
    top, base = 1 / (1 / 12 + dx[0] / 2 / k[0]), 1 / (1 / 20 + dx[-1] / 2 / k[-1])
    out = np.concatenate(([top], g)) + np.concatenate((g, [base]))
    matrix = diags([g / (c * dx)[1:], -out / (c * dx), g / (c * dx)[:-1]], [-1, 0, 1]).tocsc()
    depth = (np.arange(n) + 0.5) * thick_mm / n
    rate = np.exp(-depth / dp_mm) / (ratio * first_set_s)

    def power(t):
        return 0.0 if t > total_s else min(1.0, t / ramp_s if ramp_s else 1.0)

    def dose(t):
        t = min(t, total_s)
        return t * t / (2 * ramp_s) if ramp_s and t < ramp_s else t - ramp_s / 2

    def slope(t, temperature):
        heat = np.zeros(2 * n)
        heat[:n] = 1150 * q * 1000 * power(t) * rate * np.exp(-dose(t) * rate) / c[:n]
        return matrix @ temperature + heat

    peak, last_above, start = 0.0, 0.0, np.zeros(2 * n)
    for span in [(0, ramp_s), (ramp_s, total_s), (total_s, watch_s)]:
        if span[0] == span[1]:
            continue
        times = np.arange(span[0], span[1] + 1e-9, 0.25)
        solved = solve_ivp(slope, span, start, method="BDF", jac=matrix, t_eval=times, rtol=1e-6, atol=1e-6, max_step=2.0)
        hottest = solved.y[:n].max(axis=0)
        peak = max(peak, hottest.max())
        above = solved.t[hottest > 20]
        last_above = max(last_above, above.max() if len(above) else 0.0)
        start = solved.y[:, -1]
    return peak, last_above


def main():
    made = ", ".join(f"{name} {versions.version(name)}" for name in ["mpmath", "numpy", "scipy"])
    print(f"# tests/reference/heat.py, Python {platform.python_version()}, {made}")
    print("case,seconds or mm,first,second")
    shapes = {"S1": lambda y, l: mp.mpf(1), "S2": lambda y, l: mp.exp(-(l - y) / mp.mpf("0.001"))}
    for name, shape in shapes.items():
        for t in [5, 15, 30, 60, 120, 300, 600]:
            base, top = series(mp.mpf(t), mp.mpf(0), shape), series(mp.mpf(t), mp.mpf("0.002"), shape)
            print(f"{name},{t},{mp.nstr(base, 8)},{mp.nstr(top, 8)}")
    for button, total, ramp in [("low", 99.0, 60.0), ("full", 120.0, 0.0)]:
        for thick in [0.5, 1.0, 2.0, 3.0]:
            for band, q, ratio in [("low", 130, 15), ("typical", 180, 8), ("high", 240, 5)]:
                peak, until = layer(thick, total, ramp, q, ratio)
                print(f"{button} {band},{thick},{peak:.4f},{until:.2f}")


if __name__ == "__main__":
    main()
