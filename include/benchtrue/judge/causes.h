/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_CAUSES_H
#define BENCHTRUE_JUDGE_CAUSES_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"
#include "benchtrue/joint/section.h"
#include "benchtrue/judge/trend.h"

/*
 * Why a panel is not flat: what the readings say for and against each usual cause.
 *
 * Scheme.  Each piece of evidence is a number of points: the natural logarithm of how
 * many times more likely the reading is if the cause is at work than if it is not.
 * Points of a cause add up; no piece counts more than BT_CAUSE_MOST either way, since
 * no one reading is trusted further than that.  3 points are odds of 20 to 1.  A piece
 * that was not read adds nothing, and is listed as missing: nothing is guessed.
 *
 * - A cause that predicts a figure p with u_p against one that was read, x with u_x:
 *   ln N(x; p, v)/N(x; 0, s), v = u_x^2 + u_p^2, s = max(x^2, v): what else could have
 *   made it is given the spread that suits it best, so that the points are a lower
 *   bound (the bound of Edwards, Lindman and Savage, Psychological Review 70 (1963),
 *   from memory; with v as floor, our choice).
 * - A cause that says only that there is a change c, of about the size w:
 *   ln N(c; 0, u^2 + w^2)/N(c; 0, u^2).
 * - Two models of one shape: half the difference of their AICc.
 * - A cause that predicts only which way x goes: ln 2 (q Phi(s x/u) + (1 - q) Phi(-s
 *   x/u)), s the way, q 0.9 (our choice).  At most ln 1.8.
 */

#define BT_CAUSE_MOST 5.0

#define BT_CAUSE_LIST(X)                                                               \
    X(BT_CAUSE_EDGES, "edges out of square")                                           \
    X(BT_CAUSE_RINGS, "boards cupped by their rings")                                  \
    X(BT_CAUSE_FACES, "one face damper than the other")                                \
    X(BT_CAUSE_WIND, "wind in the boards or the bench")                                \
    X(BT_CAUSE_CLAMPS, "bent by the clamps")                                           \
    X(BT_CAUSE_WEIGHT, "sagging under its own weight")                                 \
    X(BT_CAUSE_DRYING, "still drying")

#define BT_CAUSE_CODE(code, name) code,
enum bt_cause_kind { BT_CAUSE_LIST(BT_CAUSE_CODE) BT_CAUSES };
#undef BT_CAUSE_CODE

/* "unknown cause" for a number outside the list. */
BT_API const char *bt_cause_name(enum bt_cause_kind kind);

/* The sentence that says how the cause makes the shape; "" outside the list. */
BT_API const char *bt_cause_sentence(enum bt_cause_kind kind);

/* The one cheap test that tells the first from the second; "" where they are alike or
 * outside the list. */
BT_API const char *bt_cause_test(enum bt_cause_kind first, enum bt_cause_kind second);

/* Pieces of evidence. */
#define BT_EVIDENCE_LIST(X)                                                            \
    X(BT_EVIDENCE_FACETS, "facets at the joints against a smooth arc")                 \
    X(BT_EVIDENCE_FENCE, "edge angles read out of the panel against the fence")        \
    X(BT_EVIDENCE_RIPPLE, "ripple by the boards' rings against a smooth arc")          \
    X(BT_EVIDENCE_TWIST, "twist")                                                      \
    X(BT_EVIDENCE_STRAIGHT, "lines along the grain straight")                          \
    X(BT_EVIDENCE_CLAMPS, "clamps on against clamps off")                              \
    X(BT_EVIDENCE_SAG, "reckoned sag against the bow read")                            \
    X(BT_EVIDENCE_CHANGE, "change from day to day")                                    \
    X(BT_EVIDENCE_MOISTURE, "moisture of the two faces against the cup read")          \
    X(BT_EVIDENCE_LYING, "which face lay up in air that dries or wets it")             \
    X(BT_EVIDENCE_OTHER_FACE, "the other face against this one")

#define BT_EVIDENCE_CODE(code, name) code,
enum bt_evidence_kind { BT_EVIDENCE_LIST(BT_EVIDENCE_CODE) BT_EVIDENCES };
#undef BT_EVIDENCE_CODE

/* "unknown evidence" for a number outside the list. */
BT_API const char *bt_evidence_name(enum bt_evidence_kind kind);

/* What to read or to write so that it would be known; "" outside the list. */
BT_API const char *bt_evidence_missing(enum bt_evidence_kind kind);

/* ---- the fence error read out of the panel ---- */

struct bt_panel_fence_request {
    size_t nboard;                  /* 2 or more */
    const struct bt_strip *strip;   /* [nboard] as measured, before any is turned */
    const struct bt_board_run *run; /* [nboard] as planned */
    const struct bt_measured *kink; /* [nboard - 1] rad, hollow at the show face > 0 */
    const double *covariance;       /* [(nboard - 1)^2] rad2, of the kinks' readings, in
                                       place of their u; not looked at where one is not
                                       seen.  NULL: by u, independent */
    double scatter, u_taper;        /* as struct bt_edge_errors */
    struct bt_measured fence; /* rad, by its checks: helps to choose the way the boards
                                 were run, and has no part in e; not seen: none */
};

