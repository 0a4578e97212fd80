/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_TREND_H
#define BENCHTRUE_JUDGE_TREND_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"

/*
 * Whether a figure still moves: its change from one day to another, and how it comes to
 * rest.  One figure at a time (cup, bow or twist: linear in the readings), lengths in
 * mm, days from any origin.
 */

/* One figure, read on one day. */
struct bt_trend_point {
    double day;
    double value; /* mm; NaN where not seen */
    double own;   /* mm, > 0: standard uncertainty of what this set shares with none */
    const double *shared; /* [nshared] mm, with sign: what one standard uncertainty of
                             each error that sets share does to the value; 0 where this
                             set has none of it */
};

/*
 * Change from one day to another, to - from.  What both share enters by the difference
 * of what it does to each: nothing where the same straightedge was laid on the same
 * places.  u^2 = own_1^2 + own_2^2 + sum (shared_2 - shared_1)^2, JCGM 100:2008,
 * eq. 13 with F.1.2.3.  Not seen where a value, own or shared is NaN.
 */
BT_API struct bt_measured bt_trend_change(const struct bt_trend_point *from,
                                          const struct bt_trend_point *to,
                                          size_t nshared);

enum bt_trend_verdict {
    BT_TREND_SETTLED,     /* it did not, as far as it matters */
    BT_TREND_MOVED,       /* it did */
    BT_TREND_CANNOT_TELL, /* it is read too coarsely, or nothing says what matters */
    BT_TREND_NOT_SEEN
};

/* `settled`, `moved`, `cannot tell`, `not seen`; "unknown verdict" for a number outside
 * the list. */
BT_API const char *bt_trend_verdict_text(enum bt_trend_verdict verdict);

/* How much of its limit a figure may change before that matters (common practice, no
 * source: three more such changes and an even figure is used up). */
#define BT_TREND_SHARE 0.25

/*
 * `moved` where |change| > 2 u, `settled` where it is not and |change| + 2 u is under
 * what matters, else `cannot tell`.
 *
 *   matters  mm, > 0; NaN where nothing says it: never settled
 *
 * `not seen` where the change is not, or its value or u is NaN.  A figure that rests is
 * called moved once in twenty.
 */
BT_API enum bt_trend_verdict bt_trend_judge(const struct bt_measured *change,
                                            double matters);

/* What is known of the time constant beforehand: its logarithm is normal. */
struct bt_trend_prior {
    double tau;   /* days, > 0 */
    double u_log; /* standard uncertainty of ln tau, > 0 */
};

/*
 * Approach to rest: value(t) = end - left exp(-(t - day)/tau), from the first
 * reading on.
 */
struct bt_trend_rest {
    double day;              /* of the first reading used */
    double last;             /* of the latest */
    double end;              /* mm: where it comes to rest */
    double left;             /* mm: what was to come on the first day, end - value */
    double tau;              /* days */
    double covariance[3][3]; /* of end, left, ln tau */
    double chi2;             /* weighted sum of squares, the prior's part included */
    size_t dof;              /* readings - 2: the prior counts as a reading, tau as an
                                unknown */
    double agreement;        /* chance of a chi2 as large as this or larger */
};

/*
 * Fit the approach to rest by weighted least squares: Gauss-Newton with halved steps
 * from the best of 33 time constants within 4 u_log of the prior; readings weighted by
 * the inverse of their covariance, own and shared, and the prior on ln tau as one more.
 *
 *   n, point[]  readings, those not seen are passed over; at least three days among
 *               those that are seen
 *   nshared     errors that points share; may be 0
 *   rest        out; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (fewer than three days; a day or value infinite, or own not
 * above 0 and finite, or shared not finite: row is the point; a prior that is not > 0
 * and finite);
 * BT_ESINGULAR (the readings are too close together in time to tell an end from a
 * start, in doubles); BT_ENOMEM.
 *
 * Covariance: mean square about the solution over 33 time constants within four u of
 * it, each weighted by what readings and prior say for it; not from the slopes at the
 * solution alone, which held the end of simulated panels too seldom.
 */
BT_API enum bt_status bt_trend_fit(size_t n, const struct bt_trend_point point[],
                                   size_t nshared, const struct bt_trend_prior *prior,
                                   struct bt_trend_rest *rest, struct bt_error *err);

/* Of the fitted curve on a day, not before rest->day: the value, and what is still to
 * come. */
BT_API struct bt_measured bt_trend_value(const struct bt_trend_rest *rest, double day);
BT_API struct bt_measured bt_trend_left(const struct bt_trend_rest *rest, double day);

/* Where it comes to rest. */
BT_API struct bt_measured bt_trend_end(const struct bt_trend_rest *rest);

/* Most time constants that it is worth to wait before one looks again: 95 % of what is
 * still to come has come by then. */
#define BT_TREND_WAIT_MOST 3.0

/*
 * Days after rest->last on which to look again: when what is still to come has fallen
 * to `within`, since a reading of that u sees no more after it; at least 1, at most
 * BT_TREND_WAIT_MOST tau.  within: mm, > 0; else NaN.
 */
BT_API double bt_trend_wait(const struct bt_trend_rest *rest, double within);

#endif
