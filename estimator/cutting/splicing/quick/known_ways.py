"""Ways found for members under earlier prices, and what they cost under others: no cheapest way costs more."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.runs.joint_rules import Member
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.quick.cheapest_ways import FoundWay
from estimator.cutting.splicing.quick.length_prices import NO_WAY, LengthPrices
from estimator.cutting.tuning import WAYS


class KnownWays:
    """The latest ways of every kind."""

    def __init__(self, members: Sequence[Member]) -> None:
        self._members = members
        self._joints: list[list[Composition]] = [[] for _ in members]
        self._next = [0] * len(members)
        self._lengths: Ints = np.zeros((len(members), WAYS.kept, 1), dtype=np.int64)
        self._splices: Ints = np.full((len(members), WAYS.kept), -1, dtype=np.int64)

    def add(self, found: Sequence[FoundWay]) -> None:
        """Keeps ways; those kept longest go."""
        for way in found:
            here = self._joints[way.kind]
            if way.joints in here:
                continue
            at = self._next[way.kind]
            self._next[way.kind] = (at + 1) % WAYS.kept
            if at < len(here):
                here[at] = way.joints
            else:
                here.append(way.joints)
            self._put(way.kind, at, lengths_of(self._members[way.kind], way.joints))

    def _put(self, kind: int, at: int, lengths: Sequence[int]) -> None:
        more = len(lengths) - self._lengths.shape[2]
        if more > 0:
            self._lengths = np.pad(self._lengths, ((0, 0), (0, 0), (0, more)))
        self._lengths[kind, at] = 0
        self._lengths[kind, at, : len(lengths)] = lengths
        self._splices[kind, at] = len(lengths) - 1

    def latest(self) -> list[FoundWay]:
        """All ways that are kept, without a cost."""
        return [FoundWay(kind, 0, joints) for kind, ways in enumerate(self._joints) for joints in ways]

    def costs(self, prices: LengthPrices) -> Ints:
        """What the cheapest way known of each kind costs; NO_WAY where none is."""
        costs: Ints = self._costs(prices).min(axis=1)
        return costs

    def best(self, prices: LengthPrices) -> list[Composition]:
        """The cheapest way known of each kind."""
        at = self._costs(prices).argmin(axis=1).tolist()
        return [ways[slot] for ways, slot in zip(self._joints, at, strict=True)]

    def _costs(self, prices: LengthPrices) -> Ints:
        pieces = np.where(self._lengths > 0, prices.of(self._lengths), 0).sum(axis=2)
        return np.where(self._splices < 0, NO_WAY, pieces + self._splices * prices.splice)


def costs_of(members: Sequence[Member], ways: Sequence[FoundWay], prices: LengthPrices) -> list[int]:
    """What ways cost under prices other than those they were found under."""
    pieces = [lengths_of(members[way.kind], way.joints) for way in ways]
    flat = prices.of(np.array([length for each in pieces for length in each], dtype=np.int64)).tolist()
    costs, at = [], 0
    for each in pieces:
        costs.append(sum(flat[at : at + len(each)]) + prices.splice * (len(each) - 1))
        at += len(each)
    return costs
