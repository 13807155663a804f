"""Writes small FITS files with astropy, and where astropy's WCS puts places on a gnomonic field.

Run with Debian's python3-astropy:  /usr/bin/python3 tests/reference/make_fits_reference.py
"""
import base64
import io
import json
import pathlib

import astropy
import numpy
from astropy.io import fits
from astropy.wcs import WCS

HERE = pathlib.Path(__file__).parent
SHAPE = (5, 7)


def file_of(data, **cards):
    hdu = fits.PrimaryHDU(data)
    for keyword, value in cards.items():
        hdu.header[keyword] = value
    stream = io.BytesIO()
    hdu.writeto(stream)
    return base64.b64encode(stream.getvalue()).decode()


def ramp(dtype, scale=1, zero=0):
    values = numpy.arange(SHAPE[0] * SHAPE[1]).reshape(SHAPE) * scale + zero
    return values.astype(dtype)


def files():
    made = {
        "uint8": ramp("uint8", 7),
        "int16": ramp("int16", -900),
        "uint16": ramp("uint16", 1800, 100),
        "int32": ramp("int32", -1_000_003),
        "float32": ramp("float32", 0.125, -1.5),
        "float64": ramp("float64", 1.0e-3, 2.0),
    }
    return {
        name: {
            "file": file_of(data, OBJECT="it's M13", EXPTIME=60.5, SIMULATE=True),
            "values": [float(value) for value in data.astype("float32").ravel()],
        }
        for name, data in made.items()
    }


def places():
    cases = []
    for ra, dec in [(250.4235, 36.4613), (0.05, -5.0), (83.8, 89.2), (201.7, -47.5)]:
        wcs = WCS(naxis=2)
        wcs.wcs.ctype = ["RA---TAN", "DEC--TAN"]
        wcs.wcs.crval = [ra, dec]
        wcs.wcs.crpix = [1024.5, 1024.5]
        step = 9 / 3400 / 1000 * 180 / numpy.pi
        wcs.wcs.cdelt = [-step, step]
        for x, y in [(1, 1), (2048, 1), (700.25, 1500.5), (1024.5, 1024.5), (2048, 2048)]:
            sky = wcs.all_pix2world([[x, y]], 1)[0]
            cases.append(
                {
                    "centre": [ra, dec],
                    "ra": float(sky[0]),
                    "dec": float(sky[1]),
                    "pixel": [x, y],
                }
            )
    return cases


reference = {
    "source": f"astropy {astropy.__version__} (astropy.io.fits, astropy.wcs), make_fits_reference.py",
    "width": SHAPE[1],
    "height": SHAPE[0],
    "files": files(),
    "places": places(),
}
(HERE / "fits.json").write_text(json.dumps(reference, indent=1) + "\n")
