"""Areas, perimeters, domes and fillings of stones, worked out by other means than the program's.

Written from the definitions of the shapes, not from the program it checks: outlines are implicit functions, closed
forms or polygons of many corners; domes are triple integrals and triangles. The fixture it writes is committed, so
that nothing here is needed to run the tests.

    pip install mpmath numpy scipy shapely svgpathtools
    python3 tests/reference/outlines.py > tests/fixtures/outlines.csv
"""

import importlib.metadata as versions
import platform

import mpmath as mp
import numpy as np
import scipy.interpolate
import scipy.optimize
import shapely
import shapely.affinity
from svgpathtools import parse_path

mp.mp.dps = 25
PI = mp.pi


def arc(cx, cy, r, start, sweep, n=400_001):
    angles = np.linspace(start, start + sweep, n)
    return np.column_stack((cx + r * np.cos(angles), cy + r * np.sin(angles)))


def superellipse(a, b, n):
    """Area by the gamma function, way round by quadrature of y = b(1 - (x/a)^n)^(1/n) up to the diagonal."""
    area = 4 * a * b * mp.gamma(1 + 1 / n) ** 2 / mp.gamma(1 + 2 / n)
    split = mp.mpf(2) ** (-1 / n)

    def part(p, q):
        slope = lambda u: -(q / p) * u ** (n - 1) * (1 - u**n) ** (1 / n - 1)
        return mp.quad(lambda u: p * mp.sqrt(1 + slope(u) ** 2), [0, split / 2, split])

    return area, 4 * (part(a, b) + part(b, a))


def marquise(l, w):
    r = (l * l + w * w) / (4 * w)
    theta = 2 * mp.asin(l / (2 * r))
    return r * r * (theta - mp.sin(theta)), 2 * r * theta


def pear_straight(l, w):
    r = w / 2
    d = l - r
    phi = mp.acos(r / d)
    tangent = mp.sqrt(d * d - r * r)
    return r * tangent + (PI - phi) * r * r, 2 * tangent + 2 * (PI - phi) * r


def pear_curved(l, w):
    r = w / 2
    h = l - r
    big = (h * h + r * r) / (2 * r)
    theta = mp.asin(h / big)
    return PI * r * r / 2 + big * big * theta - (big - r) * h, PI * r + 2 * big * theta


def rows():
    yield from simple()
    yield from centroids()
    yield from path()
    yield from domes()
    yield from measured()
    yield from draft()


def simple():
    m = mp.mpf
    for l, w, n in [(12, 12, "2.5"), (12, 12, 3), (12, 12, 4), (14, 12, 3), (14, 12, 10), (14, 12, 2)]:
        area, around = superellipse(m(l) / 2, m(w) / 2, m(n))
        yield f"cushion {l} {w} {n}", "area", area
        yield f"cushion {l} {w} {n}", "perimeter", around
    for l, w, r in [(14, 10, 2), (12, 12, 3), (14, 10, 0), (14, 10, 5)]:
        corners = [(l / 2 - r, w / 2 - r), (r - l / 2, w / 2 - r), (r - l / 2, r - w / 2), (l / 2 - r, r - w / 2)]
        turns = enumerate(corners)
        grown = shapely.Polygon(np.vstack([arc(x, y, r, np.pi / 2 * i, np.pi / 2) for i, (x, y) in turns]))
        yield f"rounded {l} {w} {r}", "area", grown.area
        yield f"rounded {l} {w} {r}", "perimeter", grown.length
    for l, w in [(10, 5), (12, 6), (14, 7), (9, 9)]:
        area, around = marquise(m(l), m(w))
        yield f"marquise {l} {w}", "area", area
        yield f"marquise {l} {w}", "perimeter", around
    for l, w in [(10, 7), (14, 10), (9, 9)]:
        for name, pear in [("straight", pear_straight), ("curved", pear_curved)]:
            area, around = pear(m(l), m(w))
            yield f"pear-{name} {l} {w}", "area", area
            yield f"pear-{name} {l} {w}", "perimeter", around
    side = 10 / (1 + 1 / mp.sqrt(2))
    yield "heart 10", "area", side**2 * (1 + PI / 4)
    yield "heart 10", "perimeter", side * (2 + PI)
    yield "heart 10", "width", side * (mp.mpf(1) / 2 + 3 / (2 * mp.sqrt(2)))
    # Corners of a regular polygon by their angles; drawn out by parting it in the middle.
    for name, n, turn in [("hexagon", 6, 0), ("octagon", 8, np.pi / 8)]:
        for flats, longer in [(10, 0), (8, 3)]:
            radius = flats / 2 / np.cos(np.pi / n)
            angles = turn + 2 * np.pi * np.arange(n) / n
            x, y = radius * np.cos(angles), radius * np.sin(angles)
            x = x + np.sign(np.round(x, 9)) * longer / 2
            shape = shapely.Polygon(np.column_stack((x, y)))
            yield f"{name} {flats} {longer}", "area", shape.area
            yield f"{name} {flats} {longer}", "perimeter", shape.length
            yield f"{name} {flats} {longer}", "length", float(x.max() - x.min())


