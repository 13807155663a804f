"""Computes outside places of small bodies and writes orbits.json.

Run: /usr/bin/python3 tests/reference/make_orbit_reference.py   (a few seconds)
Needs Debian's python3-skyfield and python3-astropy (ERFA). Nothing is downloaded.

Orbits come from config/small-bodies.txt, read by column as the Minor Planet Center's tables of MPCORB.DAT and
CometEls.txt say. Two-body motion: skyfield's propagation from the state vector at the epoch or perihelion. The Earth:
ERFA's epv00. Astrometric places: light time, no aberration, ICRF. Times are Julian dates (TT), angles degrees.
"""

import json
import math
import pathlib

import erfa
import numpy as np
from skyfield.keplerlib import ele_to_vec, propagate

FOLDER = pathlib.Path(__file__).parent
GM_SUN = 0.01720209895**2  # au³/day²: Gauss's constant
LIGHT_DAYS_PER_AU = 499.004783836 / 86400
OBLIQUITY = math.radians(84381.448 / 3600)  # of J2000, IAU 1976: that of the Center's elements


def epoch_of(packed):
    letter = lambda c: int(c) if c.isdigit() else ord(c) - ord("A") + 10
    year = letter(packed[0]) * 100 + int(packed[1:3])
    return sum(erfa.cal2jd(year, letter(packed[3]), letter(packed[4])))


def minor_planet(line):
    degrees = lambda a, b: math.radians(float(line[a:b]))
    a, e, mean = float(line[92:103]), float(line[70:79]), degrees(26, 35)
    epoch = epoch_of(line[20:25])
    perihelion = epoch - (((mean + math.pi) % (2 * math.pi)) - math.pi) / math.sqrt(GM_SUN / a**3)
    return line[166:194].strip(), a * (1 - e), e, degrees(59, 68), degrees(48, 57), degrees(37, 46), perihelion


def comet(line):
    degrees = lambda a, b: math.radians(float(line[a:b]))
    day = float(line[22:29])
    perihelion = sum(erfa.cal2jd(int(line[14:18]), int(line[19:21]), 1)) + day - 1
    return (line[102:158].strip(), float(line[30:39]), float(line[41:49]), degrees(71, 79), degrees(61, 69),
            degrees(51, 59), perihelion)


def heliocentric(orbit, jd):
    _, q, e, inclination, node, argument, perihelion = orbit
    state = ele_to_vec(q * (1 + e), e, inclination, node, argument, 0.0, GM_SUN)
    position, velocity = (np.array(each, dtype=float).reshape(3) for each in state)
    at, _ = propagate(position, velocity, perihelion, np.array([jd]), GM_SUN)
    x, y, z = np.array(at).reshape(3)
    c, s = math.cos(OBLIQUITY), math.sin(OBLIQUITY)
    return np.array([x, c * y - s * z, s * y + c * z])


def seen(orbit, jd):
    earth = np.array(erfa.epv00(jd, 0.0)[0]["p"])
    delay = 0.0
    for _ in range(5):
        line = heliocentric(orbit, jd - delay) - earth
        delay = np.linalg.norm(line) * LIGHT_DAYS_PER_AU
    x, y, z = line
    return math.degrees(math.atan2(y, x)) % 360, math.degrees(math.atan2(z, math.hypot(x, y)))


lines = (FOLDER / "../../config/small-bodies.txt").read_text().splitlines()
orbits = [minor_planet(each) if each[:5].isdigit() and each[5] == " " else comet(each)
          for each in lines if each and not each.startswith("#")]
rows = []
for orbit in orbits:
    for days in range(-400, 401, 100):
        jd = 2461371.5 + days
        ra, dec = seen(orbit, jd)
        rows.append([orbit[0], jd, round(ra, 6), round(dec, 6)])
text = "[\n" + ",\n".join(json.dumps(row) for row in rows) + "\n]\n"
(FOLDER / "orbits.json").write_text(text)
print(len(rows), "places")
