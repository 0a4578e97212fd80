/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_EXTREMES_H
#define BENCHTRUE_SURFACE_EXTREMES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/draws.h"
#include "benchtrue/surface/facets.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/straightedge.h"
#include "benchtrue/surface/zone.h"

/* How sure a largest figure is; all NaN where it is not seen. */
struct bt_sure {
    double lo, hi; /* mm: holds the true figure in at least 95 % of all cases */
    double alone;  /* mm: what noise alone makes of a panel that is perfectly flat, in
                      half of all cases more; NaN where draws is 0 */
    size_t draws;  /* 0: too many places to draw for, lo and hi by bt_draws_bound */
    struct bt_interval asked; /* mm: the same at the confidence asked for; by
                                 bt_draws_bound where so few draws do not show it */
};

/* A straightedge figure with its uncertainty. */
struct bt_edge_figure {
    struct bt_edge_result at; /* where; indices of points of flatness.used */
    struct bt_measured gap;   /* mm; u with the places held where the edge rests */
    struct bt_sure sure;
};

enum {
    BT_SPANS_MAX = 4,
    BT_OBLIQUES_MAX = 2,
    BT_EDGES_MAX = BT_SPANS_MAX * (BT_EDGE_DIRECTIONS + BT_OBLIQUES_MAX)
};

/* What is asked for beside the least-squares figures. */
struct bt_extremes_request {
    size_t nspan;
    double span[BT_SPANS_MAX]; /* mm, > 0; none: no straightedge figures */
    size_t ndirection;
    double direction[BT_OBLIQUES_MAX]; /* stated angles to the grain, rad from x towards
                                          y, laid on beside those of every panel */
    uint64_t seed;                     /* of the draws */
    size_t draws;      /* BT_DRAWS_LEAST to BT_DRAWS_MOST; 0: BT_DRAWS_DEFAULT */
    unsigned threads;  /* up to BT_DRAWS_THREADS; 0: two; no digit depends on it */
    double confidence; /* of bt_sure's `asked`: above 0.5, below 1; 0: 0.95 */
    size_t njoint;
    const double *joint; /* [njoint] y of the glue joints as read, mm, ascending */
};

/* Zone, straightedge figures and facets of a surface. */
struct bt_extremes {
    bool zone_seen;
    struct bt_zone zone; /* indices of points of flatness.used */
    struct bt_measured
        width; /* mm: normal width of the zone, u with the contacts held */
    struct bt_sure width_sure;
    struct bt_sure range_sure; /* of flatness.residual.range */
    size_t nspan;
    double span[BT_SPANS_MAX];        /* mm, as asked for */
    struct bt_sure any[BT_SPANS_MAX]; /* of the largest gap under it in any direction */
    size_t nedge;
    struct bt_edge_figure
        edge[BT_EDGES_MAX];  /* span by span, each direction in order; behind them
                                span by span those at a stated angle */
    double band;             /* mm: places within half of it count as one line */
    struct bt_facets facets; /* owned */
};

/*
 * Evaluate what the adjusted heights show beyond the least-squares figures.
 *
 *   flatness  as bt_flatness_evaluate filled it
 *   request   what to look for
 *   out       to be freed with bt_extremes_clear, also after an error
 *
 * The zone is seen only where every height is.  Along lines the heights are those of
 * the places read, nothing is interpolated; those that an unseen shape moves are left
 * out. The band is 6 mm for readings (twice the default distance at which places are
 * one), for a scan half the mean distance of its points.  Facets need readings of an
 * adjustment: of a scan they are not seen.
 *
 * Range, width and gaps get their 95 % interval from draws of the noise that the
 * readings' u, and the straightness that lines share, make of the heights
 * (bt_draws_run); over BT_DRAWS_POINTS places, and of a scan, from bt_draws_bound.
 * Where the rounding of some readings may be one error (bt_network_alike), as many
 * draws again are made with it shared, and the larger of both points is taken.
 *
 * Returns BT_OK, BT_EINPUT (a span, angle or joint that is not usable; draws, threads
 * or confidence out of range) or BT_ENOMEM.
 */
BT_API enum bt_status bt_extremes_evaluate(const struct bt_flatness *flatness,
                                           const struct bt_extremes_request *request,
                                           struct bt_extremes *out,
                                           struct bt_error *err);

/*
 * The width of the zone, and the gap of an edge, as figures of the heights with their
 * contacts held: row[flatness->net->npoint], which no plane changes; all 0 where there
 * are no contacts.  For bt_flatness_doubt.
 */
BT_API void bt_extremes_zone_row(const struct bt_flatness *flatness,
                                 const struct bt_extremes *extremes, double row[]);
BT_API void bt_extremes_gap_row(const struct bt_flatness *flatness,
                                const struct bt_edge_figure *edge, double row[]);

/* NULL is accepted. */
BT_API void bt_extremes_clear(struct bt_extremes *extremes);

/* The largest gap seen under an edge of that span (to 1e-9), NULL where none is seen.
 */
BT_API const struct bt_edge_figure *
bt_extremes_worst(const struct bt_extremes *extremes, double span);

/* How sure that largest gap is; NULL for another span than those asked for. */
BT_API const struct bt_sure *bt_extremes_sure(const struct bt_extremes *extremes,
                                              double span);

#endif
