/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_FENCE_H
#define BENCHTRUE_JOINT_FENCE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"

/*
 * How far the jointer's fence is out of square.
 *
 * The fence error e is the angle between table and fence on the side where the board
 * runs, minus 90 degrees: e > 0 where a square on the table shows light at the top of
 * the fence.  An edge jointed there measures 90 degrees + e through the wood at the
 * face that was against the fence.  All angles in rad, lengths in mm.
 */

enum bt_fence_kind {
    BT_FENCE_SQUARE,  /* a square on the table, a feeler between blade and fence */
    BT_FENCE_DOUBLED, /* two offcuts run with the same face to the fence, edge to edge
                       */
    BT_FENCE_ANGLE,   /* an angle gauge */
    BT_FENCE_KINDS
};

/* `square`, `doubled`, `angle`; "unknown check" for a number outside the list. */
BT_API const char *bt_fence_kind_name(enum bt_fence_kind kind);

/*
 * A check that puts the fence further out of square than this, rad (10 degrees), is
 * taken for a slip of the pen and refused; no fence that is meant to be square is so
 * far out (common practice, no source).
 */
#define BT_FENCE_MOST_ERROR 0.17453292519943295

/* Most checks that are combined; their covariance is kept whole. */
#define BT_FENCE_MOST_CHECKS 400

/* One check as read.  Members of another kind are not looked at. */
struct bt_fence_check {
    enum bt_fence_kind kind;
    double station; /* along the fence from its infeed end, >= 0, mm; NaN not stated:
                       taken to be at the cutter */

    /* square, doubled: the gap, >= 0, its u (interval, feeler, digit), > 0 */
    double gap, u_gap;
    /* square: along the blade from where it touches the fence to where the gap is, > 0.
     * e = atan(gap/height), less where it opens at the bottom. */
    double height;
    bool opens_at_top;
    /* doubled: widths of the two offcuts, > 0.  The gap, smaller than either, is at the
     * joint, under a straightedge over both: e = (asin(gap/w1) + asin(gap/w2))/2, to
     * first order gap (w1 + w2) / (2 w1 w2), which is gap/w where they are equal; less
     * where it is hollow at the other face. */
    double width, width2;
    bool hollow_at_fence;
    /* angle: what the gauge shows, near pi/2, and what it shows turned end for end
     * (NaN: not read so), the random u of either, > 0.  e = reading - pi/2; with both,
     * half their difference (90.2 and, turned, 89.9 degrees: 0.15), of u
     * u_reading/sqrt(2), and the gauge's own error cancels.  A gauge that shows tenths
     * of a degree has u_reading = 0.1/sqrt(12) degrees at least. */
    double reading, turned, u_reading;

    /* Own error of square or gauge as a standard uncertainty, rad, >= 0: the same in
     * every check of that instrument, so it does not average out.  Not used for
     * doubled, nor for angle with turned. */
    double u_own;
    int instrument; /* checks with the same number >= 0 share u_own; < 0: its own */
    size_t source;  /* the caller's: handed through (line of the file) */
};

/*
 * e of one check with its random u (u_own apart), rad: exact plane geometry, u to first
 * order.  A member that is NaN or out of its range gives NaN for both.
 */
BT_API void bt_fence_check_error(const struct bt_fence_check *check, double *e,
                                 double *u);

struct bt_fence_station {
    double station;       /* mean place of its checks, mm; NaN for checks without one */
    size_t count;         /* of checks */
    struct bt_measured e; /* there, from its own checks alone; always seen */
};

struct bt_fence_kind_mean {
    size_t count;         /* 0: none of this kind, e not seen */
    struct bt_measured e; /* at the cutter, from these checks alone: weighted mean less
                             the slope of the whole fit, where one is fitted */
};

struct bt_fence_request {
    size_t ncheck; /* 1 to BT_FENCE_MOST_CHECKS */
    const struct bt_fence_check *check;
    double length; /* of the fence, > 0, mm; NaN not stated: from the outermost stations
                    */
    double cutter; /* station of the cutterhead, mm; NaN: the middle of the fence or of
                      the stations.  e is given there */
    double same_station; /* mm, >= 0: stations nearer than this are one */
    double confidence;   /* 0.5 to below 1, for `agree`: refused below 1 - confidence */
};

