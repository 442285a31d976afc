"""Heat of curing resin, worked out by other means than the program's.

S1 and S2 are slabs with an insulated base and a source that dies away, by their eigenfunctions (mpmath). The layers
are resin on silicone by the method of lines: 400 even cells in the resin, 400 in the silicone, BDF with tight
tolerances (scipy). The round layers are discs that lie in silicone, so that heat flows sideways too: the same method
on rings and slices; beside each stands what its own grid gives without the silicone at the side. The fixture is
committed, so that nothing here is needed to run the tests.

    pip install mpmath numpy scipy
    python3 tests/reference/heat.py > tests/fixtures/heat.csv
"""

import importlib.metadata as versions
import platform

import mpmath as mp
import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import coo_matrix, diags

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


def faces(parts):
    """Where cells meet, from 0 on; each part is a length, how many cells, and how much each is wider than the last."""
    at = [0.0]
    for length, cells, growth in parts:
        width = growth ** np.arange(cells)
        at.extend(at[-1] + np.cumsum(width * length / width.sum()))
    return np.array(at)


def conduction(radii, depths, k, held, top_w=12.0, base_w=20.0):
    """What the rise of each ring of each slice does to that of all, 1/s: nothing leaves at the side."""
    area = (radii[1:] ** 2 - radii[:-1] ** 2) / 2
    high, wide = np.diff(depths)[:, None], np.diff(radii)[None, :]
    half_high, half_wide = high / 2 / k, wide / 2 / k
    down = area / (half_high[:-1] + half_high[1:])
    across = radii[1:-1] * high / (half_wide[:, :-1] + half_wide[:, 1:])
    number = np.arange(k.size).reshape(k.shape)
    own = np.zeros(k.shape)
    own[0] += area / (1 / top_w + half_high[0])
    own[-1] += area / (1 / base_w + half_high[-1])
    row, column, value = [], [], []
    for one, other, carried in [(number[:-1], number[1:], down), (number[:, :-1], number[:, 1:], across)]:
        for here, there in [(one, other), (other, one)]:
            row.append(here.ravel())
            column.append(there.ravel())
            value.append(carried.ravel())
            np.add.at(own.reshape(-1), here.ravel(), carried.ravel())
    row, column, value = [*row, number.ravel()], [*column, number.ravel()], [*value, -own.ravel()]
    matrix = coo_matrix((np.concatenate(value), (np.concatenate(row), np.concatenate(column))))
    return (diags(1 / held.ravel()) @ matrix).tocsc()


def round_layer(thick_mm, button, resin, radius_mm=4.5, cured_mm=0.0, first_set_s=1.0, side_mm=12.0):
    """Peak rise in a disc of clear resin, level with the top of the silicone round it and below it."""
    (total_s, ramp_s), (q, ratio) = button, resin
    below = [(cured_mm / 1000, 12, 1.0)] if cured_mm else []
    beside = [(side_mm / 1000, 20, 1.2)] if side_mm else []
    radii = faces([(radius_mm / 1000, 24, 1 / 1.08), *beside])
    depths = faces([(thick_mm / 1000, 24, 1.0), *below, (0.006, 24, 1.1)])
    shape = len(depths) - 1, len(radii) - 1
    set_or_not = np.zeros(shape, bool)
    set_or_not[: 24 + 12 * len(below), :24] = True
    k, c = np.where(set_or_not, 0.18, 0.25), np.where(set_or_not, 1150.0 * 1600, 1100.0 * 1300)
    held = c * (radii[1:] ** 2 - radii[:-1] ** 2) / 2 * np.diff(depths)[:, None]
    matrix = conduction(radii, depths, k, held)
    rate = np.exp(-(np.arange(24) + 0.5) * thick_mm / 24) / (ratio * first_set_s)

    def slope(t, rise):
        growing = t < ramp_s
        power, dose = (t / ramp_s, t * t / (2 * ramp_s)) if growing else (1.0, t - ramp_s / 2)
        heat = np.zeros(shape)
        heat[:24, :24] = (1150 * q * 1000 * power * rate * np.exp(-dose * rate) / c[0, 0])[:, None]
        return matrix @ rise + heat.ravel()

    # Once the lamp is out it only cools.
    peak, rise = 0.0, np.zeros(k.size)
    for span in [(0, ramp_s), (ramp_s, total_s)]:
        if span[0] == span[1]:
            continue
        times = np.arange(span[0], span[1] + 1e-9, 0.5)
        solved = solve_ivp(slope, span, rise, method="BDF", jac=matrix, t_eval=times, rtol=1e-6, atol=1e-5, max_step=2.0)
        peak = max(peak, solved.y.reshape(*shape, -1)[:24, :24].max())
        rise = solved.y[:, -1]
    return peak


def round_layers():
    """Rows of discs: by thickness, lamp, radius and what lies below. Last the rise without silicone at the side."""
    low, full, typical = (99.0, 60.0), (120.0, 0.0), (180, 8)
    for name, button in [("low", low), ("full", full)]:
        for thick in [0.5, 1.0, 2.0, 3.0]:
            for band, resin in [("low", (130, 15)), ("typical", typical), ("high", (240, 5))]:
                yield f"round {name} {band}", thick, (thick, button, resin), {}
    # 10 mJ/cm2 sets it first: 4 and 18 mW/cm2.
    for name, first_set_s in [("weak", 2.5), ("strong", 10 / 18)]:
        for thick in [1.0, 2.0, 3.0]:
            yield f"round lamp {name}", thick, (thick, low, typical), {"first_set_s": first_set_s}
    for radius in [1.5, 3.0, 4.5, 6.0, 9.0, 30.0]:
        yield "round radius", radius, (2.0, low, typical), {"radius_mm": radius}
    for thick in [1.0, 2.0, 3.0]:
        yield "round on cured", thick, (thick, low, typical), {"cured_mm": 2.0}


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
    for name, at, what, how in round_layers():
        print(f"{name},{at},{round_layer(*what, **how):.4f},{round_layer(*what, **how, side_mm=0.0):.4f}")


if __name__ == "__main__":
    main()
