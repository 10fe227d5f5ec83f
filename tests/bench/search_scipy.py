#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The candidates of one search once more, by NumPy and SciPy.

  search_scipy.py SEARCH_CASES [--check]

SEARCH_CASES is the program that writes the search. Everything here is written from the equations again: driver and
cavity as complex admittances, the bore's friction and heat by SciPy's Bessel functions, the high-pass by
scipy.signal, the tuning by scipy.optimize. All candidates of a port are one array, candidates by frequencies. What the
search does besides is not asked of it: placing the ports (sums over the cavity's modes), keeping the best, the whole
model of those shown. So the ratio of speeds is a lower bound.

With --check it only tells the largest differences, and fails where they are too large.
"""
import json
import subprocess
import sys
import time

import numpy as np
from scipy import optimize, signal, special

J = 1j


def held_share(port, omega, diffusivity):
    """Share of the section that the wall holds back."""
    if port["slot_height"] > 0:
        y = port["slot_height"] / 2 * np.sqrt(J * omega / diffusivity)
        return np.tanh(y) / y
    z = port["radius"] * np.sqrt(-J * omega / diffusivity)
    # exponentially scaled, both alike
    return 2 * special.jve(1, z) / (z * special.jve(0, z))


def bore(port, omega, air):
    """Propagation constant [1/m] and characteristic impedance of one tube [Pa s/m3]."""
    nu = air["mu"] / air["rho"]
    friction, heat = held_share(port, omega, nu), held_share(port, omega, nu / air["Pr"])
    series = J * omega * air["rho"] / (1 - friction)
    shunt = J * omega / (air["rho"] * air["c"] ** 2) * (1 + (air["gamma"] - 1) * heat)
    return np.sqrt(series * shunt), np.sqrt(series / shunt) / port["area"]


def outer_mouth(port, omega, air):
    """Impedance of each outer mouth [Pa s/m3] by its reflection, the others of the port in phase beside it."""
    n1, d1, d2 = (0.167, 1.393, 0.457) if port["outer_free"] else (0.182, 1.825, 0.649)
    x = J * omega * port["radius"] / air["c"]
    reflection = -(1 + n1 * x) / (1 + d1 * x + d2 * x**2)
    beside = (port["count"] - 1) * (0.25 if port["outer_free"] else 0.5) * x**2 / (1 - port["count"] * x**2)
    rest = port["outer"] - (d1 - n1) / 2 * port["radius"]
    section = air["rho"] / port["area"]
    return section * (air["c"] * ((1 + reflection) / (1 - reflection) - beside) + J * omega * rest)


def tunings(job, port):
    """Roots of the equation of lines at the lengths that were placed [Hz]."""
    air, fill, S = job["air"], job["fill"], port["count"] * port["area"]
    node = {k: np.array(port[k]) for k in ("line", "l0", "l2", "A", "d", "A1", "P", "volume")}

    def unbalanced(k):
        omega = k * air["c"]
        gamma, Z = bore(port, omega, air)
        mass = ((gamma * Z * port["area"]) / J).real / (air["rho"] * omega)
        spring = ((gamma / (Z * port["area"])) / J).real * air["rho"] * air["c"] ** 2 / omega
        z, phase = np.sqrt(mass / spring), k * np.sqrt(mass * spring) * node["line"]
        outer = outer_mouth({**port, "count": 1}, omega, air).imag * port["area"] / (air["rho"] * air["c"])
        held = np.minimum(k, port["held_from"] if port["held_from"] > 0 else 0)
        X = (z * np.tan(phase + np.arctan(outer / z)) + k * (node["l0"] + node["l2"] * held**2)) / S
        kc = k * np.sqrt(fill)
        Y = np.sqrt(fill) * (node["A"] * np.tan(kc * node["d"]) + node["A1"] * np.tan(kc * node["P"]))
        return np.log(X * Y)

    start = np.sqrt(S / ((node["line"] + port["outer"] + node["l0"]) * fill * node["volume"])) * 0.97
    return optimize.newton(unbalanced, start, tol=1e-9, maxiter=100) * air["c"] / (2 * np.pi)


class Housing:
    """All that no port changes."""

    def __init__(self, job):
        d, feed, air = job["driver"], job["feed"], job["air"]
        self.job, self.air = job, air
        self.frequency = np.array(job["frequency"])
        self.omega = w = 2 * np.pi * self.frequency
        b, a = signal.butter(feed["order"], 2 * np.pi * feed["corner"], "highpass", analog=True)
        self.E = feed["voltage"] * np.abs(signal.freqs(b, a, w)[1])
        self.Ze = d["Re"] + J * w * d["Le"]
        self.Zm = d["Rms"] + J * (w * d["Mms"] - 1 / (w * d["Cms"]))
        self.band = slice(*job["band"])

    def scores(self, port, place):
        job, d, air, w, n = self.job, self.job["driver"], self.air, self.omega, port["count"]
        rho, c, fill = air["rho"], air["c"], job["fill"]
        col = {k: v[:, None] for k, v in place.items()}
        gamma, Z = bore(port, w, air)
        outer = outer_mouth(port, w, air)
        ch, sh = np.cosh(gamma * col["line"]), np.sinh(gamma * col["line"])
        k = np.minimum(w / c, port["held_from"])
        inner = J * w * rho / port["area"] * (col["l0"] + col["l2"] * k**2)

        # the cavity's air: between driver and mouth, beyond the mouth, beyond the driver
        at = np.minimum(d["at"], col["P"] + col["d"])
        beside = at <= col["P"]
        own = np.where(col["P"] > 0, col["A1"], col["A"])
        across_area = np.where(beside, own, col["A"])
        across = np.where(beside, col["P"] - at, at - col["P"])
        mouth_area, mouth = np.where(beside, col["A"], own), np.where(beside, col["d"], col["P"])
        driver_area = np.where(beside, col["A1"], col["A"])
        stub = np.where(beside, at, col["d"] + col["P"] - at)
        kc, root = w * np.sqrt(fill) / c, np.sqrt(fill)

        # losses given by Q, at w0 of the textbook mass and one spring
        C = fill * col["volume"] / (rho * c**2)
        M = rho * (col["nominal"] + port["textbook_ends"]) / (n * port["area"])
        w0 = 1 / np.sqrt(M * C)
        leak = w0 * C / job["leak_q"]
        wt = w / (w0 * job["lining_q"])
        lining = J * w * C / (1 + J * wt) - J * w * C
        share = (mouth_area * mouth + across_area * across / 2) / col["volume"]

        Y_beyond = J * mouth_area * root / (rho * c) * np.tan(kc * mouth) + share * lining
        tan, cos = np.tan(kc * across), np.cos(kc * across)
        Z_across = rho * c / (across_area * root)
        Y_driver = leak + (1 - share) * lining + J * driver_area * root / (rho * c) * np.tan(kc * stub)

        def response(sel, resistance=0.0):
            """Flow out of the port, of everything, and cone velocity per newton of force."""
            out = outer[sel] + resistance
            B = Z[sel] * sh[:, sel] + inner[:, sel] * ch[:, sel]
            D = sh[:, sel] / Z[sel]
            B, D = B + (ch[:, sel] + inner[:, sel] * D) * out, ch[:, sel] + D * out
            Ym = n * D / B + Y_beyond[:, sel]
            down = 1 + J * Z_across * tan[:, sel] * Ym  # pressure at the driver over that at the mouth, over cos
            Y = (Ym + J * tan[:, sel] / Z_across) / down + Y_driver[:, sel]
            load = d["Sd"] ** 2 / Y
            motor = d["Bl"] ** 2 / self.Ze[sel]
            v = 1 / (self.Zm[sel] + motor + load)
            p = d["Sd"] / Y
            port_flow = p / (cos[:, sel] * down) * n / B
            total = d["Sd"] - port_flow - leak * p
            plain = total / (self.Zm[sel] + d["Bl"] ** 2 / d["Re"] + load)
            current = np.abs(1 - d["Bl"] ** 2 / self.Ze[sel] * v)  # over that of the coil held still
            return np.abs(port_flow * v), np.abs(total * v), np.abs(v), np.abs(plain), current

        everywhere = slice(None)
        force = d["Bl"] * self.E / np.abs(self.Ze)
        port_flow, total, v, plain, current = response(everywhere)
        level = w * rho / (job["solid_angle"] * job["distance"]) * total * force
        travel = np.sqrt(2) * v * force / w

        def over(port_flow, v, current, sel):
            return np.maximum.reduce([
                (np.sqrt(2) * v * force[sel] / w[sel] / d["Xmax"]) ** 2,
                (np.sqrt(2) * port_flow * force[sel] / (n * port["area"] * port["air_limit"])) ** 2,
                d["Re"] * (self.E[sel] / np.abs(self.Ze[sel]) * current) ** 2 / d["power"]])

        b = self.band
        ratio = over(port_flow[:, b], v[:, b], current[:, b], b)
        # separation at the ends, by the flow at the limit: u peak of each tube
        speed = np.sqrt(2) * port_flow[:, b] * force[b] / (n * port["area"]) / np.sqrt(ratio)
        drag = 4 / (3 * np.pi) * rho * port["separation_k"] * speed / port["area"]
        limited_flow, limited, limited_v, _, limited_current = response(b, drag)
        at_limit = w[b] * rho / (job["solid_angle"] * job["distance"]) * limited * force[b]
        quietest = (at_limit**2 / over(limited_flow, limited_v, limited_current, b)).min(axis=1)

        power = (plain * w * d["Mms"] / d["Sd"]) ** 2
        in_band = 20 * np.log10(level[:, b])
        return {"loudest": 10 * np.log10(quietest / 20e-6**2), "ripple": in_band.max(axis=1) - in_band.min(axis=1),
                "travel": travel.max(axis=1), "f3": self.half_power(power)}

    def half_power(self, power):
        """From the top down to where half the power is left, a straight line in logarithms."""
        top = self.job["f3_from"]
        below = power[:, :top] < 0.5
        found = below.any(axis=1)
        i = top - 1 - np.argmax(below[:, ::-1], axis=1)
        row = np.arange(len(power))
        t = np.log(0.5 / power[row, i]) / np.log(power[row, i + 1] / power[row, i])
        f = self.frequency[i] * (self.frequency[i + 1] / self.frequency[i]) ** t
        return np.where(power[:, top] < 0.5, np.inf, np.where(found, f, self.frequency[0]))


def reckon(job):
    housing, results = Housing(job), []
    for port in job["ports"]:
        length, nominal = port["length"], port["nominal"]
        place = {k: np.interp(length, nominal, port[k])
                 for k in ("nominal", "line", "l0", "l2", "volume", "A", "d", "A1", "P")}
        scores = housing.scores(port, place)
        scores["tuning"] = np.interp(length, nominal, tunings(job, port) ** -2.0) ** -0.5
        results.append(scores)
    return results


def differences(job, results):
    """The largest of each score: decibels as they are, the rest relative."""
    worst = {}
    for port, ours in zip(job["ports"], results):
        for name, values in ours.items():
            theirs = np.array(port[name])
            with np.errstate(invalid="ignore"):
                apart = np.abs(values - theirs) if name in ("loudest", "ripple") else np.abs(values / theirs - 1)
            apart[(values == theirs)] = 0  # both infinite
            worst[name] = max(worst.get(name, 0), np.nan_to_num(apart, nan=np.inf).max())
    return worst


def main():
    program, check = sys.argv[1], "--check" in sys.argv
    job = json.loads(subprocess.run([program], check=True, capture_output=True).stdout)
    for port in job["ports"]:
        for name, value in port.items():
            if isinstance(value, list):
                port[name] = np.array(value)
    begin = time.perf_counter()
    results = reckon(job)
    seconds = time.perf_counter() - begin
    count = sum(len(port["length"]) for port in job["ports"])
    worst = differences(job, results)
    print(f"{count} candidates of {len(job['ports'])} ports; largest differences:",
          ", ".join(f"{name} {value:.1e}" for name, value in sorted(worst.items())))
    if check:
        # The same equations: what is apart is rounding, and the bore's line from a piece of it, right to 1e-7. The
        # search's tuning has the wall's layer as a thin one where it is below 0.02 of the bore: next term 4e-4.
        allowed = {"loudest": 1e-6, "ripple": 1e-6, "travel": 1e-7, "f3": 1e-7, "tuning": 5e-4}
        sys.exit(not all(worst[name] <= allowed[name] for name in allowed))
    rate = job["candidates"] / job["seconds_one_thread"]
    print(f"search, one thread: {rate / 1e3:.0f} k candidates/s, placing, ranking and the whole model of those shown "
          "included")
    print(f"NumPy and SciPy:    {count / seconds / 1e3:.0f} k candidates/s, response and tuning alone; "
          f"{rate * seconds / count:.1f} times slower")


if __name__ == "__main__":
    main()
