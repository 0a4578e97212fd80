/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_READINGS_H
#define BENCHTRUE_SURFACE_READINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/point.h"
#include "benchtrue/base/status.h"

/*
 * Readings as the adjustment sees them.  Every reading, whatever its
 * instrument, is one linear equation
 *
 *     value = sum_k coef[k] h(point[k]) + sum_j basis[j] t_j + noise of u
 *
 * in the heights h of at most four points and the nuisance unknowns t of at most
 * one group: the offset and slope of one placement of a straightedge, the offset
 * and tilt of one set-up, or the zero of one instrument.
 */

enum bt_reading_kind {
    BT_READ_HEIGHT, /* dial or height gauge over a reference */
    BT_READ_GAP,    /* straightedge and feelers */
    BT_READ_BAR,    /* dial on a two-footed bar */
    BT_READ_SLOPE,  /* level or inclinometer */
    BT_READ_WIND,   /* winding sticks */
    BT_READ_SCAN,   /* x, y, z */
    BT_READ_KINDS
};

enum { BT_NO_GROUP = -1 };

struct bt_obs {
    enum bt_reading_kind kind;
    int group;       /* index of the group, BT_NO_GROUP where it has none */
    int npoint;      /* 1 to 4 */
    size_t point[4]; /* indices of distinct points */
    double coef[4];  /* per height, mm/mm */
    double basis[3]; /* per nuisance unknown of the group; rest 0 */
    double plane[3]; /* what the reading would show of the planes 1, x, y (mm/mm,
                        mm/mm per mm) before the group takes its share; all 0 for
                        gap, bar and wind, which cannot see a plane */
    double edge;     /* BT_READ_GAP: place along the edge, -1 to 1; else 0 */
    double value;    /* mm; BT_READ_SLOPE: mm/mm */
    double u;        /* standard uncertainty, same unit as value, > 0 */
    int alike;       /* above 0: the same number for readings that fell between the same
                        two leaves, whose rounding may be one error
                        (bt_network_alike); 0: an error of its own */
};

/* Nuisance unknowns that some readings share. */
struct bt_group {
    int dim;             /* 1, 2 or 3 */
    double straightness; /* BT_READ_GAP: stated straightness of the edge, mm, as a
                            limit for the height of its middle over its ends; 0 or
                            NaN where none is stated */
    int instrument;      /* the same number for groups that share one edge; -1 none */
    double own_hollow;   /* BT_READ_GAP, where own_hollow_u > 0: how far the middle of
                            the edge stands above the line through its ends, mm, as a
                            strike-turn-strike line test shows it; hollow positive */
    double own_hollow_u; /* its standard uncertainty, mm, which then stands in place of
                            the straightness; 0 or NaN where it was not tested */
};

struct bt_readings {
    size_t npoint;
    struct bt_point *point;
    size_t nobs;
    struct bt_obs *obs;
    size_t ngroup;
    struct bt_group *group;
    double *scan;  /* not NULL: a scan and nothing else, [npoint] heights, mm, over one
                      known reference; there are no obs and groups then, so that a
                      million points fit in memory */
    double scan_u; /* mm, standard uncertainty of each of them, > 0 */
    double *sag;   /* not NULL: [npoint] mm, what the panel's own weight gives the
                      heights, already taken off the readings (surface/correction.h) */
    double sag_u;  /* its relative standard uncertainty, shared by all places */
    double slack;  /* largest distance, mm, from where a reading was taken to the point
                      it counts for; 0 where all are exact.  Shapes that only such a
                      shift seems to show count as unseen. */
};

/*
 * Equations of the reading kinds.  Each fills *obs except u, which the caller
 * sets.  Points are given by index into p[], and by the place where the reading
 * was taken where that matters.
 *
 * bt_obs_gap     gap = a + b s - h: edge minus surface, a hollow positive.
 *                s: distance along the line from its start, length: of the line
 *                (for `edge`), mm.  Group of dim 2.
 * bt_obs_height  reading = h + offset + tilt: tilt 1, x, y for dim 3, offset for
 *                dim 1; group BT_NO_GROUP with dim 0 is a level, known reference.
 * bt_obs_bar     rise of the surface under the dial above the line of the feet,
 *                at the foot of the perpendicular from the dial onto that line.
 *                dim 0 or 1 (unknown zero).
 * bt_obs_slope   (h2 - h1)/distance + zero, mm/mm.  dim 0 or 1.
 * bt_obs_wind    (z22 - z21 - z12 + z11) stick/(y2 - y1), points in the order
 *                (x1,y1) (x1,y2) (x2,y1) (x2,y2).
 *
 * Return BT_OK, or BT_EINPUT (feet, ends or sticks at the same place, a dial
 * that does not stand between the feet, a line without length, not finite) with *obs
 * untouched.
 */
BT_API enum bt_status bt_obs_gap(struct bt_obs *obs, size_t point, int group, double s,
                                 double length, double gap, struct bt_error *err);
BT_API enum bt_status bt_obs_height(struct bt_obs *obs, enum bt_reading_kind kind,
                                    const struct bt_point p[], size_t point, int group,
                                    int dim, double height, struct bt_error *err);
BT_API enum bt_status bt_obs_bar(struct bt_obs *obs, const struct bt_point p[],
                                 size_t foot1, size_t dial, size_t foot2, int group,
                                 double rise, struct bt_error *err);
BT_API enum bt_status bt_obs_slope(struct bt_obs *obs, const struct bt_point p[],
                                   size_t point1, size_t point2, int group,
                                   double slope, struct bt_error *err);
BT_API enum bt_status bt_obs_wind(struct bt_obs *obs, const struct bt_point p[],
                                  const size_t point[4], double stick, double wind,
                                  struct bt_error *err);

/* The word for a kind in text and JSON: height, gap, bar, slope, wind, scan. */
BT_API const char *bt_reading_kind_name(enum bt_reading_kind kind);

/* Free the arrays inside *readings and clear it; NULL is accepted. */
BT_API void bt_readings_clear(struct bt_readings *readings);

#endif
