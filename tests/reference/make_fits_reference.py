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
        "int64": ramp("int64", 3_000_000_000),
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


def encoded(hdus):
    stream = io.BytesIO()
    fits.HDUList(hdus).writeto(stream)
    return base64.b64encode(stream.getvalue()).decode()


def odd():
    """Images that need more than their numbers read: each with the values astropy gives for it."""
    table = fits.BinTableHDU.from_columns([fits.Column("place", "J", array=numpy.arange(900))])
    empty = fits.PrimaryHDU()
    empty.header["FILTER"] = "V"
    plain = ramp("int16", 11)

    holed = ramp("int16", 3, 100)
    blank = fits.PrimaryHDU(holed.copy())
    blank.data[1, 2] = -32768
    blank.header["BLANK"] = -32768
    filled = holed.astype("float64")
    filled[1, 2] = numpy.median(numpy.delete(holed.ravel(), 1 * SHAPE[1] + 2))

    gap = ramp("float32", 3, 100)
    gap[1, 2] = numpy.nan

    scaled = fits.PrimaryHDU(ramp("int16", 1, 0))
    scaled_bytes = bytearray(base64.b64decode(encoded([scaled])))
    for card in (fits.Card("BSCALE", 0.25), fits.Card("BZERO", -3.0)):
        end = scaled_bytes.index(b"END" + b" " * 77)
        scaled_bytes[end : end + 160] = str(card).encode().ljust(80) + b"END".ljust(80)
    with fits.open(io.BytesIO(bytes(scaled_bytes))) as read:
        scaled_values = read[0].data.astype("float64")

    long_text = fits.PrimaryHDU(plain)
    long_text.header["OBJECT"] = "#12 " + ("a long name " * 12).strip()
    made = {
        "extension": (encoded([empty, table, fits.ImageHDU(plain)]), plain),
        "blank": (encoded([blank]), filled),
        "notANumber": (encoded([fits.PrimaryHDU(gap)]), filled),
        "scaled": (base64.b64encode(bytes(scaled_bytes)).decode(), scaled_values),
        "longText": (encoded([long_text]), plain),
    }
    return {
        name: {"file": file, "values": [float(value) for value in values.ravel()]}
        for name, (file, values) in made.items()
    }


def refused():
    table = fits.BinTableHDU.from_columns([fits.Column("place", "J", array=numpy.arange(9))])
    empty = fits.PrimaryHDU()
    return {
        "tileCompressed": encoded([empty, fits.CompImageHDU(ramp("int16", 3), compression_type="RICE_1")]),
        "cube": encoded([fits.PrimaryHDU(numpy.zeros((3, *SHAPE), dtype="int16"))]),
        "tableOnly": encoded([empty, table]),
        "allBlank": encoded([fits.PrimaryHDU(numpy.full(SHAPE, numpy.nan, dtype="float32"))]),
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
    "odd": odd(),
    "refused": refused(),
    "places": places(),
}
(HERE / "fits.json").write_text(json.dumps(reference, indent=1) + "\n")
