/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCH_GRID_H
#define BENCH_GRID_H

#include <stdbool.h>

#include "benchtrue/surface/network.h"

enum { BENCH_FIGURES = 5 };

/*
 * A panel of nx x ny points read with a straightedge along every row, every column and
 * four diagonals: 2 nx ny + 4 ny readings (nx about 2 ny or more).  Invented readings:
 * a smooth surface and errors from a fixed sequence, each with its own u.
 */
struct bench_grid {
    size_t nx, ny;
    struct bt_readings readings;
    size_t pin[3];  /* corners whose heights are set to 0 to compare solutions */
    double *figure; /* [BENCH_FIGURES][nx ny] coefficients that planes do not change */
};

/* What every way has to compute. */
struct bench_answer {
    double *height;     /* [npoint] mm, 0 at the pins */
    double *redundancy; /* [nobs] */
    double sigma0;
    double value[BENCH_FIGURES], u[BENCH_FIGURES];
};

bool bench_grid_make(size_t nx, size_t ny, struct bench_grid *grid);
void bench_grid_clear(struct bench_grid *grid);

bool bench_answer_alloc(const struct bench_grid *grid, struct bench_answer *answer);
void bench_answer_free(struct bench_answer *answer);

/* Take the plane through the pins off height[nx ny]. */
void bench_pin(const struct bench_grid *grid, double height[]);

#endif
