/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_PIECE_H
#define BENCHTRUE_FIT_PIECE_H

#include "benchtrue/fit/insert.h"
#include "benchtrue/fit/opening.h"
#include "benchtrue/fit/outline.h"
#include "benchtrue/fit/quad.h"
#include "benchtrue/fit/wall.h"

/*
 * The finished piece for an opening: gaps, outline, cuts, and how it gets in.
 */

/* Taken where [opening] does not say: gap to a wall, mm (common practice, no source).
 */
#define BT_JOINT_TAKEN 2.0

/* A gap that widens by less is left as it is: nobody scribes half a millimetre (common
 * practice, no source). */
#define BT_SCRIBE_WORTH 0.5

struct bt_piece_request {
    const struct bt_quad_result *quad;     /* all corners seen */
    const struct bt_wall_profile *profile; /* [4] by enum bt_wall; n 0: none */
    struct bt_opening_plan plan;
    /* Across the grain, from the line that does not move, mm: how far beyond where it
     * is cut the front edge goes at the dampest, and how far it draws back at the
     * driest; the same of the back edge towards its wall.  NaN: not known. */
    double wider, narrower;
    double back_wider, back_narrower;
};

/* The gap between one edge and its wall. */
struct bt_clearance {
    double wanted;   /* stated joint, mm; NaN not stated */
    double to_enter; /* stated clearance, mm; 0 where none */
    double movement; /* so much closes at the dampest, mm; 0 along the grain; NaN not
                        known */
    double sealant;  /* least width for the sealant: larger movement from today over its
                        movement capability, mm; 0 without movement or sealant; NaN
                        not known */
    double taken;   /* mm: the largest of these; BT_JOINT_TAKEN where nothing is stated,
                       0 at the back: pushed home */
    bool assumed;   /* it is that */
    bool too_small; /* the joint stated is less than the movement or sealant needs */
    bool scribed;   /* the edge follows the wall */
    double
        widest; /* the largest gap that is left, mm; taken where no profile is known */
};

struct bt_cut {
    enum bt_wall edge;
    double angle;  /* of the end to the back edge, through the wood, rad; front: to the
                      left end */
    double u;      /* of the angle, rad */
    double offset; /* mm that the far end of the cut stands off square to the back edge:
                      ends, of the front end, positive to the right; front, by how much
                      more it stands from the back edge at the right; back 0 */
    double over;   /* mm: the length over which it does */
    double from, to;    /* ends: places on the back edge and at the front, from A, mm;
                           front:    widths at left and right end, mm */
    bool scribed;       /* afterwards scribed to the wall, from this line */
    double scribe_most; /* mm; 0 where not scribed */
};

struct bt_piece {
    struct bt_outline outline; /* frame of the piece */
    struct bt_outline placed;  /* the same in the frame of the opening */
    struct bt_walls walls;     /* in the frame of the opening */
    double tilt; /* of its back edge in that frame, rad: it rests on the back wall's
                    high points */
    struct bt_clearance gap[BT_WALLS]; /* an open front has none: all 0 */
    struct bt_cut cut[4]; /* in the order to cut: back, left, right, front */
    double length, width; /* its extent, mm */
    double length_back, length_front;         /* between its corners, mm */
    double overhang;                          /* beyond the front line, mm */
    double overhang_driest, overhang_dampest; /* mm; NaN not known; open front */
    bool scribe_over; /* a wall needs more than [opening] scribe */
    struct bt_insert insert;
    /* From above, walls being plumb and alike at every height: */
    double longest;   /* mm: its extent along the back edge */
    double narrowest; /* mm: what it has to pass between, straight in from the front */
    double seat;      /* mm: between the walls where it comes to lie */
    struct bt_tilt tilt_in;
    bool tilt_known; /* the thickness is stated; else tilt_in is all 0 */
};

/*
 *   out  to be freed with bt_piece_clear, also after an error
 *
 * The back edge is the reference: it is straight and lies on the two high points of the
 * back wall between which its middle stands, off them by the back joint.  Ends are
 * straight on the high points of their walls, off by their joint; a front wall
 * likewise; an open front is the line between the front corners, and the overhang
 * beyond it. Where [opening] scribe is stated, a wall whose gap would widen by
 * BT_SCRIBE_WORTH or more, and by no more than scribe, is followed. Movement: what of
 * it shows at the front and at the back is the caller's to say. Sealant: joint >=
 * movement / movement capability, the larger movement from today:
 * reference/sealants.csv.
 *
 * Returns BT_OK; BT_EINPUT (`the joints leave nothing of the opening: LENGTH wide and
 * LENGTH deep, the joints take ...`); BT_ECALL (a corner is not seen); BT_ENOMEM.
 */
BT_API enum bt_status bt_piece_find(const struct bt_piece_request *request,
                                    enum bt_system system, struct bt_piece *out,
                                    struct bt_error *err);

/* Free what it holds and clear it. */
BT_API void bt_piece_clear(struct bt_piece *piece);

/* How many spacers make the gap: the whole number that comes nearest, at least 1; what
 * they make is written to *mm.  0 where there is no gap or thickness is not above 0. */
BT_API size_t bt_spacers(double gap, double thickness, double *mm);

#endif
