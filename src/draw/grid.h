/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_GRID_H
#define BENCHTRUE_DRAW_GRID_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

/* Places on rows and columns. */
struct grid {
    size_t nx, ny;
    double *x, *y;  /* [nx], [ny] ascending, means over the places of a column or row */
    double *z;      /* [ny][nx] NaN where nothing was read or seen; mean of repeats */
    size_t *column; /* [n] of each place */
    size_t *row;    /* [n] */
};

/*
 * Whether n places form a grid: at least two rows and columns, each no wider than twice
 * same, and at least half of the cells with all four corners read (places on diagonals
 * of a frame give rows with two of many).
 *
 * Returns BT_OK or BT_ENOMEM.  Free with grid_clear in any case.
 */
enum bt_status grid_find(size_t n, const struct bt_point p[], const double z[],
                         double same, struct grid *grid, bool *found);

void grid_clear(struct grid *grid);

#endif
