"""Computes outside values for the sky tests and writes sky.json.

Run: /usr/bin/python3 tests/reference/make_sky_reference.py   (about five minutes)
Needs Debian's python3-astropy (ERFA) and python3-ephem. Nothing is downloaded.

Fixed targets, Sun and Moon: astropy over ERFA (IAU 2006/2000A precession-nutation, ERFA's epv00 and moon98).
Planets: geocentric astrometric places from PyEphem (VSOP87), because ERFA's own plan94 is only good to 1-2 arc
minutes for the outer ones; everything after that (aberration, frame of date, parallax, altitude) by astropy and ERFA.
UT1 = UTC, no refraction, no polar motion beyond astropy's default mean (0.3 arc seconds).
Times are Unix milliseconds, angles degrees, azimuth from north through east.
"""

import json
import math
import pathlib
import random
import warnings

import astropy
import astropy.units as u
import ephem
import erfa
import numpy as np
from astropy.coordinates import (
    ICRS, AltAz, CartesianRepresentation, EarthLocation, SkyCoord, get_body, get_body_barycentric,
    solar_system_ephemeris,
)
from astropy.time import Time
from astropy.utils import iers

iers.conf.auto_download = False
iers.conf.iers_degraded_accuracy = "ignore"
solar_system_ephemeris.set("builtin")
warnings.simplefilter("ignore")

TT_MINUS_UTC = 69.184
DAY_MS = 86_400_000
HOUR_MS = 3_600_000

# name, latitude, longitude, height: invented, spread over the globe and the latitudes where nights are odd
SITES = [
    ("Tern Hollow", 42.5, -100.5, 950),
    ("equator", 0.4, 36.2, 1800),
    ("southern", -33.2, 21.4, 1500),
    ("far southern", -54.7, -67.9, 40),
    ("temperate", 51.3, 5.6, 30),
    ("polar circle", 66.4, 25.1, 150),
    ("arctic", 69.7, 19.1, 90),
    ("high arctic", 78.3, 15.4, 20),
    ("antarctic", -77.8, 166.6, 30),
]


def location(site):
    return EarthLocation.from_geodetic(site[2] * u.deg, site[1] * u.deg, site[3] * u.m)


def times(unix_ms):
    time = Time(np.atleast_1d(np.asarray(unix_ms, dtype=float)) / 1000.0, format="unix", scale="utc")
    time.delta_ut1_utc = 0.0
    return time


def frame(unix_ms, site):
    time = times(unix_ms)
    return time, AltAz(obstime=time, location=location(site), pressure=0 * u.hPa)


def fixed_altaz(unix_ms, site, ra, dec):
    _, altaz = frame(unix_ms, site)
    place = SkyCoord(ra * u.deg, dec * u.deg, frame="icrs").transform_to(altaz)
    return place.alt.deg, place.az.deg


PLANETS = {name: getattr(ephem, name) for name in
           ("Mercury", "Venus", "Mars", "Jupiter", "Saturn", "Uranus", "Neptune")}


def planet_icrs(name, time):
    """Earth's place at the time plus the astrometric (light-time corrected) vector from the Earth."""
    vectors = []
    for unix in time.unix:
        date = ephem.Date(unix / 86400.0 + 25567.5)  # PyEphem counts days from 1899-12-31 12:00
        date = ephem.Date(date + (TT_MINUS_UTC - ephem.delta_t(date)) / 86400.0)
        body = PLANETS[name](date)
        ra, dec, distance = float(body.a_ra), float(body.a_dec), body.earth_distance
        vectors.append([distance * math.cos(dec) * math.cos(ra), distance * math.cos(dec) * math.sin(ra),
                        distance * math.sin(dec)])
    earth = get_body_barycentric("earth", time).xyz.to(u.au)
    return ICRS(CartesianRepresentation(earth + np.array(vectors).T * u.au))


