"""Opening a photograph, against general-purpose peers in the same run: python3 tests/speed/compare.py [ROUNDS]

The work: the bytes of a JPEG, set upright, averaged by area in linear light to at most 4096 pixels a side, its L*
under D65, and a colour copy of a fifth of its size. Ours, libvips and OpenCV take turns, each with its default number
of threads, and each by the fastest way that was found for it. Medians are printed, then the ratios, the peak memory of
each process, and how far the middle half of our times and theirs spreads. It sets itself up in the build's folder.

It also holds our tonal map to a float64 area average of the very pixels that we were given, at every pixel.
"""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import venv

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PEERS = os.path.join(ROOT, "target", "peers")
NEEDED = ["numpy==2.2.6", "opencv-python-headless==4.12.0.88", "pyvips==3.0.0", "pyvips-binary==8.17.2"]
SIDE = 4096
# Opens a process; the first warms up and is left out.
OPENS = 3
# L*, worst pixel: a 16-bit code of Y errs by up to .007 near black, and float32 sums add less than the rest.
AVERAGE = 0.01
# L*, mean: two JPEG decoders round differently, by about .02 in the mean.
DECODERS = 0.05
# A machine with more than this to do besides gives times that say little.
BUSY = 0.5


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
    messages = (json.loads(line) for line in output(build).splitlines())
    return [it["executable"] for it in messages if it.get("executable")][-1]


def output(command):
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True, cwd=ROOT).stdout


# Run in a process of its own: prints milliseconds, and the peak of its memory.
CHILD = r"""
import sys, time
peer, path, rounds, side = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
data = open(path, 'rb').read()
import numpy as np
if peer == 'OpenCV':
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
            # Held in memory, since it is used twice; without a reduction, computing it twice is the faster way.
            linear = linear.resize(scale, kernel='linear').copy_memory()
        lightness = linear.colourspace('lab')[0].write_to_memory()
        small = linear.resize(.2, kernel='linear').colourspace('srgb').write_to_memory()
        return lightness, small
for _ in range(rounds):
    begun = time.perf_counter()
    open_one()
    print('%.1f' % ((time.perf_counter() - begun) * 1000))
# Not getrusage's peak: a child takes its parent's over.
print('peak', next(int(line.split()[1]) for line in open('/proc/self/status') if line.startswith('VmHWM')) // 1000)
"""


def run(command):
    lines = output(command).split("\n")
    times = [float(line) for line in lines if line and line[0].isdigit()]
    return times[1:], int(next(line for line in lines if line.startswith("peak")).split()[1])


def worst_of_the_average(program, pixels):
    """L* between our map of `pixels` and their average; they are handed over as a BMP, which no decoder rounds."""
    import cv2

    with tempfile.NamedTemporaryFile(suffix=".bmp", dir=PEERS) as same:
        cv2.imwrite(same.name, pixels)
        return difference(our_map(program, same.name), pixels).max()


def our_map(program, path):
    import numpy as np

    with tempfile.NamedTemporaryFile(dir=PEERS) as out:
        output([program, "open", path, "1", out.name])
        return np.fromfile(out.name, np.uint16).astype(np.float64) / 65535


def difference(ours, pixels):
    """|L*| between a map of Y and the float64 area average of 8-bit sRGB pixels, as OpenCV orders them."""
    import numpy as np

    codes = np.arange(256) / 255
    linear = np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)
    blue, green, red = (linear[pixels[:, :, channel]] for channel in range(3))
    # IEC 61966-2-1's primaries under D65.
    luminance = 0.212639 * red + 0.715169 * green + 0.072192 * blue
    scale = min(1, SIDE / max(luminance.shape))
    height, width = (round(side * scale) for side in luminance.shape)
    for cells in (height, width):
        luminance = averaged(luminance, cells).T
    # CIE 15:2018.
    lightness = lambda y: np.where(y > 216 / 24389, 116 * np.cbrt(y) - 16, 24389 / 27 * y)
    return np.abs(lightness(ours.reshape(height, width)) - lightness(luminance))


def averaged(rows, cells):
    """Means of `cells` equal parts of the rows: differences of their running integral at the parts' ends."""
    import numpy as np

    if cells == len(rows):
        return rows
    integral = np.vstack([np.zeros_like(rows[:1]), np.cumsum(rows, axis=0)])
    ends = np.arange(cells + 1) * len(rows) / cells
    whole = np.minimum(ends.astype(int), len(rows) - 1)
    at_ends = integral[whole] + (ends - whole)[:, None] * rows[whole]
    return np.diff(at_ends, axis=0) * cells / len(rows)


def spread(times):
    """Half of the middle half's width, in per cent of the median."""
    lower, middle, upper = statistics.quantiles(times, n=4)
    return 50 * (upper - lower) / middle


def compare(program, name, path, rounds):
    import cv2

    commands = {"ours": [program, "open", path, str(OPENS)]} | {
        peer: [sys.executable, "-c", CHILD, peer, path, str(OPENS), str(SIDE)] for peer in ("OpenCV", "libvips")
    }
    times, peaks = {peer: [] for peer in commands}, dict.fromkeys(commands, 0)
    for _ in range(rounds):
        for peer, command in commands.items():
            some, peak = run(command)
            times[peer] += some
            peaks[peer] = max(peak, peaks[peer])
    pixels = cv2.imread(path)
    worst = worst_of_the_average(program, pixels)
    assert worst < AVERAGE, worst
    mean = difference(our_map(program, path), pixels).mean()
    assert mean < DECODERS, mean
    medians = {peer: statistics.median(some) for peer, some in times.items()}
    cells = [f"{name} ({os.path.getsize(path) / 1e6:.1f} MB)"]
    cells += [f"{median:.0f} ms" for median in medians.values()]
    cells += [f"{medians['ours'] / medians[peer]:.2f}" for peer in ("OpenCV", "libvips")]
    cells += [" / ".join(str(peak) for peak in peaks.values()) + " MB"]
    cells += [" / ".join(f"{spread(some):.0f}" for some in times.values()) + " %", f"{worst:.4f} L*"]
    print("| " + " | ".join(cells) + " |", flush=True)


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    program = our_program()
    photos = [line.split("\t") for line in output([program, "draw"]).splitlines()]
    load = os.getloadavg()[0]
    state = "busy: the times say little" if load > BUSY else "quiet"
    print(f"{os.cpu_count()} cores, {state} (load {load:.1f}); medians of {rounds * (OPENS - 1)}\n")
    print("| | ours | OpenCV | libvips | of OpenCV | of libvips | peaks | spread | map, worst pixel |")
    print("|" + "---|" * 9)
    for name, path in photos:
        compare(program, name, path, rounds)


in_the_peers_python()
main()
