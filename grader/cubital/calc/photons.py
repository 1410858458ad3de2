"""The compiled core of photon transport: one photon after another through layers and veins.

Loaded on use by `transport`, for it needs numba. Against the standard multi-layer algorithm
(Wang, Jacques and Zheng 1995) absorption is continuous along the path and settled only when a
photon changes its medium, and photons are rouletted and split by weight and depth, so that time
goes to those that can still reach the surface. Both leave every expected value as it is.
"""

import math

import numpy as np

from cubital.calc.compiling import compiled

inline = compiled(forceinline=True)

FAR_MM = 1e30  # mm: stands for an infinite thickness, and keeps arithmetic finite
ULP = 2.0**-53  # 2^-53: from the upper 53 bits of a random integer to the unit interval
SLOTS = 256  # steps of the exponential's staircase: one byte of the random integer
STACK = 48  # split photons that wait; when full, splitting pauses

# How fates, photons, exits, media, layers and veins are laid out in arrays
DIFFUSE, DETECTED, TRANSMITTED, BALANCE, ABSORBED = range(5)
X, Y, Z, UX, UY, UZ, WEIGHT, STRENGTH, IMPORTANCE, MEDIUM, LAYER, PATHS = range(12)
EXIT_WEIGHT, EXIT_X, EXIT_Y, EXIT_COSINE, EXIT_PATHS = range(5)
ABSORPTION, FREE_PATH, ANISOTROPY, INDEX = range(4)
TOP, BOTTOM, PULL = range(3)
AXIS_X, AXIS_Z, RADIUS = range(3)

# The weight window: how far a photon's weight times the chance of its depth may fall (as a
# logarithm) before roulette, and rise before it is split
ROULETTE_BELOW, SPLIT_ABOVE = -1.0, 0.5
HALVING = math.log(2)


def _staircase() -> tuple[np.ndarray, np.ndarray]:
    """Return the steps under exp(-x) of equal area: right ends and heights (Marsaglia, Tsang)."""
    start = 7.69711747013104972  # where the tail begins, for 256 steps of equal area
    ends = np.empty(SLOTS + 1)
    area = math.exp(-start) * (start + 1)
    ends[0], ends[1] = area / math.exp(-start), start
    for step in range(1, SLOTS - 1):
        ends[step + 1] = -math.log(math.exp(-ends[step]) + area / ends[step])
    ends[SLOTS] = 0.0
    return ends, np.exp(-ends)


ENDS, HEIGHTS = _staircase()


@inline
def _next(s):
    """Return a random integer of 64 bits and the next state (xoshiro256+)."""
    a, b, c, d = s
    drawn = a + d
    t = b << np.uint64(17)  # 17: shift of the generator
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= t
    d = (d << np.uint64(45)) | (d >> np.uint64(19))  # 45: turn of the generator; 19 = 64 - 45
    return drawn, (a, b, c, d)


@inline
def _unit(drawn):
    """Return a number in [0, 1) from the upper bits of a random integer."""
    return np.int64(drawn >> np.uint64(11)) * ULP  # 11 = 64 - 53


@inline
def _free_path(s):
    """Return a free path in mean free paths (exponential, by the ziggurat) and the state."""
    while True:
        drawn, s = _next(s)
        slot = np.int64((drawn >> np.uint64(3)) & np.uint64(255))  # 3, 255: a byte of good bits
        path = _unit(drawn) * ENDS[slot]
        if path < ENDS[slot + 1]:
            return path, s
        drawn, s = _next(s)
        if slot == 0:
            return ENDS[1] - math.log(1 - _unit(drawn)), s
        low = HEIGHTS[slot]
        if low + _unit(drawn) * (HEIGHTS[slot + 1] - low) < math.exp(-path):
            return path, s


@inline
def _turn(ux, uy, uz, g, s):
    """Return a direction after a Henyey-Greenstein scattering, and the state.

    A random point in the unit disc gives both the azimuth, by its place, and the polar angle, by
    the square of its radius, which is uniform.
    """
    while True:
        drawn, s = _next(s)
        # 31, 32, 33: the upper bits as two signed numbers from -1 to 1
        p = np.int64(drawn >> np.uint64(32)) * 2.0**-31 - 1
        q = np.int64(drawn & np.uint64(0xFFFFFFFF)) * 2.0**-31 - 1  # the lower 32 bits
        square = p * p + q * q
        if 0 < square < 1:
            break
    if g == 0:
        cosine = 2 * square - 1
    else:
        ratio = (1 - g * g) / (1 - g + 2 * g * square)
        cosine = (1 + g * g - ratio * ratio) / (2 * g)
    scale = math.sqrt(max(1 - cosine * cosine, 0.0) / square)
    p, q = p * scale, q * scale
    sign = math.copysign(1.0, uz)
    along = ux * p + uy * q
    common = cosine - along / (sign + uz)
    return sign * p + ux * common, sign * q + uy * common, cosine * uz - along, s