struct bt_fence_result {
    struct bt_measured e;     /* at the cutter; always seen */
    struct bt_measured slope; /* rad per mm along the fence, towards the outfeed end;
                                 seen with two stations or more */
    struct bt_measured twist; /* slope times length: rad from end to end */
    size_t slope_dof; /* stations beyond the two that a slope needs.  0: nothing checks
                         the slope, and it is not part of e (see below) */
    double scatter; /* tau: between stations beyond what u explains (the square root of
                       the between-station variance), rad, >= 0; NaN with one station */
    double chi2, chi2_p; /* of the checks about the fit with scatter 0, and how likely
                            a larger one is; chi2_p NaN with dof 0 */
    size_t dof;          /* checks less 1, or less 2 where a slope is fitted */
    enum { BT_FENCE_AGREE, BT_FENCE_DISAGREE, BT_FENCE_UNCHECKED } agree;
    size_t worst; /* check that fits least, by its studentised residual with scatter 0;
                     ncheck: none (with dof below 2 all fit equally) */
    double worst_score; /* its size; NaN: none */
    size_t nstation;
    struct bt_fence_station *station; /* ascending; without station last */
    struct bt_fence_kind_mean kind[BT_FENCE_KINDS];
    /* Which one more check would make u(e) least, and what u it would then be if the
     * new reading agrees with the others: a square or an angle gauge read both ways,
     * each at the cutter or where the fence is furthest from any station, or doubled
     * offcuts 100 mm wide.  Each with the median u of the checks of its kind; where
     * there are none, with a usual one (common practice, no source): feelers in steps
     * of 0.05 mm, 100 mm of blade, a square good to 0.0001 rad, a gauge that shows
     * tenths of a degree. */
    enum bt_fence_kind next_kind;
    double next_station; /* mm; NaN: anywhere */
    double next_u;       /* rad, <= e.u */
    /* Square cannot be told from out of square: |e| < 2 u. */
    bool undecided;
};

/*
 * Combine checks of a fence by generalised least squares:
 *
 *     y_i = e + slope (s_i - cutter) + station effect + instrument error + random error
 *
 * with the random u of each check, u_own fully shared by the checks of one instrument,
 * and station effects of one variance tau^2.  Checks without a station count as one
 * station, at the cutter.
 *
 * tau^2 is found as Mandel and Paule do: Q, the weighted square sum of the residuals,
 * equals its expectation, else 0.  Where stations hold several checks only what lies
 * between the stations counts: Q(tau^2) - Q(infinity) = stations - unknowns,
 * Q(infinity) being the part within the stations, which no tau^2 changes; with one
 * check a station this is the classical Q(tau^2) = checks - unknowns.
 *
 * Slope: fitted with three stations or more, whether or not it is large, so that u(e)
 * never rests on a choice made after seeing the data.  Two stations: e is the weighted
 * mean, whose u holds their difference as scatter; the slope through them is reported
 * with the u of the checks alone and slope_dof 0.  One: slope and twist not seen.
 *
 * u of e and slope are those of the fit with tau^2, times the square root of
 * max(1, Q/dof): checks that disagree within a station enlarge it too.
 *
 *   result  out: to be freed with bt_fence_result_clear; untouched on error
 *
 * Sources: J. Mandel and R. C. Paule, Analytical Chemistry 42 (1970), p. 1194; A. L.
 * Rukhin and M. G. Vangel, J. Am. Stat. Assoc. 93 (1998), p. 303 (both from memory);
 * R. N. Kacker, Metrologia 41 (2004), p. 132, table 1 (as quoted in the tests of a
 * public statistics library); the factor: C. Rover, G. Knapp and T. Friede, BMC Medical
 * Research Methodology 15 (2015), 99 (abstract seen), the modified Knapp-Hartung
 * method.
 *
 * Returns BT_OK; BT_EINPUT (no check or too many; a check that is not finite or out of
 * its range, a station beyond the stated length, more than BT_FENCE_MOST_ERROR: row;
 * length, cutter, same_station, confidence out of range; u so small beside others that
 * nothing can be computed); BT_ENOMEM.
 */
BT_API enum bt_status bt_fence_combine(const struct bt_fence_request *request,
                                       struct bt_fence_result *result,
                                       struct bt_error *err);

/* NULL is accepted; a result of zeroes too. */
BT_API void bt_fence_result_clear(struct bt_fence_result *result);

#endif
