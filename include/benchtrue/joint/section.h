/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_SECTION_H
#define BENCHTRUE_JOINT_SECTION_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"

/*
 * The panel in cross-section, as its boards' edges make it: board after board from
 * the back edge to the front, seen from the left end, y to the right (front), z up.
 * Angles in rad, lengths in mm.
 */

/* A board as it lies: show face up. */
struct bt_strip {
    double width;     /* of the show face, > 0 */
    double thickness; /* in the middle of its width, > 0 */
    double taper;     /* front edge thicker than back edge by this; 0 none.  The angle
                         between its faces is atan(taper/width). */
};

/* Which face of a board is against the fence while an edge is jointed. */
enum bt_run {
    BT_RUN_IN, /* the show face */
    BT_RUN_OUT /* the other face; the show face looks away from the fence */
};

/*
 * Signs, all at the show face:
 *   lean     angle through the wood at an edge less pi/2; positive: the other face
 *            reaches farther out there than the show face
 *   kink     sum of the two leans of a joint; positive: the wood fills more than pi
 *            there, the boards rise away from the joint on both sides, hollow
 *   opening  with the show faces in one plane and kink > 0 the edges touch at the other
 *            face first and stand open at the show face; kink < 0: the other way round
 *   cup      of a joint alone -kink min(y, width - y)/2: a hollow is negative
 */

/* `in`, `out`. */
BT_API const char *bt_run_name(enum bt_run run);

struct bt_board_run {
    enum bt_run back, front; /* for its back edge and its front edge */
    bool turned; /* the board is turned over about its length before anything else: the
                    other face becomes the show face, back and front edge change places
                    (and so does the sign of what its taper does); in and out are then
                    of the face that shows in the panel */
};

/* Errors of the edges: an edge run at the fence measures pi/2 + e + r through the wood
 * at the face that was against it, r random and of its own. */
struct bt_edge_errors {
    double e, u_e;  /* rad; u_e >= 0: known to that, the same for every edge */
    double scatter; /* standard deviation of r, rad, >= 0 */
    double u_taper; /* of each board's taper, mm, >= 0 */
};

struct bt_joint_kink {
    double y;                /* along the show faces, mm */
    struct bt_measured kink; /* at the show face: sum of the two edge angles there less
                                pi; positive: hollow at the show face */
    struct bt_measured opening; /* mm, >= 0: with the show faces held in one plane the
                                   joint stands open by this at the face named (over the
                                   thinner edge of the two) */
    bool opens_at_show;         /* kink > 0; else at the other face */
};

/* Corners of a board in the section as it comes out of the clamps, mm. */
struct bt_quad {
    double show_back[2], show_front[2], other_back[2], other_front[2]; /* y, z */
};

struct bt_section {
    size_t nboard;
    struct bt_quad *board;       /* [nboard]: the panel's show face begins at 0, 0 and
                                    ends at z = 0 */
    size_t njoint;               /* nboard - 1 */
    struct bt_joint_kink *joint; /* [njoint] */
    struct bt_measured cup;      /* of the show face, mm: height of the middle of its
                                    width over the line through its outer ends; crowned
                                    positive.  Linear in the kinks:
                                    -sum kink_j min(y_j, width - y_j)/2 */
    double cup_exact;            /* mm: the same from the exact polygon (cosines and
                                    sines, no small angles): distance from that line of
                                    the point at half the width along the show faces */
    double sag;                  /* mm, signed: largest departure of the exact polygon's
                                    joints from that line, crowned positive; 0 for one
                                    board */
    double largest_kink;         /* rad, its size */
    double largest_opening;      /* mm */
    double step;                 /* mm, >= 0: largest difference at a joint of the two
                                    edges' thickness t -+ taper/2 (show faces flush):
                                    what sticks out below */
    double width;                /* of the show faces together */
};

/*
 * Evaluate one way of running the boards.
 *
 *   n          boards, 1 or more
 *   strip[n]   as they lie
 *   run[n]     how each edge was run
 *   errors     of the edges
 *   section    out: to be freed with bt_section_clear; untouched on error
 *
 * u of kinks, openings, cup: linear propagation of u_e (shared), scatter and u_taper
 * (independent); u of an opening that is 0 is that of its kink times the thickness (of
 * the thinner edge: whatever tapers do to that thickness is left out of u, since it
 * only scales the opening, by u_taper/(2 t)).
 *
 * Source: plane geometry; reference/checks.py, section 5.
 *
 * Returns BT_OK; BT_EINPUT (row: the board; n 0; a width, thickness or taper not
 * finite, a width or thickness not > 0; a taper so large that an edge has no thickness;
 * errors not finite or negative where they may not be; an edge or a taper that leans by
 * pi/4 or more; numbers too large or too small to compute with; row n where no one
 * board is at fault); BT_ENOMEM.
 */
BT_API enum bt_status bt_section_evaluate(size_t n, const struct bt_strip strip[],
                                          const struct bt_board_run run[],
                                          const struct bt_edge_errors *errors,
                                          struct bt_section *section,
                                          struct bt_error *err);

/* Free and set to zero; NULL is accepted. */
BT_API void bt_section_clear(struct bt_section *section);

/*
 * Angle of an edge through the wood at the show face, less pi/2: what an edge that was
 * run `run` adds to the kink of its joint.
 *
 *   front  of the front edge; else the back edge
 *   e      error of that edge at its fence face, rad
 *
 * run in: e.  run out: -e, less the angle between the faces at the thick edge, plus it
 * at the thin one: through the wood the two angles of the thin edge sum to pi plus that
 * angle, those of the thick edge to pi less it (all four to 2 pi).
 *
 * The strip is taken as it lies in the panel: of a board that is turned over, the
 * caller gives the strip with the sign of the taper changed.
 */
BT_API double bt_edge_lean(const struct bt_strip *strip, bool front, enum bt_run run,
                           double e);

#endif
