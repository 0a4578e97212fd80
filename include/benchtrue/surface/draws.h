/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_DRAWS_H
#define BENCHTRUE_SURFACE_DRAWS_H

#include <stddef.h>
#include <stdint.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"
#include "benchtrue/surface/straightedge.h"

/*
 * How sure the largest figures are: range, width of the zone, gap under a straightedge.
 *
 * Such a figure w is not normal, and noise pushes it up.  For heights z read with noise
 * n the triangle inequality gives |w(z + n) - w(z)| <= max(w(n), w(-n)), so that the
 * value read -+ the 95 % point of that maximum holds the true value in at least 95 % of
 * all cases (reference/metrology/definitions.md, "Largest figures").  The point comes
 * from draws of the noise alone; noise drawn on top of the heights would count it
 * twice. The zone is taken in z: for slopes below 1 in 100 that is its normal width to
 * 5 parts in 100 000.
 */

enum {
    BT_DRAWS_DEFAULT = 2000,
    BT_DRAWS_LEAST = 100,
    BT_DRAWS_MOST = 1000000,
    BT_DRAWS_POINTS = 400, /* more points: bt_draws_bound */
    BT_DRAWS_THREADS = 16
};

/* A straightedge figure to be drawn; see bt_edge_gap_search. */
struct bt_draws_edge {
    struct bt_edge_search search;
    enum bt_edge_direction direction;
    double span;     /* mm, > 0 */
    size_t together; /* k above 0: the largest gap of the k figures before this one, in
                        place of a search of its own, which is then not looked at */
};

struct bt_draws_request {
    size_t n;                 /* 3 to BT_DRAWS_POINTS */
    const struct bt_point *p; /* [n] mm, finite */
    const double *covariance; /* [n * n] of the heights over any plane, mm2: symmetric,
                                 positive semidefinite, finite */
    size_t nedge;
    const struct bt_draws_edge *edge; /* [nedge] */
    uint64_t seed;
    size_t draws; /* BT_DRAWS_LEAST to BT_DRAWS_MOST; 0: BT_DRAWS_DEFAULT, or as many
                     as bt_draws_enough wants, BT_DRAWS_MOST at most */
    unsigned threads;  /* up to BT_DRAWS_THREADS; 0: two */
    double confidence; /* of `asked`: above 0.5, below 1; 0: 0.95 */
};

/* What the draws say of one figure. */
struct bt_drawn {
    double half;  /* mm: 95 % point of max(w(n), w(-n)) */
    double alone; /* mm: median of w(n): what noise alone makes of a panel that is
                     perfectly flat, in half of all cases more */
    size_t draws; /* 0 where half is a bound and alone is not known */
    double asked; /* mm: the point of the confidence asked for in place of 95 %; NaN
                     where so few draws show no such point */
};

/*
 * Draw.  Noise is normal with the covariance given.
 *
 *   request  what is wanted
 *   range    out, may be NULL: of the heights over their least-squares plane
 *   zone     out, may be NULL: width of the minimum zone, exact in each draw
 *   edge     out [nedge]: half and alone NaN where no line of the direction has three
 *            places within the span; of points at one place of a line each counts
 *   err      out, may be NULL
 *
 * Each eight draws have a stream of random numbers of their own, so that results are
 * the same to the last bit whatever the number of threads.  Where a thread cannot be
 * started the others do its work.
 *
 * half is the order statistic of rank ceil(0.95 (draws + 1)): one draw more is not
 * above it with a probability of at least 95 %, however few were drawn (JCGM 101:2008,
 * 7.7, takes rank 0.95 draws, from memory).  With 2000 draws it stands to about 1 % of
 * its value.  asked is the one of rank ceil(c (draws + 1)) in the same way, NaN where
 * that is beyond the last: 99.9 % takes 999 draws, and bt_draws_enough to be steady.
 *
 * Outputs are untouched on error.  Returns BT_OK; BT_EINPUT (fewer than 3 points or too
 * many; draws or confidence out of range; a point, or an element of the covariance,
 * that is not finite: row at fault; not a covariance; what bt_edge_gap_search refuses;
 * more figures taken together than stand before: row at fault); BT_ESINGULAR (range or
 * zone of points on one line); BT_ENOMEM.
 */
BT_API enum bt_status bt_draws_run(const struct bt_draws_request *request,
                                   struct bt_drawn *range, struct bt_drawn *zone,
                                   struct bt_drawn edge[], struct bt_error *err);

/*
 * A bound without draws, for many points: each of these figures is at most the largest
 * less the least height over any plane, hence at most 2 max |n|; and of normal noise,
 * correlated or not, P(all |n_i| <= t) is at least the product of P(|n_i| <= t)
 * (Z. Sidak, Journal of the American Statistical Association 62 (1967) 626-633, from
 * memory).  half is 2 t where that product is 95 %.
 *
 *   u[n]        standard uncertainties of the heights over one plane, mm, >= 0; NaN and
 *               u 0 are passed over
 *   confidence  of `asked`, which is the same with it in place of 95 %: 0 < c < 1; 0:
 *               0.95
 *
 * Close for many independent heights (a million: some 5 % above the exact point of
 * their range), wide for few.  half 0 where no u is above 0.
 */
BT_API struct bt_drawn bt_draws_bound(size_t n, const double u[], double confidence);

/* The same for n heights of one u, as of a scan; NaN where u is NaN. */
BT_API struct bt_drawn bt_draws_bound_equal(size_t n, double u, double confidence);

/*
 * How many draws a confidence wants, 0.5 < c < 1: ten of them beyond its point, so that
 * this stands to a few percent of its value; 200 for 95 %, 10 000 for 99.9 %.  SIZE_MAX
 * for 1 and NaN.
 */
BT_API size_t bt_draws_enough(double confidence);

/*
 * The order statistic of rank ceil(p (n + 1)), at most n, of v[n], n >= 1, which is
 * put into another order; 0 < p < 1.  NaN where n is 0.
 */
BT_API double bt_draws_point(size_t n, double v[], double p);

struct bt_interval {
    double lo, hi; /* NaN where value or half is NaN */
};

/* A figure less and plus half the width of its interval; lo is at least 0. */
BT_API struct bt_interval bt_draws_interval(double value, double half);

#endif