struct bt_panel_fence {
    struct bt_measured e; /* rad; not seen where no kink depends on it */
    double chi2, chi2_p;  /* of the kinks about it; p NaN with dof 0 */
    size_t dof;
    size_t forgotten; /* board that was run with the other face than planned, on both
                         edges; nboard: none */
    bool same_face;   /* every board was run with the show face in, against the plan */
};

/*
 * e by generalised least squares from the kinks, each a sum of two edge leans
 * (bt_edge_lean) that are linear in e: kink_j = a_j e + b_j.  Their covariance: that of
 * the readings, 2 scatter^2 on the diagonal, and what the taper of a board does to each
 * edge that was run out, in its own joint and, through the board's other edge, in the
 * next.  Kinks not seen are passed over.
 *
 * As planned, with each board in turn forgotten, and with the same face for all.  One
 * of these is believed where it lowers chi2 (with ((e - fence)/u)^2 where the fence is
 * known) by more than 2 ln(20 (nboard + 1)): odds of 20 to 1 with as many to choose
 * from.
 *
 * Returns BT_OK; BT_EINPUT (fewer than 2 boards; a strip not finite or not > 0; scatter
 * or u_taper negative or not finite: row is the board; a kink without u, or a
 * covariance that is none); BT_ENOMEM.
 */
BT_API enum bt_status bt_panel_fence_find(const struct bt_panel_fence_request *request,
                                          struct bt_panel_fence *out,
                                          struct bt_error *err);

/* ---- causes ---- */

/* What was read; seen false, NaN: it was not. */
struct bt_cause_evidence {
    struct bt_measured cup, bow, twist;  /* mm */
    double weight_faceted;               /* Akaike weight of facets; NaN */
    struct bt_measured panel_e, fence_e; /* rad: read out of the panel, by fence.csv */
    double ripple;            /* half of AICc(smooth arc) - AICc(ring ripple); NaN */
    bool rings_one_way;       /* all boards bark up, or all down: no ripple, an arc */
    struct bt_measured eased; /* mm: figure with the clamps on less the same with them
                                 off */
    double clamped;           /* mm: that figure with the clamps on; NaN */
    struct bt_measured lying; /* mm: the bow as read, own weight not taken off */
    struct bt_measured sag;   /* mm: the bow that its own weight gives, hollow negative;
                                 0: it lay so that it does not sag */
    struct bt_measured damp;  /* mm: the cup of the face read that the moisture of the
                                 two faces makes */
    int lay;                  /* which way the cup of the face read goes where that face
                                 lay up and air reached it alone: 1 crowned (in air that
                                 wets it), -1 hollow; 0 not known.  Not looked at where
                                 damp is known, which it would lead to */
    struct bt_measured other; /* mm: the cup of the other face as read on it on the same
                                 day; u such that with the cup's it makes that of their
                                 sum */
    struct bt_measured change; /* mm, from the set before to the latest, of the figure
                                  that changed most by its u */
    double matters;            /* mm, a change that matters; NaN */
    enum bt_trend_verdict moving;
};

struct bt_cause_point {
    enum bt_evidence_kind kind;
    bool known;    /* else it is missing, points 0 */
    double points; /* for the cause; negative: against it */
};

enum { BT_CAUSE_POINTS = 4 };

struct bt_cause {
    enum bt_cause_kind kind;
    double points; /* sum */
    bool known;    /* at least one piece of evidence is */
    size_t npoint;
    struct bt_cause_point point[BT_CAUSE_POINTS];
};

struct bt_causes {
    struct bt_cause cause[BT_CAUSES]; /* most points first; those of which nothing is
                                         known last */
    bool shown;       /* the first has over ln 3 points, and a figure is not flat */
    bool clear;       /* shown, and ahead of every other by 3 points or more */
    const char *test; /* that separates the first two; "" where
                         nothing is known of the first */
};

/* Score every cause. */
BT_API void bt_causes_score(const struct bt_cause_evidence *evidence,
                            struct bt_causes *out);

/* Points of a figure read against one predicted; NaN where a u is not > 0 in all, or
 * something is NaN.  Not cut to BT_CAUSE_MOST. */
BT_API double bt_cause_predicted(double x, double u_x, double p, double u_p);

/* Points of a change of about the size w; NaN as above.  Not cut. */
BT_API double bt_cause_change(double c, double u, double w);

/* Points of a figure of which the cause predicts the sign only: way 1 or -1.  NaN where
 * u is not > 0, way is 0 or something is NaN. */
BT_API double bt_cause_sign(double x, double u, int way);

/*
 * The cup that a difference of moisture between the faces makes, mm; crowned positive:
 * on the damper face.  Moisture running evenly through the thickness t bends a width w
 * to the curvature C (m - m_other)/t, and the middle stands C (m - m_other) w^2/(8 t)
 * over the ends (plane geometry of a strip that bends freely).
 *
 *   c, u_c      share per percent of moisture, across the grain, and its u
 *   m, m_other  percent, of the face read and of the other one
 *   width       over which the cup is reckoned, mm;  thickness  mm
 *
 * u: 1 % for each moisture as a meter with pins gives it (common practice, no source),
 * u_c, and half the cup itself, since moisture seldom runs evenly and pins reach only
 * so deep (our choice).  Not seen where an argument is NaN, or a size or c is not > 0.
 */
BT_API struct bt_measured bt_cause_damp_cup(double c, double u_c, double m,
                                            double m_other, double width,
                                            double thickness);

#endif
