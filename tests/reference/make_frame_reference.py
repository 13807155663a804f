"""Makes small star fields and measures them with photutils and astropy: what a frame's stars should be found to be.

Run with Debian's python3-astropy and python3-photutils:  /usr/bin/python3 tests/reference/make_frame_reference.py
Writes frames/*.fits.gz and frames.json beside itself. Star images are Moffat (1969) profiles integrated over pixels;
noise is photon and read noise at a gain of 1.5 electrons per ADU. Counts are DAOStarFinder's (photutils), widths are medians of
two-dimensional Moffat fits, elongations of Gaussian ones (astropy.modeling), to the brighter stars.
"""
import gzip
import io
import json
import pathlib
import warnings

import astropy
import numpy
import photutils
from astropy.io import fits
from astropy.modeling import fitting, models
from astropy.stats import sigma_clipped_stats
from astropy.wcs import WCS
from photutils.detection import DAOStarFinder

HERE = pathlib.Path(__file__).parent
FOLDER = HERE / "frames"
SIDE = 256
GAIN = 1.5
READ_NOISE = 9.0
BIAS = 1000.0
SKY = 150.0
OVER = 5
random = numpy.random.default_rng(20261128)


def places(count, apart, edge=16):
    found = []
    while len(found) < count:
        x, y = random.uniform(edge, SIDE - edge, 2)
        if all((x - a) ** 2 + (y - b) ** 2 > apart**2 for a, b in found):
            found.append((x, y))
    return found


def moffat(dx, dy, fwhm, beta=3.5):
    alpha = fwhm / (2 * numpy.sqrt(2 ** (1 / beta) - 1))
    return (beta - 1) / (numpy.pi * alpha**2) * (1 + (dx**2 + dy**2) / alpha**2) ** -beta


def add(light, x, y, flux, shape, reach):
    """Adds a star whose brightness at an offset is shape(dx, dy), integrated over each pixel by sampling."""
    left, bottom = int(x) - reach, int(y) - reach
    steps = (numpy.arange(OVER * (2 * reach + 1)) + 0.5) / OVER - 0.5
    dx, dy = numpy.meshgrid(left + steps - x, bottom + steps - y)
    samples = shape(dx, dy) / OVER**2
    pixels = samples.reshape(2 * reach + 1, OVER, 2 * reach + 1, OVER).sum(axis=(1, 3))
    for row in range(2 * reach + 1):
        for column in range(2 * reach + 1):
            if 0 <= bottom + row < SIDE and 0 <= left + column < SIDE:
                light[bottom + row, left + column] += flux * pixels[row, column]


def camera(light):
    electrons = random.poisson(numpy.maximum(light + SKY, 0)) + random.normal(0, READ_NOISE, light.shape)
    return BIAS + electrons / GAIN


def field(stars, shape, reach=14):
    light = numpy.zeros((SIDE, SIDE))
    for x, y, flux in stars:
        add(light, x, y, flux, shape, reach)
    return camera(light)


def fluxes(count, least):
    return least * random.pareto(1.1, count) + least


def fitted(data, stars, fwhm, reach):
    _, level, _ = sigma_clipped_stats(data)
    widths, elongations = [], []
    for x, y, _ in sorted(stars, key=lambda star: -star[2])[:15]:
        bottom, left = int(round(y)) - reach, int(round(x)) - reach
        cut = data[bottom : bottom + 2 * reach + 1, left : left + 2 * reach + 1] - level
        if bottom < 0 or left < 0 or cut.shape != (2 * reach + 1, 2 * reach + 1):
            continue
        rows, columns = numpy.mgrid[: 2 * reach + 1, : 2 * reach + 1]
        start = models.Gaussian2D(cut.max(), reach, reach, fwhm / 2.355, fwhm / 2.3, 0.1)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            fit = fitting.LevMarLSQFitter()(start, columns, rows, cut)
            peak = fitting.LevMarLSQFitter()(models.Moffat2D(cut.max(), reach, reach, fwhm, 3), columns, rows, cut)
        one, other = abs(fit.x_stddev.value), abs(fit.y_stddev.value)
        widths.append(peak.fwhm)
        elongations.append(max(one, other) / min(one, other))
    return float(numpy.median(widths)), float(numpy.median(elongations))


def counted(data, fwhm):
    _, level, noise = sigma_clipped_stats(data)
    found = DAOStarFinder(fwhm=fwhm, threshold=5 * noise, sharplo=-5, sharphi=5, roundlo=-5, roundhi=5)(data - level)
    edge = 8
    inside = [
        (row["xcentroid"], row["ycentroid"])
        for row in found or []
        if edge <= row["xcentroid"] < SIDE - edge and edge <= row["ycentroid"] < SIDE - edge
    ]
    return len(inside)


def write(name, data, **cards):
    hdu = fits.PrimaryHDU(data)
    for keyword, value in cards.items():
        hdu.header[keyword.replace("_", "-")] = value
    stream = io.BytesIO()
    hdu.writeto(stream)
    (FOLDER / f"{name}.fits.gz").write_bytes(gzip.compress(stream.getvalue(), 9, mtime=0))


def kept(stars):
    return [[round(x, 3), round(y, 3), round(flux)] for x, y, flux in stars]


