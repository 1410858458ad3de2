# ruff: noqa: PLR0912, PLR0915, PLR0917 - compiled as one piece, by position
"""The compiled core of vein shadows: one photon's path, and many veins laid across it.

Loaded on use by `dimming`, for it needs numba. Under broad even light nothing depends on the
place across the skin, so each path may be shifted until it leaves at the pixel looked at. The
same paths therefore serve every depth, diameter and place of a vein: its absorption dims a path
by the length inside, and its reduced scattering by the ratio of the path's chances.
"""

import math

import numpy as np

from cubital.calc.light.transport.dimming import (
    ABSORPTION,
    ANISOTROPY,
    BOTTOM,
    CENTRE_Z,
    INDEX,
    RADIUS,
    SCATTERING,
    STEPS,
)
from cubital.calc.light.transport.photons import _free_path, _fresnel, _next, _turn, _unit
from cubital.calc.shared.compiling import compiled


@compiled()
def _walk(s, layers, outside, xs, zs, ways, places):
    """Follow one photon until it leaves; return the state, steps, layer of exit and cosine.

    The cosine outside is 0 for a photon that was absorbed, left below or was given up (-1).
    """
    x, z, ux, uy, uz, layer = 0.0, 0.0, 0.0, 0.0, 1.0, 0
    last = len(layers) - 1
    xs[0], zs[0] = x, z
    for i in range(1, STEPS):
        free, s = _free_path(s)
        step, boundary = free / layers[layer, SCATTERING], 0
        top = layers[layer - 1, BOTTOM] if layer > 0 else 0.0
        if z + step * uz < top:
            step, boundary = (top - z) / uz, -1
        elif z + step * uz > layers[layer, BOTTOM]:
            step, boundary = (layers[layer, BOTTOM] - z) / uz, 1
        x += step * ux
        z += step * uz
        xs[i], zs[i], ways[i] = x, z, step
        places[i] = layer if boundary == 0 else -1 - layer  # negative: ends without a scattering
        drawn, s = _next(s)
        if _unit(drawn) >= math.exp(-layers[layer, ABSORPTION] * step):
            return s, i, 0.0
        if boundary == 0:
            ux, uy, uz, s = _turn(ux, uy, uz, layers[layer, ANISOTROPY], s)
            continue
        z = zs[i] = top if boundary < 0 else layers[layer, BOTTOM]
        leaves = layer == (0 if boundary < 0 else last)
        if leaves:
            index = outside[0] if boundary < 0 else outside[1]
        else:
            index = layers[layer + boundary, INDEX]
        ratio = layers[layer, INDEX] / index
        reflectance, beyond = _fresnel(abs(uz), ratio)
        drawn, s = _next(s)
        if _unit(drawn) < reflectance:
            uz = -uz
        elif leaves:
            return s, i, beyond if boundary < 0 else 0.0
        else:
            ux, uy, uz = ux * ratio, uy * ratio, math.copysign(beyond, uz)
            layer += boundary
    return s, STEPS, -1.0


@compiled()
def _inside(xa, za, xb, zb, centre_x, centre_z, radius):
    """Return the share of a straight step that lies within a vein.

    Examples
    --------
    >>> _inside(-2.0, 0.0, 2.0, 0.0, 0.0, 0.0, 1.0)
    0.5
    """
    dx, dz = xb - xa, zb - za
    px, pz = xa - centre_x, za - centre_z
    flat = dx * dx + dz * dz
    towards = px * dx + pz * dz
    root = towards * towards - flat * (px * px + pz * pz - radius * radius)
    if root <= 0 or flat <= 0:
        return 0.0
    root = math.sqrt(root)
    return max(min(1.0, (root - towards) / flat) - max(0.0, (-towards - root) / flat), 0.0)


