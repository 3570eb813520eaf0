"""Decodes a picture with Pillow, HEIC with libheif, sets it upright and leaves its samples for a test.

Arguments: the picture, a folder. Writes the files rgba and, where there is one, icc; prints width and height.
"""

import pathlib
import sys

from PIL import Image, ImageOps

import pillow_heif

pillow_heif.register_heif_opener()
picture, folder = sys.argv[1], pathlib.Path(sys.argv[2])
image = Image.open(picture)
profile = image.info.get("icc_profile")
image.load()
image = ImageOps.exif_transpose(image)
(folder / "rgba").write_bytes(image.convert("RGBA").tobytes())
if profile:
    (folder / "icc").write_bytes(profile)
print(*image.size)
