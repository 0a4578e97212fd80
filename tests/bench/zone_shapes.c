/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "zone_shapes.h"

#include <math.h>
#include <stdint.h>

static const double pi = 3.14159265358979324;

static const char *const name[ZONE_SHAPES] = {"twisted panel",
                                              "cupped panel",
                                              "bowed, cupped, twisted panel",
                                              "faceted panel",
                                              "tilted panel",
                                              "panel scanned off the grid",
                                              "bowl",
                                              "saddle",
                                              "normal noise",
                                              "heights in 0.01",
                                              "cone",
                                              "ripples",
                                              "spike and pit",
                                              "narrow strip",
                                              "disc of random points"};

/* 0 to 1: linear congruential sequence with the constants of D. E. Knuth's MMIX, from
 * memory. */
static double next(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Box and Muller. */
static double normal(uint64_t *state)
{
    const double size = sqrt(-2.0 * log(1.0 - next(state)));

    return size * cos(2.0 * pi * next(state));
}

/* Height over s, t from -1 to 1. */
static double height(size_t shape, double s, double t, uint64_t *state)
{
    const double form = 0.4 * s * t - 0.5 * s * s + 0.8 * t * t;

    switch (shape) {
    case 0:
        return 0.6 * s * t + 0.005 * normal(state);
    case 1:
        return 0.7 * t * t + 0.01 * normal(state);
    case 2:
        return form + 0.02 * sin(9.0 * s + 4.0 * t) + 0.01 * normal(state);
    case 3:
        return 0.3 * fabs(t - 0.31) - 0.2 * fabs(t + 0.42) + 0.1 * s * s +
               0.008 * normal(state);
    case 4:
        return form + 40.0 * s - 25.0 * t + 0.01 * normal(state);
    case 5:
        return form + 0.01 * normal(state);
    case 6:
        return s * s + t * t;
    case 7:
        return s * s - t * t + 0.3 * s * t;
    case 8:
        return normal(state);
    case 9:
        return round(100.0 * (form + 0.05 * normal(state))) / 100.0;
    case 10:
        return -hypot(s - 0.21, t + 0.13);
    case 11:
        return sin(31.0 * s) * cos(23.0 * t) + 0.2 * sin(3.0 * s + t);
    case 12:
        return 0.01 * normal(state) + 5.0 * (fabs(s - 0.7) + fabs(t - 0.2) < 0.004) -
               3.0 * (fabs(s + 0.3) + fabs(t + 0.6) < 0.004);
    case 13:
        return 0.5 * s * s * s + 0.02 * normal(state);
    default:
        return 0.3 * s * s - 0.2 * t * t * t + 0.1 * sin(5.0 * t);
    }
}

/* Size of the panel, mm. */
static void place(size_t shape, double *s, double *t, struct bt_point *p,
                  uint64_t *state)
{
    double across = 400.0;

    if (shape == 5) {
        *s += 0.002 * (next(state) - 0.5);
        *t += 0.002 * (next(state) - 0.5);
    }
    if (shape == 13)
        across = 0.02;
    if (shape == 14) {
        const double radius = sqrt(next(state)), turn = 2.0 * pi * next(state);
        *s = radius * cos(turn);
        *t = radius * sin(turn);
    }
    p->x = 625.0 * (1.0 + *s);
    p->y = across * (1.0 + *t);
}

const char *zone_shape_name(size_t shape)
{
    return name[shape];
}

void zone_shape_make(size_t shape, size_t nx, size_t ny, struct bt_point p[],
                     double z[])
{
    uint64_t state = 17 + shape;

    for (size_t k = 0; k < nx * ny; k++) {
        double s = 2.0 * (double)(k % nx) / (double)(nx - 1) - 1.0;
        double t = 2.0 * (double)(k / nx) / (double)(ny - 1) - 1.0;

        place(shape, &s, &t, &p[k], &state);
        z[k] = height(shape, s, t, &state);
    }
}
