/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "grid.h"

#include <math.h>
#include <stdint.h>

#include "benchtrue/base/alloc.h"

static const double pitch = 10; /* mm between neighbouring points */

/* 0 to 1: linear congruential sequence with the constants of D. E. Knuth's MMIX, from
 * memory; the same on every machine. */
static double next(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static double surface(const struct bench_grid *grid, size_t p)
{
    const double x = (double)(p % grid->nx) / (double)(grid->nx - 1);
    const double y = (double)(p / grid->nx) / (double)(grid->ny - 1);

    return 0.8 * x * y - 0.6 * x * x + 0.9 * y * (1 - y) + 0.1 * sin(9 * x + 4 * y);
}

/* One placement of the edge over count points: first, first + step, ... */
static bool add_line(struct bench_grid *grid, size_t first, ptrdiff_t step,
                     size_t count, uint64_t *state)
{
    struct bt_readings *r = &grid->readings;
    const size_t last = (size_t)((ptrdiff_t)first + step * (ptrdiff_t)(count - 1));
    const struct bt_point from = r->point[first], to = r->point[last];
    const double length = hypot(to.x - from.x, to.y - from.y);
    const double left = next(state), right = next(state);

    for (size_t k = 0; k < count; k++) {
        const size_t p = (size_t)((ptrdiff_t)first + step * (ptrdiff_t)k);
        const double s = length * (double)k / (double)(count - 1);
        const double u = 0.02 + 0.02 * next(state);
        const double error = (2 * next(state) - 1) * sqrt(3.0) * u;
        const double gap =
            left + (right - left) * s / length - surface(grid, p) + error;

        if (bt_obs_gap(&r->obs[r->nobs], p, (int)r->ngroup, s, length, gap, NULL) !=
            BT_OK)
            return false;
        r->obs[r->nobs++].u = u;
    }
    r->group[r->ngroup].dim = 2;
    r->group[r->ngroup].instrument = -1;
    r->ngroup++;
    return true;
}

static bool add_lines(struct bench_grid *grid)
{
    const size_t nx = grid->nx, ny = grid->ny;
    const ptrdiff_t row = (ptrdiff_t)nx;
    uint64_t state = 20;
    bool done = true;

    for (size_t j = 0; j < ny; j++)
        done = done && add_line(grid, j * nx, 1, nx, &state);
    for (size_t i = 0; i < nx; i++)
        done = done && add_line(grid, i, row, ny, &state);
    return done && add_line(grid, 0, row + 2, ny, &state) &&
           add_line(grid, (ny - 1) * nx, 2 - row, ny, &state) &&
           add_line(grid, 0, row + 1, ny, &state) &&
           add_line(grid, nx - 1, row - 1, ny, &state);
}

/* Adds c at a point and at its mirror image through the middle. */
static void add_twice(const struct bench_grid *grid, double figure[], size_t i,
                      size_t j, double c)
{
    const size_t p = j * grid->nx + i;

    figure[p] += c;
    figure[grid->nx * grid->ny - 1 - p] += c;
}

/* Twist, bow, cup, middle over corners, and a moment that every height has part in. */
static void make_figures(struct bench_grid *grid)
{
    const size_t nx = grid->nx, ny = grid->ny, n = nx * ny;
    const size_t i = (nx - 1) / 2, j = (ny - 1) / 2;
    double *f = grid->figure, mean = 0;

    add_twice(grid, f, 0, 0, 1);
    add_twice(grid, f, nx - 1, 0, -1);
    add_twice(grid, f + n, i, j, 0.5);
    add_twice(grid, f + n, 0, j, -0.25);
    add_twice(grid, f + n, nx - 1, j, -0.25);
    add_twice(grid, f + 2 * n, i, j, 0.5);
    add_twice(grid, f + 2 * n, i, 0, -0.25);
    add_twice(grid, f + 2 * n, i, ny - 1, -0.25);
    add_twice(grid, f + 3 * n, i, j, 0.5);
    add_twice(grid, f + 3 * n, 0, 0, -0.25);
    add_twice(grid, f + 3 * n, nx - 1, 0, -0.25);
    for (size_t p = 0; p < n; p++) {
        const double x = 2 * (double)(p % nx) / (double)(nx - 1) - 1;
        f[4 * n + p] = x * x / (double)n;
        mean += f[4 * n + p] / (double)n;
    }
    for (size_t p = 0; p < n; p++)
        f[4 * n + p] -= mean;
}

bool bench_grid_make(size_t nx, size_t ny, struct bench_grid *grid)
{
    struct bt_readings *r = &grid->readings;
    const size_t n = nx * ny;

    *grid = (struct bench_grid){.nx = nx, .ny = ny};
    r->point = bt_alloc(n, sizeof *r->point);
    r->obs = bt_alloc(2 * n + 4 * ny, sizeof *r->obs);
    r->group = bt_alloc(nx + ny + 4, sizeof *r->group);
    grid->figure = bt_alloc(BENCH_FIGURES * n, sizeof *grid->figure);
    if (!r->point || !r->obs || !r->group || !grid->figure) {
        bench_grid_clear(grid);
        return false;
    }
    r->npoint = n;
    for (size_t p = 0; p < n; p++)
        r->point[p] =
            (struct bt_point){pitch * (double)(p % nx), pitch * (double)(p / nx)};
    grid->pin[1] = nx - 1;
    grid->pin[2] = (ny - 1) * nx;
    make_figures(grid);
    return add_lines(grid);
}

void bench_grid_clear(struct bench_grid *grid)
{
    bt_readings_clear(&grid->readings);
    bt_free(grid->figure);
    grid->figure = NULL;
}

bool bench_answer_alloc(const struct bench_grid *grid, struct bench_answer *answer)
{
    answer->height = bt_alloc(grid->readings.npoint, sizeof *answer->height);
    answer->redundancy = bt_alloc(grid->readings.nobs, sizeof *answer->redundancy);
    return answer->height && answer->redundancy;
}

void bench_answer_free(struct bench_answer *answer)
{
    bt_free(answer->height);
    bt_free(answer->redundancy);
}

void bench_pin(const struct bench_grid *grid, double height[])
{
    const double zero = height[grid->pin[0]];
    const double along = (height[grid->pin[1]] - zero) / (double)(grid->nx - 1);
    const double across = (height[grid->pin[2]] - zero) / (double)(grid->ny - 1);

    for (size_t p = 0; p < grid->nx * grid->ny; p++)
        height[p] -=
            zero + along * (double)(p % grid->nx) + across * (double)(p / grid->nx);
}
