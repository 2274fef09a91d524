"""Gives the column of column.c to LSODA of SciPy: lsoda.py LIBRARY TOLERANCE...

The equations stay in C, so that what is timed is the solver and not Python's
arithmetic. Reads, runs and prints as column does: BDF with a banded Jacobian by
difference quotients, begun anew each hour. The number told is that of times the
equations were asked.
"""
import ctypes
import sys
import time

import numpy
from scipy.integrate import ode

EACH, RUNS = 3, 5

lib = ctypes.CDLL(sys.argv[1])
real = ctypes.POINTER(ctypes.c_double)
lib.rates.argtypes = [ctypes.c_double, ctypes.c_double, real, real]
lib.rates.restype = None
lib.pour.argtypes = [real, ctypes.c_double, ctypes.c_double]
lib.pour.restype = None
lib.hour.argtypes = [ctypes.c_int, real, real]
lib.hour.restype = ctypes.c_double

hours = ctypes.c_int()
layers = lib.take(ctypes.byref(hours))
if not layers:
    sys.exit(1)
size = EACH * layers + 1


def array():
    a = numpy.zeros(size)
    return a, a.ctypes.data_as(real)


def run(tolerance):
    state, at_state = array()
    asked, at_asked = array()
    told, at_told = array()
    scale, at_scale = array()
    lib.begin(at_state, at_scale)
    air, rh, calls, rates = ctypes.c_double(), ctypes.c_double(), 0, lib.rates

    def f(_, y):
        nonlocal calls
        calls += 1
        asked[:] = y
        rates(air, rh, at_asked, at_told)
        return told

    solver = ode(f).set_integrator("lsoda", method="bdf", rtol=tolerance, atol=tolerance * scale, lband=2 * EACH - 1, uband=2 * EACH - 1, nsteps=1000000)
    began = time.thread_time()
    for i in range(hours.value):
        water = lib.hour(i, ctypes.byref(air), ctypes.byref(rh))
        if water > 0:
            lib.pour(at_state, water, air)
        solver.set_initial_value(state, i * 3600.0)
        state[:] = solver.integrate((i + 1) * 3600.0)
        if not solver.successful():
            sys.exit(f"LSODA gave up in hour {i}")
    return time.thread_time() - began, calls, state


for tolerance in sys.argv[2:]:
    best = min((run(float(tolerance)) for _ in range(RUNS)), key=lambda r: r[0])
    print(tolerance, "%.9g" % best[0], best[1], *("%.12g" % v for v in best[2][:-1]))