def star_frames():
    frames = {}

    def put(name, data, stars, fwhm, reach=6, **more):
        width, elongation = fitted(data.astype("float64"), stars, fwhm, reach)
        frames[name] = {
            "stars": kept(stars),
            "photutilsCount": counted(data.astype("float64"), fwhm),
            "fwhmPixels": round(width, 3),
            "elongation": round(elongation, 3),
            **more,
        }

    spots = places(50, 20)
    stars = [(x, y, flux) for (x, y), flux in zip(spots, fluxes(50, 2500))]
    scene = numpy.round(field(stars, lambda dx, dy: moffat(dx, dy, 3.4)))
    for name, data in {
        "uint8": numpy.clip(numpy.round((scene - 900) / 12), 0, 255).astype("uint8"),
        "int16": numpy.clip(scene, 0, 32767).astype("int16"),
        "uint16": numpy.clip(scene, 0, 65535).astype("uint16"),
        "int32": scene.astype("int32"),
        "int64": scene.astype("int64"),
        "float32": scene.astype("float32"),
        "float64": scene.astype("float64"),
    }.items():
        write(name, data)
        put(name, data, stars, 3.4, scale=12 if name == "uint8" else 1)

    for name, fwhm in {"sharp": 2.2, "soft": 5.5}.items():
        spots = places(60, 17)
        stars = [(x, y, flux) for (x, y), flux in zip(spots, fluxes(60, 4000 * (fwhm / 3) ** 1.2))]
        data = numpy.clip(field(stars, lambda dx, dy: moffat(dx, dy, fwhm)), 0, 65535).astype("uint16")
        write(name, data)
        put(name, data, stars, fwhm, reach=5 if fwhm < 3 else 9)

    spots = places(20, 32, edge=24)
    stars = [(x, y, flux) for (x, y), flux in zip(spots, fluxes(20, 9000))]

    def trail(length, angle):
        ways = numpy.linspace(-length / 2, length / 2, 25)
        cosine, sine = numpy.cos(numpy.radians(angle)), numpy.sin(numpy.radians(angle))
        return lambda dx, dy: sum(moffat(dx - way * cosine, dy - way * sine, 3.2) for way in ways) / len(ways)

    for name, length in {"slightTrail": 4.5, "trail": 14}.items():
        data = numpy.clip(field(stars, trail(length, 35), reach=20), 0, 65535).astype("uint16")
        write(name, data)
        put(name, data, stars, 4, reach=10)

    def ring(dx, dy):
        radius = numpy.hypot(dx, dy)
        inside = ((radius < 9) & (radius > 3.5)).astype("float64")
        return inside / (numpy.pi * (81 - 12.25))

    bright = [(x, y, 4 * flux) for x, y, flux in stars]
    data = numpy.clip(field(bright, ring, reach=14), 0, 65535).astype("uint16")
    write("defocused", data)
    frames["defocused"] = {"stars": kept(bright), "outerRadiusPixels": 9}

    data = numpy.round(BIAS + random.normal(0, READ_NOISE, (SIDE, SIDE)) / GAIN).astype("uint16")
    write("capOn", data)
    frames["capOn"] = {"stars": []}
    return frames


def world_coordinates():
    """Where astropy's WCS puts places, for each way in which a header may write the same thing (papers I and II)."""
    made = []
    for name, ra, dec, cards in [
        ("CD", 250.4235, 36.4613, {"CD1_1": -1.3e-4, "CD1_2": 0.8e-4, "CD2_1": 0.8e-4, "CD2_2": 1.3e-4}),
        ("CD, mirrored", 0.05, -5.0, {"CD1_1": 1.5e-4, "CD1_2": 0.0, "CD2_1": 0.0, "CD2_2": 1.5e-4}),
        ("CDELT and CROTA2", 83.8, -5.39, {"CDELT1": -1.5e-4, "CDELT2": 1.5e-4, "CROTA2": 33.0}),
        ("CDELT alone", 201.7, -47.5, {"CDELT1": -1.5e-4, "CDELT2": 1.5e-4}),
        ("PC and CDELT", 37.95, 89.2, {
            "CDELT1": -1.5e-4, "CDELT2": 1.5e-4, "PC1_1": 0.8, "PC1_2": -0.6, "PC2_1": 0.6, "PC2_2": 0.8}),
    ]:
        header = fits.Header()
        header["NAXIS"], header["NAXIS1"], header["NAXIS2"] = 2, 2048, 1500
        header["CTYPE1"], header["CTYPE2"] = "RA---TAN", "DEC--TAN"
        header["CRVAL1"], header["CRVAL2"] = ra, dec
        header["CRPIX1"], header["CRPIX2"] = 1000.25, 760.5
        for keyword, value in cards.items():
            header[keyword] = value
        wcs = WCS(header)
        pixels = [[1, 1], [2048, 1], [700.25, 1300.5], [1024.5, 750.5]]
        made.append({
            "name": name,
            "cards": {keyword: header[keyword] for keyword in header},
            "places": [
                {"pixel": pixel, "sky": [float(angle) for angle in wcs.all_pix2world([pixel], 1)[0]]}
                for pixel in pixels
            ],
        })
    return made


FOLDER.mkdir(exist_ok=True)
reference = {
    "source": f"photutils {photutils.__version__}, astropy {astropy.__version__}, make_frame_reference.py",
    "side": SIDE,
    "gainElectronsPerAdu": GAIN,
    "frames": star_frames(),
    "worldCoordinates": world_coordinates(),
}
(HERE / "frames.json").write_text(json.dumps(reference, indent=None).replace('}, "', '},\n"') + "\n")
for name, frame in reference["frames"].items():
    print(name, {key: value for key, value in frame.items() if key != "stars"}, len(frame["stars"]))
