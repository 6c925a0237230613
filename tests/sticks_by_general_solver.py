#!/usr/bin/env python3
"""Asks a general solver the stick planner's question, and compares optimum and time.

Not part of `cargo test`: it wants `pip install highspy` (the HiGHS solver for mixed integer programmes, MIT licence) and
some minutes. The pieces come from the benchmark (`cargo bench --bench sticks -- json ...`); all their ends are square, so
that a piece takes its length and a kerf whatever lies beside it, and both are asked the very same question.

The model is the arc flow of Valerio de Carvalho 1999 ("Exact solution of bin-packing problems using column generation
and branch-and-bound"): places along a stick are nodes, a piece is an arc from where it begins to where the next one
may, a stick a path, and as few or as cheap paths as may be must hold every piece. Ends with 1 where an optimum that the
solver proves is not the planner's cost, or the planner's bound is above it.
"""

import json
import math
import subprocess
import sys
import time
from collections import Counter

import highspy

# a class and how many of it: ten in all
ASKED = [("U120", 3), ("planted10", 2), ("Q1-20", 1), ("Q4-20", 2), ("QP-20", 2)]
SECONDS = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0


def instances(name, count):
    """The first instances of a class, each with what the planner reached."""
    for seed in range(count):
        command = ["cargo", "bench", "-q", "-p", "planner", "--bench", "sticks", "--", "json"]
        run = subprocess.run([*command, f"seed={seed}", name], capture_output=True, text=True, check=True)
        yield from (json.loads(line) for line in run.stdout.splitlines() if line.startswith("{"))


def arcs(sizes, room):
    """Every arc that a stick with its pieces longest first can use, as (from, to, size)."""
    reached = {0: 0}
    found = set()
    for size, count in sorted(sizes.items(), reverse=True):
        level = {node: 0 for node in reached}
        frontier = list(reached)
        for _ in range(count):
            following = []
            for node in frontier:
                after = node + size
                if after > room:
                    continue
                found.add((node, after, size))
                if after not in level:
                    level[after] = 0
                    following.append(after)
            frontier = following
        reached = level
    return found, sorted(reached)


def solve(instance):
    """The least cost, what is proved, and the seconds taken."""
    sizes = Counter(piece + instance["kerf"] for piece in instance["pieces"])
    kinds = [(length - instance["trim"] + instance["kerf"], cost) for length, cost in instance["kinds"]]
    shared = math.gcd(*sizes, *(room for room, _ in kinds))
    sizes = Counter({size // shared: count for size, count in sizes.items()})
    kinds = [(room // shared, cost) for room, cost in kinds]
    edges, nodes = arcs(sizes, max(room for room, _ in kinds))
    # with costs in their common measure a bound rounds up to the next cost that there is
    step = math.gcd(*(cost for _, cost in kinds))

    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("time_limit", SECONDS)
    solver.setOptionValue("mip_rel_gap", 0.0)
    row = {node: at for at, node in enumerate(nodes)}
    demand = {size: len(nodes) + at for at, size in enumerate(sizes)}
    infinity = highspy.kHighsInf
    for _ in nodes:
        solver.addRow(0.0, 0.0, 0, [], [])
    for count in sizes.values():
        solver.addRow(float(count), infinity, 0, [], [])
    for begin, end, size in sorted(edges):
        rows = [row[begin], row[end], demand[size]]
        solver.addCol(0.0, 0.0, float(sizes[size]), 3, rows, [-1.0, 1.0, 1.0])
    # a stick ends where its last piece does, and begins at 0 again
    for room, cost in kinds:
        for node in nodes[1:]:
            if node <= room:
                solver.addCol(cost / step, 0.0, infinity, 2, [row[node], row[0]], [-1.0, 1.0])
    columns = range(solver.getNumCol())
    solver.changeColsIntegrality(
        len(columns), list(columns), [highspy.HighsVarType.kInteger] * len(columns)
    )
    start = time.perf_counter()
    solver.run()
    seconds = time.perf_counter() - start
    proved = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    found = solver.getInfo().objective_function_value
    return (round(found) * step if found < infinity else None), proved, seconds


def main():
    print(f"{'class':10} {'no':>3} {'pieces':>6} {'planner':>12} {'bound':>12} {'s':>7} {'HiGHS':>12} {'proved':>6} {'s':>7}")
    wrong = 0
    for name, count in ASKED:
        for instance in instances(name, count):
            cost, proved, seconds = solve(instance)
            ours, bound = instance["cost"], instance["bound"]
            bad = proved and (ours != cost or bound > cost) or cost is not None and bound > cost
            wrong += bad
            print(
                f"{name:10} {instance['number']:3} {len(instance['pieces']):6} {ours:12} {bound:12}"
                f" {instance['seconds']:7.3f} {cost or '-':>12} {'yes' if proved else 'no':>6} {seconds:7.2f}"
                f"{'  NOT THE SAME' if bad else ''}",
                flush=True,
            )
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