def body_altaz(unix_ms, site, name):
    time, altaz = frame(unix_ms, site)
    if name in ("Sun", "Moon"):
        place = get_body(name.lower(), time, location(site)).transform_to(altaz)
    else:
        place = planet_icrs(name, time).transform_to(altaz)
    return place.alt.deg, place.az.deg


def moon_semidiameter(unix_ms):
    time = times(unix_ms)
    distance = get_body("moon", time).distance.to_value(u.km)
    return np.degrees(np.arcsin(1737.4 / distance))


def crossings(height, start, end, step_ms=300_000):
    """(time, rising) of the zeros of a vectorised function, by a grid and four secant steps."""
    grid = np.arange(start, end + step_ms, step_ms, dtype=float)
    values = height(grid)
    found = []
    for index in np.nonzero(np.sign(values[:-1]) * np.sign(values[1:]) < 0)[0]:
        low, high, low_value, high_value = grid[index], grid[index + 1], values[index], values[index + 1]
        for _ in range(4):
            middle = high - high_value * (high - low) / (high_value - low_value)
            value = float(height(middle)[0])
            if (value < 0) == (low_value < 0):
                low, low_value = middle, value
            else:
                high, high_value = middle, value
        root = high - high_value * (high - low) / (high_value - low_value)
        if start <= root <= end:
            found.append((root, bool(values[index] < 0)))
    return found


def noon_before(site, year, day_of_year):
    """Local mean noon, whole hours UTC: the start of a night."""
    midnight = Time(f"{year}:{day_of_year:03d}", format="yday", scale="utc").unix * 1000
    return int(midnight + round(12 - site[2] / 15) * HOUR_MS)


def rounded(value, digits):
    return None if value is None else round(float(value), digits)


def whole(value):
    return None if value is None else int(round(float(value)))


def first(found, rising):
    return next((time for time, up in found if up == rising), None)


def random_instant(chance):
    return int(chance.uniform(1_704_067_200, 1_924_991_999)) * 1000  # 2024-01-01 to 2030-12-31


def make_fixed(chance):
    rows = []
    for number in range(260):
        site_index = number % len(SITES)
        ra = round(chance.uniform(0, 360), 4)
        dec = round(math.degrees(math.asin(chance.uniform(-1, 1))), 4)
        unix_ms = random_instant(chance)
        alt, az = fixed_altaz(unix_ms, SITES[site_index], ra, dec)
        rows.append([site_index, unix_ms, ra, dec, rounded(alt[0], 5), rounded(az[0], 5)])
    return rows


def make_bodies(chance):
    rows = []
    for name in ("Sun", "Moon", "Moon", *PLANETS):
        for number in range(18):
            site_index = number % len(SITES)
            unix_ms = random_instant(chance)
            alt, az = body_altaz(unix_ms, SITES[site_index], name)
            rows.append([site_index, unix_ms, name, rounded(alt[0], 5), rounded(az[0], 5)])
    return rows


def make_twilights(chance):
    rows = []
    for site_index, site in enumerate(SITES):
        for day in (5, 60, 80, 120, 172, 204, 240, 266, 310, 335, 355):
            start = noon_before(site, chance.choice(range(2024, 2031)), day)
            end = start + DAY_MS
            for limit in (-50 / 60, -6, -12, -18):
                def height(t, limit=limit):
                    return body_altaz(t, site, "Sun")[0] - limit
                found = crossings(height, start, end)
                if len(found) > 2:
                    continue
                lowest = float(np.min(height(np.arange(start, end, 300_000.0))))
                if not found and abs(lowest) < 0.02 and lowest > 0:
                    continue  # too near grazing for a five-minute grid to say
                above = not found and lowest > 0
                course = "never-comes" if above else "never-ends" if not found else "comes-and-ends"
                rows.append([site_index, start, round(limit, 6), course, whole(first(found, False)),
                             whole(first(found, True))])
    return rows


