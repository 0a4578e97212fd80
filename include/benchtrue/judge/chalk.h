/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_CHALK_H
#define BENCHTRUE_JUDGE_CHALK_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/readings.h"

/*
 * A coarse grid to be chalked on the face, with what to take off in each cell.  Columns
 * run along the grain from the left end, A to Z; rows from the back edge, 1 to 99: A1
 * is the cell at the back left corner.  Lengths in mm.
 */

enum { BT_CHALK_COLUMNS_MOST = 26, BT_CHALK_ROWS_MOST = 99 };

struct bt_chalk_cell {
    char name[8];       /* `C2` */
    size_t places;      /* read in it; 0: depth, mean NaN, nothing is known */
    double depth;       /* most that comes off any of its places */
    double mean;        /* of its places */
    struct bt_point at; /* the place of `depth` */
};

struct bt_chalk {
    struct bt_rectangle rectangle; /* the panel */
    size_t columns, rows;
    struct bt_chalk_cell *cell; /* [columns * rows], row by row from the back; owned */
};

/*
 * Put depths at places into cells.
 *
 *   p[n], depth[n]  places, finite; what comes off, mm, NaN: not known, passed over.  A
 *                   place on a line between cells counts for the one to the right and
 *                   front; beyond the rectangle for the nearest cell
 *   columns, rows   0: chosen: of a grid of readings one cell a reading, but no more
 *                   than 12 by 8; else about two places a cell
 *   chalk           out, to be freed with bt_chalk_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no place; a place not finite or depth infinite: row;
 * rectangle without area or not finite; too many columns or rows); BT_ENOMEM.
 */
BT_API enum bt_status bt_chalk_make(size_t n, const struct bt_point p[],
                                    const double depth[],
                                    const struct bt_rectangle *rectangle,
                                    size_t columns, size_t rows, struct bt_chalk *chalk,
                                    struct bt_error *err);

/* The sides of a cell, mm. */
BT_API struct bt_rectangle bt_chalk_sides(const struct bt_chalk *chalk, size_t cell);

/* A region to plane: a place higher than what is round it, and the cells from which the
 * way up leads there. */
struct bt_chalk_spot {
    size_t cell;   /* of its highest place */
    double depth;  /* there, mm */
    size_t cells;  /* that belong to it, its own among them */
    double volume; /* mm3: mean depth of each cell times its area */
};

/*
 * Spots in the order to plane them, the deepest first: each cell with something to take
 * off goes to its highest neighbour of eight, until there is none higher.
 *
 *   least     mm, >= 0: cells with no more than that to take off are left out
 *   spot[most], count   out: the first `most` spots; how many there are in all
 *
 * Returns BT_OK; BT_EINPUT (least not a number >= 0); BT_ENOMEM.
 */
BT_API enum bt_status bt_chalk_spots(const struct bt_chalk *chalk, double least,
                                     size_t most, struct bt_chalk_spot spot[],
                                     size_t *count, struct bt_error *err);

/* NULL is accepted. */
BT_API void bt_chalk_clear(struct bt_chalk *chalk);

#endif
