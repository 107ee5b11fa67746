"""A cut plan checked piece by piece against the rules, written apart from the code that plans.

Rules: common practice, no source (clear of attachments, outside cantilevers and middle thirds, least piece, bearing).
"""

from fractions import Fraction
from itertools import pairwise

TOUCH = Fraction(2, 100)
"""Places closer than this (tenths of a mm) are one place."""


def usable(stock, saw):
    return stock.length - (0 if stock.is_offcut else 2 * saw.end_trim)


def worth(saw, price, left):
    if saw.reusable_length is None or left < max(1, saw.reusable_length):
        return 0
    return min(price, left * saw.offcut_value_per_m // 10_000)


def charged(stock, bars):
    return next((b.price for b in reversed(stock.breaks) if bars >= b.from_bars), stock.price)


def part_ends(length, longest_mm):
    count = 1
    while longest_mm is not None and Fraction(length, count) > 10 * Fraction(str(longest_mm)):
        count += 1
    return [round(Fraction(k * length, count)) for k in range(count + 1)]


def faults_of(plan, runs, offer, rules, saw, splice_price):
    """Everything in which a plan breaks the rules or does not add up; empty if nothing does."""
    longest = max(usable(stock, saw) for stock in offer if stock.available != 0)
    refused = {refusal.run for refusal in plan.refused}
    placed = sorted((p.run, p.start, p.length, p.number) for bar in plan.bars for places in bar.labels for p in places)
    faults = []
    for at, run in enumerate(runs):
        own = [piece[1:] for piece in placed if piece[0] == at]
        if at in refused:
            faults += [f"run {at} is refused and cut"] if own else []
        else:
            faults += [f"run {at}: {fault}" for fault in _run_faults(plan, at, run, own, rules, longest)]
    return [*faults, *_bar_faults(plan, offer, saw, splice_price)]


def _run_faults(plan, at, run, own, rules, longest):
    length = round(10 * Fraction(str(run.length_mm)))
    starts = [start for start, _, _ in own]
    if [number for _, _, number in own] != list(range(len(own))):
        yield "pieces are not numbered through"
    if [0, *(start + piece for start, piece, _ in own)] != [*starts, length]:
        yield "not covered end to end"
    ends = part_ends(length, rules.max_continuous_length_mm)
    splices = [joint.at for joint in plan.joints if joint.run == at and joint.kind == "splice"]
    if [joint.at for joint in plan.joints if joint.run == at and joint.kind == "expansion"] != ends[1:-1]:
        yield "expansion splices do not make equal parts"
    if sorted([*splices, *ends[1:-1]]) != starts[1:]:
        yield "joints and pieces do not meet"
    for start, end in pairwise(ends):
        stands = [10 * Fraction(str(a)) - start for a in run.attachments_mm]
        stands = [a for a in stands if -TOUCH <= a <= end - start + TOUCH]
        yield from _part_faults([s - start for s in splices if start < s < end], end - start, stands, rules, longest)


def _part_faults(joints, length, stands, rules, longest):
    clear = 10 * Fraction(str(rules.splice_clear_of_attachment_mm))
    edges = [0, *joints, length]
    for a, b in pairwise(edges):
        if b - a > longest:
            yield f"a piece of {b - a} is longer than every bar"
        if joints and b - a < 10 * Fraction(str(rules.min_piece_length_mm)) - TOUCH:
            yield f"a piece of {b - a} is too short"
        if joints and sum(a - TOUCH <= s <= b + TOUCH for s in stands) < rules.min_attachments_per_piece:
            yield f"the piece from {a} to {b} bears on too few attachments"
    for joint in joints:
        if not any(_may_stand(joint, a, b, clear) for a, b in pairwise(stands)):
            yield f"a splice at {joint}"


def _may_stand(joint, left, right, clear):
    inside = left + clear - TOUCH <= joint <= right - clear + TOUCH
    third = (right - left) / 3
    return inside and (joint <= left + third + TOUCH or joint >= right - third - TOUCH)


def _bar_faults(plan, offer, saw, splice_price):
    kinds = {(stock.part, stock.length): stock for stock in offer}
    bought = {}
    for bar in plan.bars:
        bought[bar.part] = bought.get(bar.part, 0) + bar.count
    cost = sum(joint.kind == "splice" for joint in plan.joints) * splice_price
    for bar in plan.bars:
        stock = kinds[bar.part, bar.stock_length]
        price, left = charged(stock, bought[bar.part]), stock.length
        if stock.available is not None and bought[bar.part] > stock.available:
            yield f"{bar.part}: more than there are"
        if [tuple(place.length for place in places) for places in bar.labels] != [bar.pieces] * bar.count:
            yield f"{bar.part}: labels and pieces differ"
        if bar.pieces:
            rest = usable(stock, saw) - sum(bar.pieces) - (len(bar.pieces) - 1) * saw.kerf
            left = max(0, rest - saw.kerf)
            if rest < 0:
                yield f"{bar.part}: {bar.pieces} do not fit"
        cost += bar.count * (price - worth(saw, price, left))
    if cost != plan.cost:
        yield f"the plan says {plan.cost}, its bars and splices cost {cost}"
    if plan.lower_bound > plan.cost:
        yield "the bound is above the cost"
    if plan.against_full_bars.possible and plan.cost > plan.against_full_bars.cost:
        yield "dearer than full bars and a remainder"
