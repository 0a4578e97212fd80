/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_QUAD_H
#define BENCHTRUE_FIT_QUAD_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/point.h"
#include "benchtrue/base/print.h"
#include "benchtrue/fit/opening.h"
#include "benchtrue/fit/wall.h"

/*
 * The four corners of an opening, by least squares over all that was measured.  Frame:
 * A at the origin, B on the x axis; the five unknowns are B.x, C and D, and, where a
 * template was traced, three more for where its frame lies.
 */
enum bt_quad_figure {
    BT_QUAD_SIDE, /* + enum bt_wall: length between its corners, mm */
    BT_QUAD_DIAGONAL_AC = BT_QUAD_SIDE + BT_WALLS,
    BT_QUAD_DIAGONAL_BD,
    BT_QUAD_ANGLE, /* + corner: inside angle, rad */
    BT_QUAD_LEAN_LEFT =
        BT_QUAD_ANGLE + 4, /* how much farther right D stands than A, mm */
    BT_QUAD_LEAN_RIGHT,    /* how much farther right C stands than B, mm */
    BT_QUAD_NARROWER,    /* how much narrower the front is than the back, along the back
                            wall's line, mm: LEAN_LEFT - LEAN_RIGHT */
    BT_QUAD_DEPTH_LEFT,  /* D from the back wall's line, mm */
    BT_QUAD_DEPTH_RIGHT, /* C from it, mm */
    BT_QUAD_FIGURES
};

/* The figures of four corners; out[BT_QUAD_FIGURES]. */
BT_API void bt_quad_figures(const struct bt_point corner[4], double out[]);

/* What the others say of one reading. */
struct bt_quad_check {
    double
        residual; /* reading less adjusted value, mm or rad; NaN where the reading has
                     no part in the adjustment (offsets, inner template points) */
    double redundancy; /* 0: nothing checks it, to 1; NaN likewise */
    double misfit;     /* reading less what the others alone say, mm or rad; NaN where
                          nothing checks it */
    double u_misfit;
    double chi2_without; /* of the others alone; NaN likewise */
};

/* A reading that may be what is wrong. */
struct bt_quad_suspect {
    size_t reading;
    struct bt_measured figure[BT_QUAD_FIGURES]; /* without it */
    struct bt_point corner[4];                  /* without it */
};

enum { BT_QUAD_SUSPECTS_MOST = 8, BT_QUAD_ASKS_MOST = 5 };

/* What could be measured so that more is determined. */
struct bt_quad_ask {
    enum bt_opening_kind kind; /* side or diagonal */
    int where;
};

struct bt_quad_result {
    struct bt_point corner[4]; /* NaN all where rank is short of 5 */
    double cov[25];            /* of B.x, C.x, C.y, D.x, D.y, mm2, row by row; NaN
                                  likewise */
    struct bt_measured figure[BT_QUAD_FIGURES]; /* not seen where undetermined */
    size_t used;                                /* readings in the adjustment */
    size_t unknowns, rank, dof;
    double chi2;   /* of the residuals against the stated u */
    double sigma0; /* sqrt(chi2/dof); NaN without redundancy */
    double p;      /* probability of a larger chi2 by luck; NaN without redundancy */
    bool contradiction;          /* p below BT_QUAD_LUCK */
    struct bt_quad_check *check; /* [n], for each reading */
    size_t nsuspect;             /* equally suspect where more than one; the first
                                    BT_QUAD_SUSPECTS_MOST             of `equal` */
    size_t equal;
    struct bt_quad_suspect suspect[BT_QUAD_SUSPECTS_MOST];
    bool more_than_one; /* leaving out one reading does not settle it */
    size_t nask;
    struct bt_quad_ask ask[BT_QUAD_ASKS_MOST]; /* together they would determine all */
    bool mirrored; /* the template's frame is seen from below, or its y runs to the back
                    */
};

/* By luck as bad as that once in a hundred openings: our choice. */
#define BT_QUAD_LUCK 0.01

/*
 * Adjust.  Walls are lines between corners, with their profile on them: a width, a
 * depth or a template's point meets the wall itself.  Offsets serve the profile alone.
 * Of a wall whose profile is made from the template, only its first and last point
 * count here, for they are the profile's line.
 *
 *   n, reading[n]  as in opening.h
 *   profile[4]     by enum bt_wall; n 0 where there is none
 *   traced         [4] whether the profile is made from the template's points
 *   system         what lengths in messages are printed in
 *   out            to be freed with bt_quad_clear, also after an error
 *
 * Gauss-Newton with damping (Levenberg, Marquardt), each step by singular values, which
 * also tell rank and what is not determined.  u by propagation of the stated u, not
 * scaled by sigma0.  Contradiction: chi-square test; the suspects are the readings
 * without which the others agree best.
 *
 * Returns BT_OK, BT_EINPUT (reading at fault in err->row: not finite; two sides and a
 * diagonal that close no triangle; corners that make no four-sided space; a template
 * without two points of the back wall) or BT_ENOMEM.
 */
BT_API enum bt_status bt_quad_fit(size_t n, const struct bt_opening_reading reading[],
                                  const struct bt_wall_profile profile[4],
                                  const bool traced[4], enum bt_system system,
                                  struct bt_quad_result *out, struct bt_error *err);

BT_API void bt_quad_clear(struct bt_quad_result *quad);

#endif
