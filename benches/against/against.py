"""Other people's methods on the sort's own problems: one day, unlike pens, trough and floor both binding.

    cargo build --release --example against && target/release/examples/against > problems.jsonl
    python3 -m venv .venv && .venv/bin/pip install -r benches/against/requirements.txt
    .venv/bin/python benches/against/against.py problems.jsonl [--milp SECONDS]

Every method is judged alike: the levels are set anew, at their best, for its final assignment; the loss is the
linear one of `src/solve/instance.rs`; figures are loss over our priced lower bound (1.000 is proved best), and
the time that it took. A method that ends with a limit broken has none. Part of every loss no pen can avoid, since
some ewes need more than the richest ration may hold; the last table also gives the ratios without that part.
Needed by no test.

    kmeans       scikit-learn, 10 runs; largest group to largest pen, then mended
    constrained  k-means-constrained, no group above the largest pen's heads; then the same
    flow         k-means, then best levels against min-cost flow (OR-tools) with heads as room; then mended
    highs        mixed-integer programme over 12 levels, with a time limit
    cpsat        the same by OR-tools CP-SAT

Mending: out of an overfull pen into one with room, or by changing places, what costs least at the time.
"""

import argparse
import json
import statistics
import sys
import time

import numpy as np
from k_means_constrained import KMeansConstrained
from ortools.graph.python import min_cost_flow
from ortools.sat.python import cp_model
from scipy import sparse
from sklearn.cluster import KMeans
import highspy

LEVELS = 12
MOST_ROUNDS = 15


class Problem:
    """Arrays of one line of the export; refuses what this script does not reckon with."""

    def __init__(self, line):
        record = json.loads(line)
        numbers = record["problem"]
        self.name, self.answer = record["name"], record["answer"]
        plain = len(numbers["axes"]) == 1 and not numbers["together"] and not numbers["apart"]
        if not plain or numbers["even"] or max(numbers["kind"]) > 0:
            sys.exit(f"{self.name}: only plain problems of one axis and one kind are compared")
        self.low, self.high = numbers["axes"][0]
        self.weight = numbers["weight"][0]
        self.need = np.array(numbers["need"])[:, 0]
        self.under, self.over = numbers["slopes"][0]
        bins = numbers["bins"]
        self.room = np.array([b["room"] for b in bins]).transpose(1, 0, 2)  # ewe, pen, resource
        self.capacity = np.array([b["capacity"] for b in bins])
        self.most = np.array([min(b["max_head"], len(self.need)) for b in bins])
        self.least = np.array([b["min_head"] for b in bins])
        self.ewes, self.pens = len(self.need), len(bins)
        mean = self.room.mean(axis=0)
        nearest = np.clip(self.need, self.low, self.high)
        gap = self.need - nearest
        self.unavoidable = float(
            self.weight * (self.under * np.maximum(gap, 0) + self.over * np.maximum(-gap, 0)).sum()
        )
        self.heads = np.minimum((self.capacity / mean).min(axis=1), self.most)

    def level(self, members):
        needs = np.sort(self.need[members])
        if len(needs) == 0:
            return self.low
        share = self.under / (self.under + self.over)
        place = max(int(np.ceil(len(needs) * share - 1e-9)), 1) - 1
        return float(np.clip(needs[place], self.low, self.high))

    def table(self, levels):
        """Loss of each ewe at each level."""
        gap = self.need[:, None] - np.asarray(levels)[None, :]
        return self.weight * (self.under * np.maximum(gap, 0) + self.over * np.maximum(-gap, 0))

    def levels(self, pens):
        return [self.level(pens == pen) for pen in range(self.pens)]

    def loss(self, pens):
        return float(self.table(self.levels(pens))[np.arange(self.ewes), pens].sum())

    def used(self, pens):
        used = np.zeros_like(self.capacity)
        np.add.at(used, pens, self.room[np.arange(self.ewes), pens])
        return used

    def keeps_limits(self, pens):
        head = np.bincount(pens, minlength=self.pens)
        fits = (self.used(pens) <= self.capacity).all() and (head <= self.most).all()
        return bool(fits and ((head == 0) | (head >= np.minimum(self.least, self.ewes))).all())


def by_size(problem, labels):
    """Largest group to largest pen."""
    groups = np.argsort(-np.bincount(labels, minlength=problem.pens), kind="stable")
    pens = np.argsort(-problem.heads, kind="stable")
    to = np.empty(problem.pens, dtype=int)
    to[groups] = pens
    return to[labels]


