"""The planner and the learning beside scipy, in one run on this computer: beside.py FILE

FILE holds what `cargo bench -p craft --bench beside` printed. The problems are those of `tests/fixtures`; they are solved
here anew by `tests/reference/planner.py` (HiGHS) and `tests/reference/wedge.py` (integration on a plain grid, least
squares, Fieller), which share no code with the program. What scipy is timed for is the solving alone, without putting
the problem together. Ends with 1 where anything disagrees.
"""

import contextlib
import io
import json
import math
import pathlib
import statistics
import sys
import time

tests = pathlib.Path(__file__).resolve().parents[2] / "tests"
sys.path.insert(0, str(tests / "reference"))
import planner  # noqa: E402
import wedge  # noqa: E402

import scipy  # noqa: E402

# What a belief may differ by from the other method's, in its standard deviations: as in the ordinary tests.
APART = 5e-3


class Clock:
    """Counts the seconds that are spent within scipy's milp."""

    def __init__(self):
        self.spent, self.milp = 0.0, planner.milp

    def __call__(self, *of, **more):
        start = time.perf_counter()
        try:
            return self.milp(*of, **more)
        finally:
            self.spent += time.perf_counter() - start


def solved(problem, clock, fixed):
    """The key by integer programming and the seconds in it, the quieter of two runs."""
    runs = []
    for _ in range(2):
        clock.spent = 0.0
        key = planner.by_milp(problem, fixed)
        runs.append(clock.spent)
    return key, min(runs)


def row(name, count, seconds):
    print(f"  {name:40} {count:4} {statistics.median(seconds):12.6f} {max(seconds):12.6f}")


def plans(lines):
    """Both solvers on every problem of the fixture in which no mould shades; how many disagree."""
    clock = planner.milp = Clock()
    fixture = json.loads((tests / "fixtures" / "planner_small.json").read_text())
    by_part = {}
    disagree = skipped = 0
    for line in lines:
        if line["part"] not in ("small", "full"):
            continue
        problem = fixture[line["part"]][line["place"]]
        if problem["well"]:
            # What a layer costs depends on where it lies, which no count of layers says.
            skipped += 1
            continue
        least, quick = solved(problem, clock, 1)
        whole, slow = solved(problem, clock, 4)
        ours = line["key"]
        if ours is not None:
            ours = [ours[0] + planner.wished(problem, line["layers"]), *ours[1:]]
        if ours != whole or (least is None) != (whole is None) or (least and least[0] != whole[0]):
            disagree += 1
            print(f"DISAGREE {line['part']} {line['place']} {line['name']}: {ours}, scipy {whole}")
        part = line["part"] if whole is not None else f"{line['part']}, no plan"
        by_part.setdefault(part, []).append((line["ms"] / 1e3, quick, slow))
    print(f"plans, scipy {scipy.__version__} (HiGHS): seconds of the quietest run\n  {'':40} runs       median        worst")
    for part, times in by_part.items():
        ours, quick, slow = zip(*times)
        row(f"{part}: planner, all criteria", len(times), ours)
        row(f"{part}: milp, least time alone", len(times), quick)
        row(f"{part}: milp, all four criteria", len(times), slow)
    count = sum(len(times) for times in by_part.values())
    print(f"  {count - disagree} of {count} agree in every criterion, or that there is no plan; "
          f"{skipped} with a shading mould cannot be asked so")
    return disagree + (count == 0)


def beliefs(lines):
    """The learning beside integration on a plain grid; how many disagree."""
    disagree = found = 0
    print(f"beliefs, seconds of one\n  {'':34}  the learning   plain grid   apart, in deviations")
    for line in lines:
        if line["part"] != "posterior":
            continue
        start = time.perf_counter()
        other = wedge.posterior(wedge.POSTERIORS[line["name"]], *wedge.FAR.get(line["name"], ()))
        spent = time.perf_counter() - start
        (aa, ab, bb), mean = other["covariance"], other["mean"]
        deviation = [math.sqrt(aa), math.sqrt(bb)]
        parts = [(line["mean"][i] - mean[i]) / deviation[i] for i in range(2)]
        parts += [line["deviation"][i] / deviation[i] - 1 for i in range(2)]
        parts.append(line["together"] - ab / (deviation[0] * deviation[1]))
        apart = max(abs(part) for part in parts)
        print(f"  {line['name']:34}  {line['ms'] / 1e3:12.6f} {spent:12.6f}   {apart:.6f}")
        disagree += apart > APART
        found += 1
    return disagree + (found != len(wedge.POSTERIORS))


def line_of_five(lines):
    """The line through five points beside least squares and Fieller; how many disagree."""
    ours, = [line for line in lines if line["part"] == "line"]
    start = time.perf_counter()
    other = wedge.fit(*wedge.FIVE)
    spent = time.perf_counter() - start
    there = [other["slope"], math.log(other["first_set"]), *(math.log(end) for end in other["fieller"])]
    apart = max(abs(here / other - 1) for here, other in zip(ours["found"], there))
    print(f"line of five points, its first setting and Fieller's interval: {ours['ms'] / 1e3:.6f} s, scipy "
          f"{spent:.6f} s, apart by {apart:.1e} of each")
    return int(apart > 1e-6)


def caught(lines):
    """Whether a plan that takes a second more, and a belief a tenth of a deviation off, are noticed."""
    plan, = [line for line in lines if (line["part"], line["place"] if "place" in line else 0) == ("full", 0)]
    longer = dict(plan, key=[plan["key"][0] + 1, *plan["key"][1:]])
    first = [line for line in lines if line["part"] == "posterior" and line["name"] == "nothing"]
    off = [dict(line, mean=[line["mean"][0] + 0.1 * line["deviation"][0], line["mean"][1]]) for line in first]
    with contextlib.redirect_stdout(io.StringIO()):
        # One belief out of all is one too few by itself.
        return plans([longer]) == 1 and beliefs(off) == 2


def main():
    text = pathlib.Path(sys.argv[1]).read_text()
    lines = [json.loads(line) for line in text.splitlines() if line.startswith("{")]
    disagree = plans(lines) + beliefs(lines) + line_of_five(lines)
    if not caught(lines):
        print("what is wrong goes unnoticed")
        return 1
    if disagree:
        print(f"{disagree} disagree")
    return int(disagree > 0)


if __name__ == "__main__":
    sys.exit(main())
