"""Opening a photograph, against general-purpose peers in the same run: python3 tests/speed/compare.py [ROUNDS]

The work: the bytes of a JPEG, set upright, averaged by area in linear light to at most 4096 pixels a side, its L*
under D65, and a colour copy of a fifth of its size. Ours, libvips and OpenCV take turns, each with its default number
of threads; medians are printed. It sets itself up in the build's folder. Machines are noisy: trust the ratios.

It also holds our tonal map to a float64 area average of the same decoded pixels.
"""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
import venv

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PEERS = os.path.join(ROOT, "target", "peers")
NEEDED = ["numpy==2.2.6", "opencv-python-headless==4.12.0.88", "pyvips==3.0.0", "pyvips-binary==8.17.2"]
SIDE = 4096
# L* between our tonal map and the float64 average of what OpenCV's libjpeg decoded: the decoders differ by about .02
# in the mean; the averaging by less than .01 (held apart by the tests of core's area average).
DECODERS = 0.05


def in_the_peers_python():
    python = os.path.join(PEERS, "bin", "python")
    if sys.executable == python:
        return
    if not os.path.exists(python):
        venv.create(PEERS, with_pip=True)
    subprocess.run([python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *NEEDED], check=True)
    os.execv(python, [python, *sys.argv])


def our_program():
    build = ["cargo", "bench", "-p", "tonefast-core", "--bench", "peers", "--no-run", "--message-format=json"]
    lines = subprocess.run(build, check=True, capture_output=True, text=True, cwd=ROOT).stdout.splitlines()
    messages = (json.loads(line) for line in lines)
    return [it["executable"] for it in messages if it.get("executable")][-1]


# Run in a process of its own: prints milliseconds, and the peak of its memory.
CHILD = r"""
import sys, time, resource
peer, path, rounds, side = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
data = open(path, 'rb').read()
import numpy as np
if peer == 'opencv':
    import cv2
    codes = np.arange(256) / 255
    table = np.where(codes <= .04045, codes / 12.92, ((codes + .055) / 1.055) ** 2.4).astype(np.float32)
    def open_one():
        linear = cv2.LUT(cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR), table)
        height, width = linear.shape[:2]
        scale = min(1, side / max(height, width))
        if scale < 1:
            linear = cv2.resize(linear, (round(width * scale), round(height * scale)), interpolation=cv2.INTER_AREA)
        lightness = cv2.extractChannel(cv2.cvtColor(linear, cv2.COLOR_LBGR2Lab), 0)
        small = cv2.resize(linear, (linear.shape[1] // 5, linear.shape[0] // 5), interpolation=cv2.INTER_AREA)
        return lightness, small
else:
    import pyvips
    def open_one():
        linear = pyvips.Image.new_from_buffer(data, '').autorot().colourspace('scrgb')
        scale = min(1, side / max(linear.width, linear.height))
        if scale < 1:
            linear = linear.resize(scale, kernel='linear')
        lightness = linear.colourspace('lab')[0].write_to_memory()
        small = linear.resize(.2, kernel='linear').colourspace('srgb').write_to_memory()
        return lightness, small
for _ in range(rounds):
    begun = time.perf_counter()
    open_one()
    print('%.1f' % ((time.perf_counter() - begun) * 1000))
print('peak', resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1000)
"""


def run(command):
    lines = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split("\n")
    times = [float(line) for line in lines if line and line[0].isdigit()]
    # The first warms caches up.
    return times[1:], int(next(line for line in lines if line.startswith("peak")).split()[1])


def check(program, path):
    import cv2
    import numpy as np

    with tempfile.NamedTemporaryFile() as out:
        subprocess.run([program, "open", path, "1", out.name], check=True, capture_output=True)
        ours = np.fromfile(out.name, np.uint16).astype(np.float64) / 65535
    encoded = cv2.imread(path).astype(np.float64)[:, :, ::-1] / 255
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    luminance = linear @ np.array([0.212639, 0.715169, 0.072192])
    scale = min(1, SIDE / max(luminance.shape))
    height, width = (round(side * scale) for side in luminance.shape)
    reference = weights(luminance.shape[0], height) @ luminance @ weights(luminance.shape[1], width).T
    lightness = lambda y: np.where(y > 216 / 24389, 116 * np.cbrt(y) - 16, 24389 / 27 * y)
    difference = np.abs(lightness(ours.reshape(height, width)) - lightness(reference))
    assert difference.mean() < DECODERS, difference.mean()
    return difference.mean()


def weights(pixels, cells):
    """Rows of exact area weights."""
    import numpy as np

    step = pixels / cells
    starts = np.arange(cells)[:, None] * step
    at = np.arange(pixels)[None, :]
    return np.clip(np.minimum(at + 1, starts + step) - np.maximum(at, starts), 0, 1) / step


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    program = our_program()
    photos = [line.split("\t") for line in subprocess.run([program, "draw"], check=True, capture_output=True, text=True).stdout.splitlines()]
    print("| | ours | OpenCV | libvips | of OpenCV | of libvips | our peak | map against float64 |")
    print("|---|---|---|---|---|---|---|---|")
    for name, path in photos:
        commands = {
            "ours": [program, "open", path, "3"],
            "opencv": [sys.executable, "-c", CHILD, "opencv", path, "3", str(SIDE)],
            "libvips": [sys.executable, "-c", CHILD, "libvips", path, "3", str(SIDE)],
        }
        times, peaks = {peer: [] for peer in commands}, {}
        for _ in range(rounds):
            for peer, command in commands.items():
                some, peak = run(command)
                times[peer] += some
                peaks[peer] = max(peak, peaks.get(peer, 0))
        ours, opencv, libvips = (statistics.median(times[peer]) for peer in commands)
        error = check(program, path)
        print(f"| {name} ({os.path.getsize(path) / 1e6:.1f} MB) | {ours:.0f} ms | {opencv:.0f} ms | {libvips:.0f} ms | "
              f"{ours / opencv:.2f} | {ours / libvips:.2f} | {peaks['ours']} MB | {error:.3f} L* |", flush=True)


in_the_peers_python()
main()