def mend(problem, pens):
    """Greedy: cheapest move out of an overfull pen, else the change of places that leaves least over."""
    pens = pens.copy()
    every = np.arange(problem.ewes)
    for _ in range(4 * problem.ewes):
        used = problem.used(pens)
        excess = np.maximum(used - problem.capacity, 0) / problem.capacity
        worst = int(excess.max(axis=1).argmax())
        if excess[worst].max() <= 0:
            break
        table = problem.table(problem.levels(pens))
        inside = every[pens == worst]
        left = (problem.capacity - used)[None]
        fits = (problem.room[inside] <= left).all(axis=2)
        fits[:, worst] = False
        change = np.where(fits, table[inside] - table[inside, worst][:, None], np.inf)
        if np.isfinite(change).any():
            ewe, pen = np.unravel_index(change.argmin(), change.shape)
            pens[inside[ewe]] = pen
            continue
        best = (excess.sum() - 1e-12, None)
        for ewe in inside:
            for other in every[pens != worst]:
                pen = pens[other]
                after = used.copy()
                after[worst] += problem.room[other, worst] - problem.room[ewe, worst]
                after[pen] += problem.room[ewe, pen] - problem.room[other, pen]
                over = (np.maximum(after - problem.capacity, 0) / problem.capacity).sum()
                if over < best[0]:
                    best = (over, (ewe, other))
        if best[1] is None:
            break
        ewe, other = best[1]
        pens[ewe], pens[other] = pens[other], pens[ewe]
    return pens


def kmeans(problem):
    labels = KMeans(problem.pens, n_init=10, random_state=1).fit_predict(problem.need[:, None])
    return mend(problem, by_size(problem, labels))


def constrained(problem):
    largest = int(problem.heads.max())
    if largest * problem.pens < problem.ewes:
        return None
    model = KMeansConstrained(problem.pens, size_max=largest, n_init=10, random_state=1)
    return mend(problem, by_size(problem, model.fit_predict(problem.need[:, None])))


def flow(problem):
    labels = KMeans(problem.pens, n_init=10, random_state=1).fit_predict(problem.need[:, None])
    pens = by_size(problem, labels)
    heads = np.floor(problem.heads).astype(int)
    while heads.sum() < problem.ewes:
        heads[int((problem.heads - heads).argmax())] += 1
    ewe, pen = np.divmod(np.arange(problem.ewes * problem.pens), problem.pens)
    source, sink = problem.ewes + problem.pens, problem.ewes + problem.pens + 1
    best, best_loss = None, np.inf
    for _ in range(MOST_ROUNDS):
        cost = np.round(problem.table(problem.levels(pens)) * 1e4).astype(int)
        net = min_cost_flow.SimpleMinCostFlow()
        arcs = net.add_arcs_with_capacity_and_unit_cost(ewe, problem.ewes + pen, np.ones_like(ewe), cost.ravel())
        net.add_arcs_with_capacity_and_unit_cost(
            np.full(problem.ewes, source), np.arange(problem.ewes), np.ones(problem.ewes, int), np.zeros(problem.ewes, int)
        )
        net.add_arcs_with_capacity_and_unit_cost(
            problem.ewes + np.arange(problem.pens), np.full(problem.pens, sink), heads, np.zeros(problem.pens, int)
        )
        net.set_node_supply(source, problem.ewes)
        net.set_node_supply(sink, -problem.ewes)
        if net.solve() != net.OPTIMAL:
            break
        chosen = net.flows(arcs).reshape(problem.ewes, problem.pens)
        pens = chosen.argmax(axis=1)
        if problem.loss(pens) >= best_loss - 1e-9:
            break
        best, best_loss = pens, problem.loss(pens)
    return None if best is None else mend(problem, best)


def grid(problem):
    """Levels at quantiles of need, within the limits."""
    shares = np.linspace(0, 1, LEVELS)
    return np.unique(np.clip(np.quantile(problem.need, shares), problem.low, problem.high))


def highs(problem, seconds):
    """z[ewe, pen, level] <= y[pen, level]; one level a pen; room times y: the strong form."""
    levels = grid(problem)
    n, k, m = problem.ewes, problem.pens, len(levels)
    table = problem.table(levels)
    z = np.arange(n * k * m).reshape(n, k, m)
    y = n * k * m + np.arange(k * m).reshape(k, m)
    rows, columns, values, low, high = [], [], [], [], []

    def add(cols, vals, lo, hi):
        rows.extend([len(low)] * len(cols))
        columns.extend(cols)
        values.extend(vals)
        low.append(lo)
        high.append(hi)

    for i in range(n):
        add(z[i].ravel(), np.ones(k * m), 1, 1)
    for pen in range(k):
        add(y[pen], np.ones(m), 1, 1)
        for level in range(m):
            for resource in range(2):
                room = problem.room[:, pen, resource]
                cols = [*z[:, pen, level], y[pen, level]]
                add(cols, [*room, -problem.capacity[pen, resource]], -np.inf, 0)
            for i in range(n):
                add([z[i, pen, level], y[pen, level]], [1, -1], -np.inf, 0)
    matrix = sparse.csr_matrix((values, (rows, columns)), shape=(len(low), n * k * m + k * m))
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = matrix.shape[1], matrix.shape[0]
    lp.col_cost_ = np.concatenate([np.broadcast_to(table[:, None, :], (n, k, m)).ravel(), np.zeros(k * m)])
    lp.col_lower_, lp.col_upper_ = np.zeros(lp.num_col_), np.ones(lp.num_col_)
    lp.row_lower_, lp.row_upper_ = np.array(low, float), np.array(high, float)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = matrix.indptr, matrix.indices, matrix.data
    lp.integrality_ = [highspy.HighsVarType.kInteger] * lp.num_col_
    model = highspy.Highs()
    model.setOptionValue("log_to_console", False)
    model.setOptionValue("output_flag", False)
    model.setOptionValue("time_limit", float(seconds))
    model.passModel(lp)
    model.run()
    values = np.array(model.getSolution().col_value)
    if len(values) == 0 or model.getInfo().primal_solution_status != 2:
        return None
    return values[: n * k * m].reshape(n, k, m).sum(axis=2).argmax(axis=1)


