/* The standard multi-layer Monte Carlo of light in tissue, written plainly, as a yardstick.
 *
 * The algorithm is the published one (Wang, Jacques and Zheng 1995): packets of weight that hop,
 * drop a share of their weight into a grid at every step, and spin by Henyey and Greenstein;
 * Fresnel reflection at the faces, layers with boundaries, roulette below a weight of 0.0001 with
 * a chance of 1 in 10, and the escaping weight scored by radius.
 *
 * usage: standard_multilayer PHOTONS SEED
 * prints: seconds of its core, mean and variance per photon of the diffuse reflectance, the
 * transmittance, the absorption of each layer, mean and variance of each ring's share, and the
 * sum of the grid
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define LAYERS 2
#define RINGS 100
#define DEPTHS 200
#define RING_MM 0.1
#define DEPTH_MM 0.05
#define SMALLEST_WEIGHT 1e-4
#define CHANCE 0.1
#define STRAIGHT 0.99999999

static const double thickness[LAYERS] = {0.1, 10.0};
static const double mua[LAYERS] = {0.2, 0.03}, mus[LAYERS] = {10.0, 15.0}, g[LAYERS] = {0.85, 0.9};
static const double n[LAYERS + 2] = {1.0, 1.4, 1.4, 1.0}; /* above, layers, below */

static double absorbed[RINGS][DEPTHS], ring[RINGS], absorbed_in[LAYERS];

static uint64_t state[4];

static inline uint64_t turned(uint64_t x, int k) { return (x << k) | (x >> (64 - k)); }

static inline double uniform(void) /* xoshiro256+, in (0, 1] */
{
    const uint64_t drawn = state[0] + state[3], t = state[1] << 17;
    state[2] ^= state[0];
    state[3] ^= state[1];
    state[1] ^= state[2];
    state[0] ^= state[3];
    state[2] ^= t;
    state[3] = turned(state[3], 45);
    return ((drawn >> 11) + 1) * 0x1p-53;
}

static void seed_state(uint64_t seed) /* splitmix64 */
{
    for (int i = 0; i < 4; i++) {
        uint64_t z = (seed += 0x9e3779b97f4a7c15u);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
        state[i] = z ^ (z >> 31);
    }
}

static double fresnel(double n1, double n2, double cos1, double *cos2)
{
    if (n1 == n2) {
        *cos2 = cos1;
        return 0.0;
    }
    const double sin1 = sqrt(1.0 - cos1 * cos1), sin2 = n1 * sin1 / n2;
    if (sin2 >= 1.0) {
        *cos2 = 0.0;
        return 1.0;
    }
    *cos2 = sqrt(1.0 - sin2 * sin2);
    const double rs = (n1 * cos1 - n2 * *cos2) / (n1 * cos1 + n2 * *cos2);
    const double rp = (n1 * *cos2 - n2 * cos1) / (n1 * *cos2 + n2 * cos1);
    return 0.5 * (rs * rs + rp * rp);
}

static void spin(double g, double *ux, double *uy, double *uz)
{
    double cost;
    if (g == 0.0) {
        cost = 2.0 * uniform() - 1.0;
    } else {
        const double ratio = (1.0 - g * g) / (1.0 - g + 2.0 * g * uniform());
        cost = (1.0 + g * g - ratio * ratio) / (2.0 * g);
    }
    const double sint = sqrt(fmax(1.0 - cost * cost, 0.0));
    const double psi = 2.0 * M_PI * uniform();
    const double cosp = cos(psi), sinp = sin(psi);
    const double x = *ux, y = *uy, z = *uz;
    if (fabs(z) > STRAIGHT) {
        *ux = sint * cosp;
        *uy = sint * sinp;
        *uz = cost * (z >= 0.0 ? 1.0 : -1.0);
    } else {
        const double across = sqrt(1.0 - z * z);
        *ux = sint * (x * z * cosp - y * sinp) / across + x * cost;
        *uy = sint * (y * z * cosp + x * sinp) / across + y * cost;
        *uz = -sint * cosp * across + z * cost;
    }
}