@inline
def _fresnel(cosine, ratio):
    """Return reflectance and cosine beyond a boundary; `ratio` is index before over beyond."""
    square = ratio * ratio * (1 - cosine * cosine)
    if square >= 1:
        return 1.0, 0.0
    beyond = math.sqrt(1 - square)
    across = (ratio * cosine - beyond) / (ratio * cosine + beyond)
    along = (ratio * beyond - cosine) / (ratio * beyond + cosine)
    return 0.5 * (across * across + along * along), beyond


@inline
def _wall(x, z, ux, uz, vein, reach):
    """Return the way to a vein's wall from outside, or FAR_MM if it is beyond reach."""
    dx, dz, radius = x - vein[AXIS_X], z - vein[AXIS_Z], vein[RADIUS]
    square = dx * dx + dz * dz
    if square > (radius + reach) * (radius + reach):
        return FAR_MM
    towards = dx * ux + dz * uz
    if towards >= 0:
        return FAR_MM
    flat = ux * ux + uz * uz
    root = towards * towards - flat * (square - radius * radius)
    if root <= 0:
        return FAR_MM
    return max((-towards - math.sqrt(root)) / flat, 0.0)


@compiled()
def trace(photons, seeds, media, layers, veins, outside, beam_mm, bins, tally, exits):
    """Follow photons to their ends; add their fates to `tally`, and list exits in `exits`.

    Examples
    --------
    >>> callable(trace)
    True
    """
    s = (seeds[0], seeds[1], seeds[2], seeds[3])
    n_layers, n_veins, n_media = len(layers), len(veins), len(media)
    detect_cosine, radial_mm, across_mm, across_start_mm = bins[0], bins[1], bins[2], bins[3]
    n_radial, n_across = int(bins[4]), int(bins[5])
    radial_0 = ABSORBED + n_media
    across_0 = radial_0 + n_radial
    stack = np.zeros((STACK, PATHS + n_media))
    paths = np.zeros(n_media)
    listed, capacity, keep_one_in = 0, len(exits), 1.0

    for _ in range(photons):
        waiting = 1
        stack[0, :] = 0.0
        stack[0, UZ] = stack[0, WEIGHT] = stack[0, STRENGTH] = 1.0
        if beam_mm > 0:
            drawn, s = _next(s)
            stack[0, X] = (_unit(drawn) - 0.5) * beam_mm
        while waiting > 0:
            waiting -= 1
            row = stack[waiting]
            x, y, z, ux, uy, uz = row[X], row[Y], row[Z], row[UX], row[UY], row[UZ]
            weight, strength, importance = row[WEIGHT], row[STRENGTH], row[IMPORTANCE]
            medium, layer = int(row[MEDIUM]), int(row[LAYER])
            for i in range(n_media):
                paths[i] = row[PATHS + i]
            alive = True
            while alive:
                mua, free, g, index = media[medium]
                top, bottom, pull = layers[layer, TOP], layers[layer, BOTTOM], layers[layer, PULL]
                in_vein = medium >= n_layers
                path = 0.0
                hit = -1
                # importance: log(strength) - integral of pull over depth, at (z0, path 0)
                level = importance + pull * z
                # ---- steps within one medium
                while True:
                    step, s = _free_path(s)
                    step *= free
                    event = 0
                    z_next = z + step * uz
                    if in_vein:
                        vein = veins[medium - n_layers]
                        dx, dz, radius = x - vein[AXIS_X], z - vein[AXIS_Z], vein[RADIUS]
                        ex, ez = dx + step * ux, dz + step * uz
                        if ex * ex + ez * ez > radius * radius:
                            towards, flat = dx * ux + dz * uz, ux * ux + uz * uz
                            root = towards * towards - flat * (dx * dx + dz * dz - radius * radius)
                            step = max((math.sqrt(max(root, 0.0)) - towards) / flat, 0.0)
                            event = 4
                    else:
                        if z_next < top:
                            step, event = (top - z) / uz, 1
                        elif z_next > bottom:
                            step, event = (bottom - z) / uz, 2
                        for v in range(n_veins):
                            way = _wall(x, z, ux, uz, veins[v], step)
                            if way < step:
                                step, event, hit = way, 3, v
                    x += step * ux
                    y += step * uy
                    z += step * uz
                    path += step
                    if event != 0:
                        break
                    ux, uy, uz, s = _turn(ux, uy, uz, g, s)
                    now = level - mua * path - pull * z
                    if now < ROULETTE_BELOW or now > SPLIT_ABOVE:
                        event = 5
                        break
                # ---- settle what this path absorbed
                left = math.exp(-mua * path)
                tally[ABSORBED + medium] += strength * (1 - left)
                strength *= left
                paths[medium] += path
                importance = level - mua * path - pull * z
                if event == 5:
                    if importance > SPLIT_ABOVE:
                        if waiting < STACK:
                            strength *= 0.5
                            weight *= 0.5
                            importance -= HALVING
                            row = stack[waiting]
                            row[X], row[Y], row[Z], row[UX], row[UY], row[UZ] = x, y, z, ux, uy, uz
                            row[WEIGHT], row[STRENGTH], row[IMPORTANCE] = (
                                weight,
                                strength,
                                importance,
                            )
                            row[MEDIUM], row[LAYER] = medium, layer
                            for i in range(n_media):
                                row[PATHS + i] = paths[i]
                            waiting += 1
                    else:
                        drawn, s = _next(s)
                        if _unit(drawn) < 0.5:
                            tally[BALANCE] -= strength
                            strength *= 2
                            weight *= 2
                            importance += HALVING
                        else:
                            tally[BALANCE] += strength
                            alive = False
                elif event <= 2:
                    # ---- a flat boundary
                    up = event == 1
                    z = top if up else bottom
                    leaves = layer == (0 if up else n_layers - 1)
                    target = layer - 1 if up else layer + 1
                    beyond_index = (
                        (outside[0] if up else outside[1]) if leaves else media[target, INDEX]
                    )
                    cosine = -uz if up else uz
                    beyond, ratio, reflected = cosine, index / beyond_index, False
                    if ratio != 1:
                        reflectance, beyond = _fresnel(cosine, ratio)
                        drawn, s = _next(s)
                        reflected = _unit(drawn) < reflectance
                    if reflected:
                        uz = -uz
                    elif not leaves:
                        ux, uy, uz = ux * ratio, uy * ratio, math.copysign(beyond, uz)
                        medium = layer = target
                    else:
                        alive = False
                        if not up:
                            tally[TRANSMITTED] += strength
                            continue
                        tally[DIFFUSE] += strength
                        if beyond < detect_cosine:
                            continue
                        tally[DETECTED] += strength
                        if n_radial > 0:
                            bin_ = int(math.sqrt(x * x + y * y) / radial_mm)
                            if bin_ < n_radial:
                                tally[radial_0 + bin_] += strength
                        if n_across > 0:
                            place = (x - across_start_mm) / across_mm
                            if beam_mm > 0:
                                place -= math.floor(place / n_across) * n_across
                            if 0 <= place < n_across:
                                tally[across_0 + int(place)] += strength
                        if capacity > 0:
                            if keep_one_in > 1:
                                drawn, s = _next(s)
                                if _unit(drawn) * keep_one_in >= 1:
                                    continue
                            if listed == capacity:
                                # full: thin the list to half, at random, and take half from now on
                                kept = 0
                                for i in range(capacity):
                                    drawn, s = _next(s)
                                    if drawn >> np.uint64(63):  # 63: the uppermost bit
                                        exits[kept, :] = exits[i, :]
                                        kept += 1
                                listed = kept
                                keep_one_in *= 2
                                for i in range(kept):
                                    exits[i, EXIT_WEIGHT] *= 2
                                if _unit(drawn) >= 0.5:
                                    continue
                            line = exits[listed]
                            line[EXIT_WEIGHT] = weight * keep_one_in
                            line[EXIT_X], line[EXIT_Y], line[EXIT_COSINE] = x, y, beyond
                            for i in range(n_media):
                                line[EXIT_PATHS + i] = paths[i]
                            listed += 1
                else:
                    # ---- a vein's wall: into it, or out of it
                    into = event == 3
                    vein = veins[hit if into else medium - n_layers]
                    nx, nz = (x - vein[AXIS_X]) / vein[RADIUS], (z - vein[AXIS_Z]) / vein[RADIUS]
                    if into:
                        nx, nz = -nx, -nz
                        target = n_layers + hit
                    else:
                        target = 0
                        while target < n_layers - 1 and z > layers[target, BOTTOM]:
                            target += 1
                        layer = target
                    cosine = max(ux * nx + uz * nz, 0.0)
                    ratio = index / media[target, INDEX]
                    reflected = False
                    if ratio != 1:
                        reflectance, beyond = _fresnel(cosine, ratio)
                        drawn, s = _next(s)
                        reflected = _unit(drawn) < reflectance
                        if reflected:
                            ux, uz = ux - 2 * cosine * nx, uz - 2 * cosine * nz
                        else:
                            bend = beyond - ratio * cosine
                            ux, uy, uz = ratio * ux + bend * nx, ratio * uy, ratio * uz + bend * nz
                    if not reflected:
                        medium = target
    return listed