def cpsat(problem, seconds):
    levels = grid(problem)
    n, k, m = problem.ewes, problem.pens, len(levels)
    cost = np.round(problem.table(levels) * 1000).astype(int)
    model = cp_model.CpModel()
    z = [[[model.new_bool_var("") for _ in range(m)] for _ in range(k)] for _ in range(n)]
    y = [[model.new_bool_var("") for _ in range(m)] for _ in range(k)]
    for i in range(n):
        model.add_exactly_one(z[i][pen][level] for pen in range(k) for level in range(m))
    for pen in range(k):
        model.add_exactly_one(y[pen])
        for level in range(m):
            for i in range(n):
                model.add_implication(z[i][pen][level], y[pen][level])
        for resource in range(2):
            room = problem.room[:, pen, resource]
            load = sum(int(room[i]) * z[i][pen][level] for i in range(n) for level in range(m))
            model.add(load <= int(problem.capacity[pen, resource]))
    model.minimize(
        sum(int(cost[i, level]) * z[i][pen][level] for i in range(n) for pen in range(k) for level in range(m))
    )
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return np.array([max(range(k), key=lambda pen: sum(solver.value(v) for v in z[i][pen])) for i in range(n)])


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("problems", help="what the example `against` printed")
    arguments.add_argument("--milp", type=float, default=0, help="seconds for each general solver; 0: leave them out")
    arguments = arguments.parse_args()
    methods = {"kmeans": kmeans, "constrained": constrained, "flow": flow}
    if arguments.milp > 0:
        methods["highs"] = lambda problem: highs(problem, arguments.milp)
        methods["cpsat"] = lambda problem: cpsat(problem, arguments.milp)
    ratios = {"evenfold": [], **{name: [] for name in methods}}
    print("| ewes_pens_draw | evenfold |", " | ".join(methods), "|")
    print("|---" * (len(methods) + 2) + "|")
    for line in open(arguments.problems, encoding="utf-8"):
        problem = Problem(line)
        if problem.answer is None:
            print(f"| {problem.name} | none found |")
            continue
        own = np.array(problem.answer["bins"])
        loss, bound = problem.loss(own), problem.answer["bound"]
        if abs(loss - problem.answer["loss"]) > 1e-6 * loss or not problem.keeps_limits(own):
            sys.exit(f"{problem.name}: our own answer is not what it says: {loss}, {problem.answer['loss']}")

        def ratio(loss, problem=problem, bound=bound):
            without = (loss - problem.unavoidable) / max(bound - problem.unavoidable, 1e-9)
            return loss / bound, without

        ratios["evenfold"].append(ratio(loss))
        cells = [f"{loss / bound:.3f} ({problem.answer['ms']:.0f} ms; bound {problem.answer['proof_ms']:.0f} ms)"]
        for name, method in methods.items():
            # The general solvers are hopeless on the large ones: few of those are worth their time.
            small = problem.ewes <= 300 and problem.pens <= 5 and problem.name.endswith("_0")
            if name in ("highs", "cpsat") and not small:
                cells.append("-")
                continue
            start = time.perf_counter()
            pens = method(problem)
            took = time.perf_counter() - start
            if pens is None or not problem.keeps_limits(pens):
                cells.append(f"no sort ({1000 * took:.0f} ms)")
                continue
            if problem.loss(pens) < bound * (1 - 1e-9):
                sys.exit(f"{problem.name}: {name} is below the bound: {problem.loss(pens)} < {bound}")
            ratios[name].append(ratio(problem.loss(pens)))
            cells.append(f"{problem.loss(pens) / bound:.3f} ({1000 * took:.0f} ms)")
        print(f"| {problem.name} |", " | ".join(cells), "|", flush=True)
    print("\n| method | median | worst | without the unavoidable: median | worst | sorts |\n|---|---|---|---|---|---|")
    for name, found in ratios.items():
        if found:
            whole, without = zip(*found)
            figures = [f(part) for part in (whole, without) for f in (statistics.median, max)]
            print(f"| {name} |", " | ".join(f"{figure:.3f}" for figure in figures), f"| {len(found)} |")


if __name__ == "__main__":
    main()
