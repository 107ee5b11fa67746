"""Cutting questions answered by OR-Tools' CP-SAT: a list of them comes in as JSON, best values and bounds go out."""

import json
import sys
from itertools import pairwise

from ortools.sat.python import cp_model

NO_PLAN = 1 << 60


def assigned(pieces, stocks, kerf, bars):
    """Least cost by assigning every single piece to one of `bars` bars, each of a free (length, price, available)."""
    pieces = [length + kerf for length in pieces]
    model = cp_model.CpModel()
    kinds = [[model.new_bool_var("") for _ in stocks] for _ in range(bars)]
    where = [[model.new_bool_var("") for _ in range(bars)] for _ in pieces]
    for one in where:
        model.add_exactly_one(one)
    for b, kind in enumerate(kinds):
        model.add_at_most_one(kind)
        room = sum((s[0] + kerf) * k for s, k in zip(stocks, kind, strict=True))
        model.add(sum(size * one[b] for size, one in zip(pieces, where, strict=True)) <= room)
    for s, stock in enumerate(stocks):
        if stock[2] is not None:
            model.add(sum(kind[s] for kind in kinds) <= stock[2])
    model.minimize(sum(s[1] * k for kind in kinds for s, k in zip(stocks, kind, strict=True)))
    return _optimum(model)


def arc_flow(sizes, stocks, nodes):
    """Least cost by arc-flow: sizes (room, count), stocks (room, price), nodes the sums of sizes and the rooms."""
    model = cp_model.CpModel()
    most = sum(count for _, count in sizes)
    at, flow = set(nodes), {node: [] for node in nodes}
    taken = [[] for _ in sizes]
    for node in nodes:
        for item, (size, count) in enumerate(sizes):
            if node + size in at:
                used = model.new_int_var(0, count, "")
                flow[node].append(-used)
                flow[node + size].append(used)
                taken[item].append(used)
    for tail, head in pairwise(nodes):
        idle = model.new_int_var(0, most, "")
        flow[tail].append(-idle)
        flow[head].append(idle)
    bars = [model.new_int_var(0, most, "") for _ in stocks]
    for (room, _), bar in zip(stocks, bars, strict=True):
        flow[room].append(-bar)
        flow[0].append(bar)
    for balance in flow.values():
        model.add(sum(balance) == 0)
    for (_, count), used in zip(sizes, taken, strict=True):
        model.add(sum(used) >= count)
    model.minimize(sum(price * bar for (_, price), bar in zip(stocks, bars, strict=True)))
    return _optimum(model)


def spliced(members, kerf, room, price, splice, bars):
    """Least cost of spliced members with every joint free on whole millimetres within its window, one stock length.

    Lengths in tenths of a mm must be whole millimetres; at most two joints per member.
    """
    model = cp_model.CpModel()
    loads, splices = [[] for _ in range(bars)], []
    for member in members:
        length = member["length"] // 10
        windows = [(-(-low // 10), high // 10, span) for low, high, span in member["windows"]]
        ends, spans = [0], [-1]
        used = [model.new_bool_var("") for _ in range(2)]
        model.add_implication(used[1], used[0])
        for k in range(2):
            at, span = model.new_int_var(0, length, ""), model.new_int_var(-1, member["attachments"], "")
            inside = [model.new_bool_var("") for _ in windows]
            model.add(sum(inside) == used[k])
            for chosen, (low, high, number) in zip(inside, windows, strict=True):
                model.add_linear_constraint(at, low, high).only_enforce_if(chosen)
                model.add(span == number).only_enforce_if(chosen)
            model.add(at == length).only_enforce_if(~used[k])
            model.add(span == member["attachments"] - 1).only_enforce_if(~used[k])
            ends.append(at)
            spans.append(span)
        ends.append(length)
        spans.append(member["attachments"] - 1)
        splices.extend(used)
        for k in range(3):
            exists = None if k == 0 else used[k - 1]
            where = [model.new_bool_var("") for _ in range(bars)]
            model.add(sum(where) == (1 if exists is None else exists))
            long = model.new_int_var(0, length, "")
            model.add(long == ends[k + 1] - ends[k])
            conditions = [] if exists is None else [exists]
            model.add(long * 10 >= max(1, member["min_piece"])).only_enforce_if(conditions)
            model.add(spans[k + 1] - spans[k] >= member["min_attachments"]).only_enforce_if(conditions)
            for b in range(bars):
                load = model.new_int_var(0, length + kerf, "")
                model.add(load == long + kerf // 10).only_enforce_if(where[b])
                model.add(load == 0).only_enforce_if(~where[b])
                loads[b].append(load)
    taken = [model.new_bool_var("") for _ in range(bars)]
    for b in range(bars):
        model.add(sum(loads[b]) * 10 <= (room + kerf) * taken[b])
        if b:
            model.add_implication(taken[b], taken[b - 1])
    model.minimize(sum(price * t for t in taken) + splice * sum(splices))
    return _optimum(model)


def _optimum(model):
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 6
    status = solver.solve(model)
    if status == cp_model.UNKNOWN:  # no plan within its work
        return NO_PLAN, solver.best_objective_bound
    assert status in {cp_model.OPTIMAL, cp_model.FEASIBLE}
    return round(solver.objective_value), solver.best_objective_bound


if __name__ == "__main__":
    answer = {"arc_flow": arc_flow, "assigned": assigned, "spliced": spliced}
    print(json.dumps([answer[name](**question) for name, question in json.load(sys.stdin)]))