def centroids():
    """Of polygons with 4e5 corners on each arc, measured from the middle of the box (shapely)."""
    l, w = 14.0, 10.0
    r = w / 2
    phi = np.arccos(r / (l - r))
    straight = np.vstack((arc(0, 0, r, phi, 2 * (np.pi - phi)), [[l - r, 0]]))
    h = l - r
    big = (h * h + r * r) / (2 * r)
    start = np.arctan2(big - r, h)
    upper = arc(0, r - big, big, start, np.pi / 2 - start)
    curved = np.vstack((arc(0, 0, r, np.pi / 2, np.pi), (upper * [1, -1])[::-1], upper))
    s = 10 / (1 + 1 / np.sqrt(2))
    c = s / np.sqrt(2)
    heart = np.vstack(([[0, 0]], arc(c / 2, 1.5 * c, s / 2, -np.pi / 4, np.pi), arc(-c / 2, 1.5 * c, s / 2, np.pi / 4, np.pi)))
    for name, corners in [("pear-straight 14 10", straight), ("pear-curved 14 10", curved), ("heart 10", heart)]:
        shape = shapely.Polygon(corners)
        x0, y0, x1, y1 = shape.bounds
        yield name, "centroid x", shape.centroid.x - (x0 + x1) / 2
        yield name, "centroid y", shape.centroid.y - (y0 + y1) / 2


DRAWN = "M 3 1 C 8 -1 14 1 15 6 C 16 11 11 13 8 12 Q 5 11 4 12 C 1 13 -1 9 0 6 A 4 4 0 0 1 3 1 Z"


def path():
    """svgpathtools walks the path and measures it; shapely takes area and centroid of 4e5 points on each piece."""
    drawn = parse_path(DRAWN)
    points = np.concatenate([piece.point(np.linspace(0, 1, 200_001)[:-1]) for piece in drawn])
    shape = shapely.Polygon(np.column_stack((points.real, points.imag)))
    x0, y0, x1, y1 = shape.bounds
    yield "path", "area", shape.area
    yield "path", "perimeter", float(np.abs(np.diff(np.append(points, points[0]))).sum())
    yield "path", "length", max(x1 - x0, y1 - y0)
    yield "path", "width", min(x1 - x0, y1 - y0)
    yield "path", "centroid x", shape.centroid.x - (x0 + x1) / 2
    yield "path", "centroid y", shape.centroid.y - (y0 + y1) / 2
    yield from face("path", shapely.affinity.translate(shape.simplify(1e-5), -(x0 + x1) / 2, -(y0 + y1) / 2), 3.0)


def face(name, shape, high):
    """A half-ellipse dome's face: triangles between the rim made smaller ring by ring, 2,000 rings."""
    rim = np.array(shape.exterior.coords)
    angles = np.linspace(0, np.pi / 2, 2001)
    total = 0.0
    inner = np.column_stack((rim * 0, np.full(len(rim), high)))
    for angle in angles[1:]:
        outer = np.column_stack((rim * np.sin(angle), np.full(len(rim), high * np.cos(angle))))
        for p, q, r in [(inner[:-1], outer[:-1], outer[1:]), (inner[:-1], outer[1:], inner[1:])]:
            total += 0.5 * np.linalg.norm(np.cross(q - p, r - p), axis=1).sum()
        inner = outer
    yield name, "face half-ellipse", total


