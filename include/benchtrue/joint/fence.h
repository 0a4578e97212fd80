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

/* One check as read.  Members of another kind are not looked at. */
struct bt_fence_check {
    enum bt_fence_kind kind;
    double station; /* along the fence from its infeed end, mm; NaN not stated */

    /* square, doubled: the gap, >= 0, its u (interval, feeler, digit), > 0 */
    double gap, u_gap;
    /* square: from the corner of the blade to where the gap is, > 0.  e = gap/height,
     * less where it opens at the bottom. */
    double height;
    bool opens_at_top;
    /* doubled: widths of the two offcuts, > 0.  The gap is at the joint, under a
     * straightedge over both: e = gap (w1 + w2) / (2 w1 w2), which is gap/w where they
     * are equal; less where it is hollow at the other face. */
    double width, width2;
    bool hollow_at_fence;
    /* angle: what the gauge shows, near pi/2, and what it shows turned end for end
     * (NaN: not read so).  e = reading - pi/2; with both, half their difference, and
     * the gauge's own error cancels. */
    double reading, turned, u_reading;

    /* Own error of square or gauge as a standard uncertainty, rad, >= 0: the same in
     * every check of that instrument, so it does not average out.  Not used for
     * doubled, nor for angle with turned. */
    double u_own;
    int instrument; /* checks with the same number >= 0 share u_own; < 0: its own */
    size_t source;  /* the caller's: handed through (line of the file) */
};

/* e of one check with its random u (u_own apart), rad.  NaN members give NaN. */
BT_API void bt_fence_check_error(const struct bt_fence_check *check, double *e,
                                 double *u);

struct bt_fence_station {
    double station; /* mm; NaN for checks without one */
    size_t count;   /* of checks */
    struct bt_measured e;
};

struct bt_fence_kind_mean {
    size_t count; /* 0: none of this kind, e not seen */
    struct bt_measured e;
};

struct bt_fence_request {
    size_t ncheck;
    const struct bt_fence_check *check;
    double length; /* of the fence, mm; NaN not stated: from the outermost stations */
    double cutter; /* station of the cutterhead, mm; NaN: the middle of the fence or of
                      the stations.  e is given there */
    double same_station; /* mm, >= 0: stations nearer than this are one */
    double confidence;   /* 0.5 to 1, for `agree`: refused below 1 - confidence */
};

struct bt_fence_result {
    struct bt_measured e;     /* at the cutter */
    struct bt_measured slope; /* rad per mm along the fence, towards the outfeed end */
    struct bt_measured twist; /* slope times length: rad from end to end */
    double scatter; /* between stations beyond what u explains (the square root of the
                       between-station variance), rad, >= 0; NaN with one station */
    double chi2, chi2_p; /* of the checks about the fit with scatter 0; NaN dof 0 */
    size_t dof;
    enum { BT_FENCE_AGREE, BT_FENCE_DISAGREE, BT_FENCE_UNCHECKED } agree;
    size_t worst; /* check that fits least, by studentised residual; ncheck: none */
    double worst_score;
    size_t nstation;
    struct bt_fence_station *station; /* ascending; without station last */
    struct bt_fence_kind_mean kind[BT_FENCE_KINDS];
    /* Which one more check would make u(e) least, of a list of usual ones, and what u
     * it would then be: text for people, static. */
    enum bt_fence_kind next_kind;
    double next_station; /* mm; NaN: anywhere */
    double next_u;       /* rad */
    /* Square cannot be told from out of square: |e| < 2 u. */
    bool undecided;
};

/*
 * Combine checks of a fence: generalised least squares with a random error of each
 * check, an error shared by the checks of one instrument and a random effect of the
 * station, whose variance is found as Mandel and Paule do (chi-square of the weighted
 * residuals equal to its degrees of freedom, not below 0).  With checks at two or more
 * stations a slope is fitted where it is determined with at least one degree of freedom
 * left or its u is below ...; see the source.
 *
 *   result  out: to be freed with bt_fence_result_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no check, one that is not finite or out of its range: row);
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_fence_combine(const struct bt_fence_request *request,
                                       struct bt_fence_result *result,
                                       struct bt_error *err);

BT_API void bt_fence_result_clear(struct bt_fence_result *result);

#endif