static int bin(double value, double width, int bins)
{
    const int found = (int)(value / width);
    return found < bins - 1 ? found : bins - 1;
}

int main(int argc, char **argv)
{
    if (argc != 3)
        return 2;
    const long photons = atol(argv[1]);
    seed_state(strtoull(argv[2], NULL, 10));
    double top[LAYERS], bottom[LAYERS], depth = 0.0;
    for (int i = 0; i < LAYERS; i++) {
        top[i] = depth;
        bottom[i] = depth += thickness[i];
    }
    const double specular = pow((n[0] - n[1]) / (n[0] + n[1]), 2);
    double reflected = 0.0, reflected_squared = 0.0, transmitted = 0.0, ring_squared[RINGS] = {0};

    const clock_t begin = clock();
    for (long photon = 0; photon < photons; photon++) {
        double x = 0, y = 0, z = 0, ux = 0, uy = 0, uz = 1, weight = 1.0 - specular;
        double free_paths = 0.0, left = 0.0;
        int layer = 0, alive = 1;
        while (alive) {
            /* hop, as far as the next boundary */
            const double mut = mua[layer] + mus[layer];
            if (free_paths == 0.0)
                free_paths = -log(uniform());
            double step = free_paths / mut, edge = INFINITY;
            if (uz < 0.0)
                edge = (top[layer] - z) / uz;
            else if (uz > 0.0)
                edge = (bottom[layer] - z) / uz;
            const int meets_face = step > edge;
            if (meets_face)
                step = edge;
            x += step * ux;
            y += step * uy;
            z += step * uz;
            if (meets_face) {
                free_paths -= step * mut;
                const int next = uz < 0.0 ? layer - 1 : layer + 1;
                const double before = n[layer + 1], after = n[next + 1];
                double cosine;
                if (uniform() <= fresnel(before, after, fabs(uz), &cosine)) {
                    uz = -uz;
                } else if (next >= 0 && next < LAYERS) {
                    layer = next;
                    ux *= before / after;
                    uy *= before / after;
                    uz = uz < 0.0 ? -cosine : cosine;
                } else {
                    alive = 0;
                    if (next < 0) {
                        const int r = bin(sqrt(x * x + y * y), RING_MM, RINGS);
                        ring[r] += weight;
                        ring_squared[r] += weight * weight;
                        left = weight;
                    } else {
                        transmitted += weight;
                    }
                }
                continue;
            }
            free_paths = 0.0;
            /* drop */
            const double dropped = weight * mua[layer] / mut;
            weight -= dropped;
            absorbed[bin(sqrt(x * x + y * y), RING_MM, RINGS)][bin(z, DEPTH_MM, DEPTHS)] += dropped;
            absorbed_in[layer] += dropped;
            /* spin */
            spin(g[layer], &ux, &uy, &uz);
            /* roulette */
            if (weight < SMALLEST_WEIGHT) {
                if (uniform() <= CHANCE)
                    weight /= CHANCE;
                else
                    alive = 0;
            }
        }
        reflected += left;
        reflected_squared += left * left;
    }
    const double seconds = (double)(clock() - begin) / CLOCKS_PER_SEC;
    const double mean = reflected / photons;
    printf("%.6f %.9g %.9g %.9g", seconds, mean, reflected_squared / photons - mean * mean,
           transmitted / photons);
    for (int i = 0; i < LAYERS; i++)
        printf(" %.9g", absorbed_in[i] / photons);
    for (int i = 0; i < RINGS; i++)
        printf(" %.9g %.9g", ring[i] / photons,
               ring_squared[i] / photons - pow(ring[i] / photons, 2));
    double grid = 0.0; /* read the grid, so that it is not optimised away */
    for (int i = 0; i < RINGS; i++)
        for (int j = 0; j < DEPTHS; j++)
            grid += absorbed[i][j];
    printf(" %.9g\n", grid / photons);
    return 0;
}