def domes():
    """Faces over other rims; the fill of a cushion with a half-ellipse dome 4 high from the apex up (wall 1.5)."""
    n = 3.0
    angles = np.linspace(0, 2 * np.pi, 4001)
    r = (np.abs(np.cos(angles) / 7) ** n + np.abs(np.sin(angles) / 6) ** n) ** (-1 / n)
    yield from face("cushion 14 12 3", shapely.Polygon(np.column_stack((r * np.cos(angles), r * np.sin(angles)))), 4.0)
    s = 10 / (1 + 1 / np.sqrt(2))
    c = s / np.sqrt(2)
    low = -0.5 * s * (0.5 + 1.5 / np.sqrt(2))
    corners = np.vstack(([[0, low]], arc(c / 2, low + 1.5 * c, s / 2, -np.pi / 4, np.pi, 1001),
                         arc(-c / 2, low + 1.5 * c, s / 2, np.pi / 4, np.pi, 1001)))
    yield from face("heart 10", shapely.Polygon(corners), 3.0)
    area, _ = superellipse(mp.mpf(7), mp.mpf(6), mp.mpf(3))
    for depth in ["0.5", "1.5", "3", "4", "5.5"]:
        z = mp.mpf(depth)
        dome = mp.quad(lambda t: 1 - ((4 - t) / 4) ** 2, [0, min(z, 4)])
        yield "cushion 14 12 3", f"fill {depth}", area * (dome + max(z - 4, 0))


MEASURED = [(2.0, 3.7), (4.0, 2.9), (5.5, 1.6)]


def measured():
    """An oval 18 x 13, dome 4: scipy's monotone cubic through the heights and their mirror images."""
    half = 6.5
    x = [0.0] + [p[0] / half for p in MEASURED] + [1.0]
    z = [0.0] + [4.0 - p[1] for p in MEASURED] + [4.0]
    line = scipy.interpolate.PchipInterpolator([-v for v in x[:0:-1]] + x, z[:0:-1] + z)
    slope = line.derivative()
    area = PI * 9 * mp.mpf("6.5")
    for depth in [0.1, 0.7, 2.0, 3.3, 4.0]:
        scale = 1.0 if depth == 4.0 else scipy.optimize.brentq(lambda s: float(line(s)) - depth, 0, 1, xtol=1e-15)
        parts = [v for v in x if v < scale] + [scale]
        filled = mp.quad(lambda s: s * s * mp.mpf(float(slope(float(s)))), parts)
        yield "measured", f"fill {depth}", area * filled
    arc_across = 2 * mp.quad(lambda s: mp.sqrt(mp.mpf("42.25") + mp.mpf(float(slope(float(s)))) ** 2), x)
    yield "measured", "arc across", arc_across
    whole = mp.quad(lambda s: s * s * mp.mpf(float(slope(float(s)))), x)
    moment = mp.quad(lambda s: (4 - mp.mpf(float(line(float(s))))) * s * s * mp.mpf(float(slope(float(s)))), x)
    yield "measured", "centroid", moment / whole

    def band(s):
        fall = mp.mpf(float(slope(float(s))))
        p, q = mp.sqrt((9 * fall) ** 2 + mp.mpf("58.5") ** 2), mp.sqrt((mp.mpf("6.5") * fall) ** 2 + mp.mpf("58.5") ** 2)
        return s * 4 * p * mp.ellipe(1 - (q / p) ** 2)

    yield "measured", "face", mp.quad(band, x)


def draft():
    """A round 12 across at the rim, wall 3 leaning 5 degrees, half-ellipse dome 2: cone frustum and half-ellipsoid."""
    lean = mp.tan(mp.radians(5))
    top, foot = mp.mpf(6), 6 - 3 * lean
    wall = PI * 3 * (top**2 + top * foot + foot**2) / 3
    dome = PI * foot**2 * 2 * 2 / 3
    yield "draft", "volume", wall + dome
    yield "draft", "wall area", PI * (top + foot) * mp.sqrt(9 + (top - foot) ** 2)
    half = foot + lean * mp.mpf("1.5")
    yield "draft", "fill 3.5", dome + PI * mp.mpf("1.5") * (half**2 + half * foot + foot**2) / 3
    moment = mp.quad(lambda y: y * PI * (top - lean * y) ** 2, [0, 3]) + dome * (3 + mp.mpf(6) / 8)
    yield "draft", "centroid", moment / (wall + dome)


def main():
    names = ["mpmath", "numpy", "scipy", "shapely", "svgpathtools"]
    made = ", ".join(f"{name} {versions.version(name)}" for name in names)
    print(f"# tests/reference/outlines.py, Python {platform.python_version()}, {made}")
    print(f"# path: {DRAWN}")
    print("shape,quantity,value")
    for shape, quantity, value in rows():
        print(f"{shape},{quantity},{mp.nstr(mp.mpf(value), 15)}")


if __name__ == "__main__":
    main()
