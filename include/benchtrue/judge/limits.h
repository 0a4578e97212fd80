/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_LIMITS_H
#define BENCHTRUE_JUDGE_LIMITS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Limits for the figures of a panel, starting bands for its use, and verdicts.
 * Limits apply to the size of a figure; all lengths in mm.  `zone` is the width of the
 * minimum zone, `local` the largest gap under a straightedge of a stated length.
 */

/* One list gives code and name; the table of bands is made with it too. */
#define BT_FIGURE_LIST(X)                                                              \
    X(BT_FIGURE_CUP, "cup")                                                            \
    X(BT_FIGURE_BOW, "bow")                                                            \
    X(BT_FIGURE_TWIST, "twist")                                                        \
    X(BT_FIGURE_RANGE, "range")                                                        \
    X(BT_FIGURE_ZONE, "zone")                                                          \
    X(BT_FIGURE_LOCAL, "local")

#define BT_FIGURE_CODE(code, name) code,
enum bt_figure { BT_FIGURE_LIST(BT_FIGURE_CODE) BT_FIGURE_COUNT };
#undef BT_FIGURE_CODE

struct bt_limits {
    char use[32];                  /* name of the band they started from; "" none */
    double limit[BT_FIGURE_COUNT]; /* mm, > 0; NaN where none is set */
    double local_span; /* length of the straightedge of `local`, mm, > 0; NaN
                          where that limit is not set */
    double confidence; /* share, 0.5 < c < 1 */
};

/* No limit set, confidence 0.95. */
BT_API struct bt_limits bt_limits_none(void);

/*
 * The band of a use (`table top`, `bench top`, `counter`, `seat`, `shelf`, `door`):
 * limits to start from, which the maker edits, each with where it comes from.  The
 * table is made from reference/use_bands.csv when the program is built.  No band sets
 * `local`: the table has no column for its span, because no source for wooden panels
 * was found.
 */
struct bt_band {
    const char *use;                     /* lower case */
    double limit[BT_FIGURE_COUNT];       /* mm, NaN where the band sets none */
    const char *source[BT_FIGURE_COUNT]; /* document and status, or `common practice,
                                            no source`; "" where the band sets none */
};

/* How many there are. */
BT_API size_t bt_band_count(void);

/* Bands in the order of the table; NULL for i beyond the last. */
BT_API const struct bt_band *bt_band_at(size_t i);

/* The band of that name, case of ASCII letters ignored; NULL where there is none. */
BT_API const struct bt_band *bt_band_find(const char *use, size_t length);

/* `cup`, `bow`, `twist`, `range`, `zone`, `local`; "unknown figure" for a number
 * outside the list. */
BT_API const char *bt_figure_name(enum bt_figure figure);

enum bt_verdict { BT_WITHIN, BT_OVER, BT_TOO_CLOSE, BT_NOT_SEEN };

/* `within`, `over`, `too close to call`, `not seen`; "unknown verdict" for a number
 * outside the list. */
BT_API const char *bt_verdict_text(enum bt_verdict verdict);

struct bt_judgement {
    enum bt_figure figure;
    double limit, value, u; /* mm; value and u NaN where not seen */
    double p_within;        /* NaN where not seen */
    enum bt_verdict verdict;
    double guard; /* mm: how far below its limit the size has to stay to be `within`;
                     NaN where not seen, or where at this u no size would be */
    double risk_accepted; /* of `within`: specific consumer's risk, 1 - p_within; else
                             NaN */
    double risk_rejected; /* of `over`: specific producer's risk, p_within; else NaN */
};

/*
 * Probability that the size of the true value is within a limit, given a normal
 * estimate: Phi((T - y)/u) - Phi((-T - y)/u).  JCGM 106:2012, 7.3 and 8.3 (from
 * memory; see reference/metrology/definitions.md).
 *
 *   value  y, mm, finite     u  mm, >= 0     limit  T, mm, > 0
 *
 * u = 0 is certain: 1 where |y| <= T, else 0.  A value beyond the limit keeps its
 * relative digits however small the probability gets.  NaN where an argument is NaN,
 * u < 0 or limit <= 0.
 */
BT_API double bt_p_within(double value, double u, double limit);

/*
 * Guard band w of a limit T for a normal estimate of standard uncertainty u: up to the
 * acceptance limit T - w the probability of being within is at least confidence.  JCGM
 * 106:2012, 8.3.2 (from memory); both sides of the limit count, bt_p_within.
 *
 *   u  mm, >= 0     limit  mm, > 0     confidence  0.5 < c < 1
 *
 * 0 for u = 0.  NaN where not even a figure of 0 would be within, or an argument is out
 * of range.
 */
BT_API double bt_guard_band(double u, double limit, double confidence);

/*
 * Verdict on one figure: `within` at p >= confidence, `over` at
 * p <= 1 - confidence, else `too close to call`.  `not seen` where seen is false, or
 * where no probability can be formed (value or u NaN, u < 0, limit not > 0): value
 * and u become NaN, p_within is NaN.  confidence: 0.5 < c < 1.
 */
BT_API struct bt_judgement bt_judge(enum bt_figure figure, double value, double u,
                                    bool seen, double limit, double confidence);

/*
 * Verdict on a largest figure (range, zone, gap under a straightedge), which is not
 * normal, from an interval that holds it: `within` where hi <= limit, `over` where
 * lo > limit, else `too close to call`.
 *
 *   limit   mm, > 0
 *   lo, hi  mm, the interval at the confidence asked for (surface/draws.h)
 *
 * `not seen` where an argument is NaN, lo > hi or the limit is not above 0.  With an
 * interval that holds the figure in 95 % of all cases, `within` and `over` are wrong in
 * at most 5 %; with one at another confidence in what that leaves.
 */
BT_API enum bt_verdict bt_judge_interval(double limit, double lo, double hi);

#endif
