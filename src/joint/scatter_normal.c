/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/scatter_normal.h"

#include <math.h>
#include <stdbool.h>

/* Where the tail begins and the area of each layer: so that the area is that of the
 * bottom layer with the tail and the last layer ends at the height 1 (Marsaglia and
 * Tsang, section 3; solved for 1024 layers). */
#define TAIL 4.038849846109505
#define AREA 0.0012263246463530852

#define PLACES 2097152.0 /* 2^21 in a layer */
#define SIGN_BITS 11     /* layer and sign */
#define LOW_BITS ((1u << SIGN_BITS) - 1)

/* ---- exponential and logarithm ---- */

double normal_exp_minus(double x)
{
    double part = x / 64, term = 1, sum = 1;

    /* At most 1/8: the eleventh term is below the last bit. */
    for (int k = 1; k <= 11; k++) {
        term *= -part / k;
        sum += term;
    }
    for (int k = 0; k < 6; k++)
        sum *= sum;
    return sum;
}

double normal_log(double x)
{
    int halves = 0;
    double part, square, term, sum = 0;

    for (; x < 0.75; halves++)
        x *= 2;
    /* ln x = 2 artanh((x - 1)/(x + 1)), the argument at most 1/5 in size. */
    part = (x - 1) / (x + 1);
    square = part * part;
    term = part;
    for (int k = 1; k < 26; k += 2) {
        sum += term / k;
        term *= square;
    }
    return 2 * sum - halves * 0.69314718055994531;
}

/* ---- words ---- */

static uint64_t split_mix(uint64_t *state)
{
    uint64_t z = *state += 0x9E3779B97F4A7C15u;

    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static uint64_t rotated(uint64_t v, int by)
{
    return v << by | v >> (64 - by);
}

/* One step of all generators: halves of their words, the lower ones first. */
BT_WIDE static void next_words(struct normal_source *source, uint32_t out[NORMALS])
{
    uint64_t *restrict a = source->state[0], *restrict b = source->state[1];
    uint64_t *restrict c = source->state[2], *restrict d = source->state[3];

    for (int k = 0; k < NORMAL_WORDS; k++) {
        uint64_t w = rotated(a[k] + d[k], 23) + a[k], t = b[k] << 17;

        c[k] ^= a[k];
        d[k] ^= b[k];
        b[k] ^= c[k];
        a[k] ^= d[k];
        c[k] ^= t;
        d[k] = rotated(d[k], 45);
        out[k] = (uint32_t)w;
        out[k + NORMAL_WORDS] = (uint32_t)(w >> 32);
    }
}

/* ---- ziggurat ---- */

void normal_start(struct normal_source *source, uint64_t seed)
{
    double edge[NORMAL_LAYERS + 1], *height = source->height;

    height[0] = 0;
    edge[1] = TAIL;
    height[1] = normal_exp_minus(TAIL * TAIL / 2);
    /* The bottom layer with the tail, as wide as its area over its height. */
    edge[0] = AREA / height[1];
    for (int k = 2; k < NORMAL_LAYERS; k++) {
        height[k] = height[k - 1] + AREA / edge[k - 1];
        edge[k] = sqrt(-2 * normal_log(height[k]));
    }
    edge[NORMAL_LAYERS] = 0;
    height[NORMAL_LAYERS] = 1;
    for (int k = 0; k < NORMAL_LAYERS; k++) {
        source->scale[k] = edge[k] / (2 * PLACES);
        source->scale[k + NORMAL_LAYERS] = -edge[k] / (2 * PLACES);
        source->inside[k] = 2 * (uint32_t)(edge[k + 1] / edge[k] * PLACES);
        source->inside[k + NORMAL_LAYERS] = source->inside[k];
    }
    for (int k = 0; k < NORMAL_WORDS; k++)
        for (int i = 0; i < 4; i++)
            source->state[i][k] = split_mix(&seed);
    source->spare = split_mix(&seed);
}

/* Above 0, up to 1. */
static double uniform(struct normal_source *source)
{
    return (double)((split_mix(&source->spare) >> 11) + 1) / 9007199254740992.0;
}

static double tail(struct normal_source *source)
{
    double x, y;

    do {
        x = -normal_log(uniform(source)) / TAIL;
        y = -normal_log(uniform(source));
    } while (!(2 * y > x * x));
    return TAIL + x;
}

/* A place and a half, in halves of a place, so that both signs have the same. */
static uint32_t place_of(uint32_t w)
{
    return w >> (SIGN_BITS - 1) | 1u;
}

static double placed(const struct normal_source *source, uint32_t w)
{
    return (double)(int32_t)place_of(w) * source->scale[w & LOW_BITS];
}

static bool is_inside(const struct normal_source *source, uint32_t w)
{
    return place_of(w) < source->inside[w & LOW_BITS];
}

/* What to do with a word that is not inside its layer. */
static double look_again(struct normal_source *source, uint32_t w)
{
    for (;; w = (uint32_t)split_mix(&source->spare)) {
        unsigned layer = w & (NORMAL_LAYERS - 1);
        double x = placed(source, w), low = source->height[layer];

        if (is_inside(source, w))
            return x;
        if (layer == 0)
            return w & NORMAL_LAYERS ? -tail(source) : tail(source);
        if (low + uniform(source) * (source->height[layer + 1] - low) <
            normal_exp_minus(x * x / 2))
            return x;
    }
}

void normal_fill(struct normal_source *source, double out[NORMALS])
{
    uint32_t w[NORMALS];

    next_words(source, w);
    for (int i = 0; i < NORMALS; i += 2) {
        out[i] = placed(source, w[i]);
        out[i + 1] = placed(source, w[i + 1]);
        if ((int)is_inside(source, w[i]) & (int)is_inside(source, w[i + 1]))
            continue;
        out[i] = look_again(source, w[i]);
        out[i + 1] = look_again(source, w[i + 1]);
    }
}