def make_crossings(chance):
    """Rising, upper transit and setting of fixed targets and bodies over various limits."""
    rows = []
    for number in range(72):
        site_index = number % len(SITES)
        site = SITES[site_index]
        start = noon_before(site, chance.choice(range(2024, 2031)), chance.randrange(1, 366))
        limit = (-34 / 60, 0, 10, 20, 30)[number % 5]
        if number % 3 == 0:
            what = ("Jupiter", "Saturn", "Venus", "Mars", "Moon")[(number // 3) % 5]

            def altaz(t):
                return body_altaz(t, site, what)
        else:
            what = [round(chance.uniform(0, 360), 4), round(chance.uniform(-88, 88), 4)]

            def altaz(t):
                return fixed_altaz(t, site, *what)
        found = crossings(lambda t: altaz(t)[0] - limit, start, start + DAY_MS)
        transits = meridian(altaz, site, start)
        top = None if transits is None else altaz(transits)[0][0]
        rows.append([site_index, start, what, round(limit, 6), whole(first(found, True)), whole(transits),
                     rounded(top, 4), whole(first(found, False))])
    return rows


def meridian(altaz, site, start):
    """Upper transit: the westward component of the direction passes zero while the hour angle's cosine is positive."""
    latitude = math.radians(site[1])

    def west(t):
        alt, az = (np.radians(angle) for angle in altaz(t))
        return -np.cos(alt) * np.sin(az)

    def cosine_side(t):
        alt, az = (np.radians(angle) for angle in altaz(t))
        return math.cos(latitude) * np.sin(alt) - math.sin(latitude) * np.cos(alt) * np.cos(az)

    for time, rising in crossings(west, start, start + DAY_MS):
        if rising and cosine_side(time)[0] > 0:
            return time
    return None


def make_moon_nights(chance):
    """Moonrise and moonset of the upper limb through 34 arc minutes of refraction."""
    rows = []
    for number in range(27):
        site_index = number % len(SITES)
        site = SITES[site_index]
        start = noon_before(site, chance.choice(range(2024, 2031)), chance.randrange(1, 366))

        def height(t):
            return body_altaz(t, site, "Moon")[0] + 34 / 60 + moon_semidiameter(t)
        found = crossings(height, start, start + DAY_MS)
        rows.append([site_index, start, whole(first(found, True)), whole(first(found, False))])
    return rows


def limits(**changed):
    usual = {
        "altitudeDegrees": 20, "horizonMask": [], "sunAltitudeDegrees": -12, "brightSunAltitudeDegrees": -6,
        "brightMagnitude": 3, "sunSeparationDegrees": 30, "moonSeparationDegrees": 10, "hourAngleHours": None,
        "zenithHoleDegrees": None,
    }
    return {**usual, **changed}


def mask(*corners):
    return [{"azimuthDegrees": azimuth, "altitudeDegrees": altitude} for azimuth, altitude in corners]


LIMITS = [
    limits(horizonMask=mask((0, 22), (60, 14), (135, 12), (225, 16), (270, 26), (315, 24))),
    limits(altitudeDegrees=15, zenithHoleDegrees=6, sunAltitudeDegrees=-18,
           horizonMask=mask((20, 30), (80, 10), (81, 55), (84, 55), (85, 10), (200, 18), (300, 40))),
    limits(altitudeDegrees=10, hourAngleHours=4, moonSeparationDegrees=45, sunSeparationDegrees=60),
]


def mask_altitude(corners, azimuth):
    """Linear between corners, closed over north."""
    corners = sorted((c["azimuthDegrees"], c["altitudeDegrees"]) for c in corners)
    corners = [(corners[-1][0] - 360, corners[-1][1]), *corners, (corners[0][0] + 360, corners[0][1])]
    return np.interp(azimuth, [a for a, _ in corners], [h for _, h in corners])


def separation(a, b):
    (alt1, az1), (alt2, az2) = [tuple(np.radians(angle) for angle in place) for place in (a, b)]
    cosine = np.sin(alt1) * np.sin(alt2) + np.cos(alt1) * np.cos(alt2) * np.cos(az1 - az2)
    return np.degrees(np.arccos(np.clip(cosine, -1, 1)))


def window_margin(limit, site, what, bright, grid):
    """The smallest margin, degrees, over all limits at each instant: not negative while the target may be observed."""
    place = body_altaz(grid, site, what) if isinstance(what, str) else fixed_altaz(grid, site, *what)
    sun = body_altaz(grid, site, "Sun")
    alt, az = place
    sun_limit = limit["brightSunAltitudeDegrees"] if bright else limit["sunAltitudeDegrees"]
    margins = [sun_limit - sun[0], alt - limit["altitudeDegrees"], separation(place, sun) - limit["sunSeparationDegrees"]]
    if what != "Moon":
        margins.append(separation(place, body_altaz(grid, site, "Moon")) - limit["moonSeparationDegrees"])
    if limit["horizonMask"]:
        margins.append(alt - mask_altitude(limit["horizonMask"], az))
    if limit["zenithHoleDegrees"] is not None:
        margins.append(90 - alt - limit["zenithHoleDegrees"])
    if limit["hourAngleHours"] is not None:
        latitude, h, a = math.radians(site[1]), np.radians(alt), np.radians(az)
        west = -np.cos(h) * np.sin(a)
        south = math.cos(latitude) * np.sin(h) - math.sin(latitude) * np.cos(h) * np.cos(a)
        margins.append(limit["hourAngleHours"] * 15 - np.abs(np.degrees(np.arctan2(west, south))))
    return np.min(margins, axis=0)


def make_windows(chance):
    rows = []
    number = 0
    while len(rows) < 45 and number < 400:
        number += 1
        site_index = number % len(SITES)
        limit_index = number % len(LIMITS)
        start = noon_before(SITES[site_index], chance.choice(range(2024, 2031)), chance.randrange(1, 366))
        if number % 5 == 0:
            what, bright = ("Moon", "Jupiter", "Mars", "Venus")[number // 5 % 4], True
        else:
            what = [round(chance.uniform(0, 360), 4), round(SITES[site_index][1] + chance.uniform(-70, 70), 4)]
            if abs(what[1]) > 89:
                continue
            bright = number % 2 == 0
        grid = np.arange(start, start + DAY_MS + 1, 20_000.0)
        margin = window_margin(LIMITS[limit_index], SITES[site_index], what, bright, grid)
        edges = []
        if margin[0] >= 0:
            edges.append(start)
        for index in np.nonzero((margin[:-1] < 0) != (margin[1:] < 0))[0]:
            low, high = margin[index], margin[index + 1]
            edges.append(whole(grid[index] + 20_000 * low / (low - high)))
        if margin[-1] >= 0:
            edges.append(start + DAY_MS)
        if not edges and len(rows) % 9 != 8:
            continue  # a few nights without a window are enough
        rows.append([site_index, start, what, bright, limit_index, edges])
    return rows


def main():
    chance = random.Random(20261125)
    reference = {
        "madeBy": "make_sky_reference.py",
        "with": f"astropy {astropy.__version__}, ERFA {erfa.version.erfa_version}, PyEphem {ephem.__version__}",
        "sites": [list(site) for site in SITES],
        "fixed": make_fixed(chance),
        "bodies": make_bodies(chance),
        "twilights": make_twilights(chance),
        "crossings": make_crossings(chance),
        "moonNights": make_moon_nights(chance),
        "limits": LIMITS,
        "windows": make_windows(chance),
    }
    lines = ["{"]
    for key, value in reference.items():
        if isinstance(value, list):
            rows = ",\n".join(json.dumps(row, separators=(",", ":")) for row in value)
            lines.append(f'"{key}": [\n{rows}\n],')
        else:
            lines.append(f'"{key}": {json.dumps(value)},')
    lines[-1] = lines[-1].rstrip(",")
    lines.append("}")
    text = "\n".join(lines) + "\n"
    json.loads(text)
    pathlib.Path(__file__).with_name("sky.json").write_text(text)


if __name__ == "__main__":
    main()