@compiled()
def cast(
    photons,
    seeds,
    layers,
    outside,
    exit_cosine,
    veins,
    across,
    backgrounds,
    absorptions,
    scatterings,
):
    """Sum over photons what leaves, and what each vein takes from it.

    `backgrounds` are absorptions of all layers, one set a row; `absorptions` and `scatterings` are
    the veins' own, a scattering of 0 meaning that of the surroundings. Returns the sum of weights
    by set; the sum of losses by set, scattering, absorption, vein and place; and the photons that
    were given up.
    """
    s = (seeds[0], seeds[1], seeds[2], seeds[3])
    xs, zs, ways = np.zeros(STEPS), np.zeros(STEPS), np.zeros(STEPS)
    places = np.zeros(STEPS, np.int64)
    n_layers, n_sets = len(layers), len(backgrounds)
    n_veins, n_across = across.shape
    n_abs, n_sca = len(absorptions), len(scatterings)
    total = np.zeros(n_sets)
    loss = np.zeros((n_sets, n_sca, n_abs, n_veins, n_across))
    length = np.zeros((n_veins, n_across, 2, n_layers))
    hits = np.zeros((n_veins, n_across, 2, n_layers))
    touched = np.zeros((n_veins, n_across), np.bool_)
    in_layer, weights = np.zeros(n_layers), np.zeros(n_sets)
    own, seen, taken = np.zeros(n_abs), np.zeros(n_sets), np.zeros((n_sets, n_sca, n_abs))
    lost = 0

    for _ in range(photons):
        s, steps, cosine = _walk(s, layers, outside, xs, zs, ways, places)
        if cosine < 0:
            lost += 1
        if cosine <= 0 or cosine < exit_cosine:
            continue
        # ---- path lengths by layer, and within each vein
        in_layer[:] = 0.0
        out = xs[steps]
        for i in range(1, steps + 1):
            ends = places[i] < 0
            layer = -1 - places[i] if ends else places[i]
            in_layer[layer] += ways[i]
            low, high = min(zs[i - 1], zs[i]), max(zs[i - 1], zs[i])
            left, right = min(xs[i - 1], xs[i]) - out, max(xs[i - 1], xs[i]) - out
            for v in range(n_veins):
                centre, radius = veins[v, CENTRE_Z], veins[v, RADIUS]
                if high <= centre - radius or low >= centre + radius:
                    continue
                for k in range(n_across):
                    for side in range(2):
                        if side == 1 and across[v, k] == 0:
                            continue
                        axis = across[v, k] * (1 - 2 * side)
                        if right <= axis - radius or left >= axis + radius:
                            continue
                        share = _inside(
                            xs[i - 1] - out, zs[i - 1], xs[i] - out, zs[i], axis, centre, radius
                        )
                        if share > 0:
                            touched[v, k] = True
                            length[v, k, side, layer] += share * ways[i]
                        if not ends:
                            px, pz = xs[i] - out - axis, zs[i] - centre
                            if px * px + pz * pz < radius * radius:
                                hits[v, k, side, layer] += 1.0
        # ---- the photon's weight with each background
        for b in range(n_sets):
            extra = 0.0
            for layer in range(n_layers):
                extra += (backgrounds[b, layer] - layers[layer, ABSORPTION]) * in_layer[layer]
            weights[b] = math.exp(-extra)
            total[b] += weights[b]
        # ---- what each vein takes from it
        for v in range(n_veins):
            for k in range(n_across):
                if not touched[v, k]:
                    continue
                touched[v, k] = False
                sides = 1 if across[v, k] == 0 else 2
                taken[:] = 0.0
                for side in range(sides):
                    whole, met, chance = 0.0, 0.0, 0.0
                    seen[:] = 0.0
                    for layer in range(n_layers):
                        here, count = length[v, k, side, layer], hits[v, k, side, layer]
                        length[v, k, side, layer] = hits[v, k, side, layer] = 0.0
                        whole += here
                        met += count
                        scattering = layers[layer, SCATTERING]
                        chance += scattering * here - count * math.log(scattering)
                        for b in range(n_sets):
                            seen[b] += backgrounds[b, layer] * here
                    if whole == 0:
                        continue
                    for a in range(n_abs):
                        own[a] = math.exp(-absorptions[a] * whole)
                    for b in range(n_sets):
                        seen[b] = weights[b] * math.exp(seen[b])
                    for c in range(n_sca):
                        ratio = 1.0
                        if scatterings[c] > 0:
                            power = chance + met * math.log(scatterings[c]) - scatterings[c] * whole
                            ratio = math.exp(power)
                        for b in range(n_sets):
                            for a in range(n_abs):
                                taken[b, c, a] += weights[b] - seen[b] * ratio * own[a]
                for b in range(n_sets):
                    for c in range(n_sca):
                        for a in range(n_abs):
                            loss[b, c, a, v, k] += taken[b, c, a] / sides
    return total, loss, lost
