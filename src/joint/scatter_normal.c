/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/scatter_normal.h"

#include <math.h>

/* Where the tail begins, and the area of each layer (Marsaglia and Tsang, section 3,
 * for 256 layers). */
#define TAIL 3.6541528853610088
#define AREA 0.00492867323399

#define WHOLE 4503599627370496.0 /* 2^52 */

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

/* ---- ziggurat ---- */

void normal_start(struct normal_source *source, uint64_t seed)
{
    double *edge = source->edge, *height = source->height;

    source->state = seed;
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
        source->scale[k] = edge[k] / WHOLE;
        source->inside[k] = (int64_t)(edge[k + 1] / edge[k] * WHOLE);
    }
}

static uint64_t word(struct normal_source *source)
{
    uint64_t z = source->state += 0x9E3779B97F4A7C15u;

    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* Above 0, up to 1. */
static double uniform(struct normal_source *source)
{
    return (double)((word(source) >> 11) + 1) / (2 * WHOLE);
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

/* The top 53 bits with their sign, shared out without relying on what shifting a
 * negative number does. */
static int64_t signed_part(uint64_t w)
{
    return (int64_t)(w >> 11) - ((int64_t)1 << 52);
}

/* What to do with a word that is not inside its layer. */
static double look_again(struct normal_source *source, uint64_t w)
{
    for (;; w = word(source)) {
        unsigned k = w & (NORMAL_LAYERS - 1);
        int64_t v = signed_part(w);
        double x = (double)v * source->scale[k];

        if ((v < 0 ? -v : v) < source->inside[k])
            return x;
        if (k == 0)
            return v < 0 ? -tail(source) : tail(source);
        if (source->height[k] +
                uniform(source) * (source->height[k + 1] - source->height[k]) <
            normal_exp_minus(x * x / 2))
            return x;
    }
}

void normal_fill(struct normal_source *source, size_t n, double out[])
{
    for (size_t i = 0; i < n; i++) {
        uint64_t w = word(source);
        unsigned k = w & (NORMAL_LAYERS - 1);
        int64_t v = signed_part(w);

        out[i] = (double)v * source->scale[k];
        if ((v < 0 ? -v : v) >= source->inside[k])
            out[i] = look_again(source, w);
    }
}
