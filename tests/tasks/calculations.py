"""Calculations for a process of the pool that do what a test says."""

import os
import time

from estimator.errors import Fault, JobRefused


def add(one, other, *, tell):
    tell(1, 2)
    return one + other


def process(*, tell):
    return os.getpid()


def sleep(seconds, *, tell):
    time.sleep(seconds)
    return seconds


def refuse(*, tell):
    raise JobRefused("no such roof", [Fault("/roofs/0", "no such roof", "a roof")])


def fail(*, tell):
    raise KeyError("secret")


def fill(size, *, tell):
    return len(bytearray(size))
