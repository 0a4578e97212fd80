/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_STRAIGHTEDGE_PRIVATE_H
#define BT_SURFACE_STRAIGHTEDGE_PRIVATE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/straightedge.h"

/* Room for one line, kept from line to line. */
struct bt_edge_work {
    size_t room;   /* points */
    size_t *index; /* [4 * room] */
    double *block; /* six a block of points */
};

/* Make room for n points; false when there is no memory. */
bool bt_edge_work_fit(struct bt_edge_work *work, size_t n);
void bt_edge_work_clear(struct bt_edge_work *work);

/*
 * Largest gap along one line if it is larger than out->gap: then *out is replaced,
 * with positions in s and z, and true returned.
 *
 *   n, s[n], z[n]  finite, s strictly ascending; n <= work->room
 */
bool bt_edge_line(struct bt_edge_work *work, size_t n, const double s[],
                  const double z[], double span, struct bt_edge_gap *out);

/* Points that lie on one line each: line k holds item[start[k]] to
 * item[start[k + 1] - 1], sorted by place[] along it. */
struct bt_edge_lines {
    size_t count;
    size_t *start; /* [count + 1] */
    size_t *item;  /* [n] indices of points */
    double *place; /* [n] place along its line, in the order of item, mm */
    double *z;     /* [n] heights, in the order of item, mm */
};

/*
 * Gather points into lines of a direction; points with NaN height are left out, and of
 * points at the same place of a line (to `same` mm) the highest stands for all.
 * Where bands are cut, `moved` moves the cuts by half a band, for a second look.
 * Free with bt_edge_lines_clear, also after an error.  Status as bt_edge_gap_search.
 */
enum bt_status bt_edge_lines_gather(size_t n, const struct bt_point p[],
                                    const double z[],
                                    const struct bt_edge_search *search,
                                    enum bt_edge_direction direction, bool moved,
                                    double same, struct bt_edge_lines *lines,
                                    struct bt_error *err);
void bt_edge_lines_clear(struct bt_edge_lines *lines);

#endif
