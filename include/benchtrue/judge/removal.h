/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_REMOVAL_H
#define BENCHTRUE_JUDGE_REMOVAL_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/readings.h"

/*
 * How much wood must come off: to flatten one face, to make two faces parallel, and
 * what is left after ripping and gluing again.  Lengths in mm.  Depths are taken along
 * z, which on slopes such as panels have is the depth along the normal to a part in a
 * million.  Only the places read are known: between them the face may stand higher.
 */

/* A face as it was read: the height of its wood at some places. */
struct bt_removal_face {
    size_t n;                 /* 3 or more */
    const struct bt_point *p; /* [n] finite, not all on one line */
    const double *z;          /* [n] finite, mm, up out of the face */
    const double *u;          /* [n] standard uncertainty of each, independent, mm,
                                 >= 0; NULL: not known */
    const double *share;      /* [n] of the area that each place stands for, >= 0
                                 (bt_removal_shares); NULL: all alike */
};

/*
 * The share of a rectangle that is nearest to each place, on a raster of at least 60000
 * cells (of a grid with equal steps: half as much at an edge as inside).  Over 20000
 * places all get 1/n: they lie close enough.  Sums to 1.
 *
 *   p[n]       places, mm, finite, n >= 1; those off the rectangle count where they are
 *              nearest; of places that coincide the first gets all
 *   share[n]   out; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (no place; not finite: row; rectangle without area or not
 * finite); BT_ENOMEM.
 */
BT_API enum bt_status bt_removal_shares(size_t n, const struct bt_point p[],
                                        const struct bt_rectangle *rectangle,
                                        double share[], struct bt_error *err);

/* A height that a figure is made of: it is the sum of factor times z. */
struct bt_removal_term {
    size_t point; /* index */
    bool bottom;  /* of the lower face (bt_removal_parallel alone) */
    double factor;
};

enum { BT_REMOVAL_TERMS = 8 };

/* A face cut to one plane: everything above it comes off. */
struct bt_removal_cut {
    struct bt_plane plane; /* what is left as the face, in the frame of z */
    double largest;        /* most that comes off anywhere, mm */
    size_t deepest;        /* index of the place where */
    double u;     /* of largest, with the contacts held (they carry the plane), mm; NaN
                     where the u of the heights is not known */
    double mean;  /* what comes off on average, by share, mm; times the area: the
                     volume */
    int ncontact; /* places that the plane rests on: 3 or fewer */
    size_t contact[3]; /* indices, ascending: nothing comes off there */
    int nterm; /* what `largest` is made of, contacts held: for a u from heights that
                  hang together (bt_network_figure with these coefficients) */
    struct bt_removal_term term[BT_REMOVAL_TERMS];
};

/*
 * The plane below all heights, under which the least comes off at the place where most
 * does: the lower plane of the minimum zone (bt_zone_fit; exact).  What a jig or a
 * machine that takes its depth from the highest place has to be set for.
 *
 *   cut   out; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (fewer than 3 points; not finite, u or share below 0, or not
 * finite: row; shares that sum to nothing); BT_ESINGULAR (all on one line); BT_ENOMEM.
 */
BT_API enum bt_status bt_removal_least_depth(const struct bt_removal_face *face,
                                             struct bt_removal_cut *cut,
                                             struct bt_error *err);

/*
 * The plane below all heights with the least removed volume: the linear programme
 * min sum share (z - plane), plane <= z.  Its optimum is the facet of the lower convex
 * hull of the heights under the middle of the shares; exact, by an exchange that visits
 * all points only a few times.  Of several optimal planes (the lowest place lies in the
 * middle, or all touch along a line) the one whose largest removal is least.
 *
 * Returns what bt_removal_least_depth does.
 */
BT_API enum bt_status bt_removal_least_volume(const struct bt_removal_face *face,
                                              struct bt_removal_cut *cut,
                                              struct bt_error *err);

/* What comes off each place of a face at a plane: z - plane, 0 where the face is lower;
 * depth[face->n]. */
BT_API void bt_removal_depths(const struct bt_removal_face *face,
                              const struct bt_plane *plane, double depth[]);

/* How many passes a depth takes, 0 for none; a pass may be exceeded by a thousandth.
 * NaN where an argument is not finite, or the depth of a pass is not above 0. */
BT_API double bt_removal_passes(double depth, double pass);

/* The thickest panel with two flat parallel faces. */
struct bt_removal_pair {
    double thickness; /* mm; not above 0 where nothing would be left */
    double u;         /* with the contacts held, mm; NaN where a u is not known */
    struct bt_removal_cut top;    /* plane in the frame of the top's z */
    struct bt_removal_cut bottom; /* plane lies `thickness` under the top's; contacts,
                                     deepest: indices of the bottom; depths are
                                     positive, taken off from below */
};

/*
 * The thickest panel with two flat parallel faces that lies within the wood: the linear
 * programme max t, plane <= top, plane - t >= bottom.  Exact, by the same exchange.
 *
 *   top     heights of the upper face
 *   bottom  heights of the wood at the lower face in the same frame: places as seen
 *           from above, z upwards over the same reference (so, lower than the top).
 *           From measured thickness by bt_removal_underside, from the second face as
 *           read by bt_removal_turned.
 *
 * The two need not be read at the same places, but must overlap.  Returns BT_OK;
 * BT_EINPUT, BT_ENOMEM as above (a fault of the bottom says so); BT_ESINGULAR (a face's
 * places all on one line, or they do not overlap).
 */
BT_API enum bt_status bt_removal_parallel(const struct bt_removal_face *top,
                                          const struct bt_removal_face *bottom,
                                          struct bt_removal_pair *pair,
                                          struct bt_error *err);

/*
 * What one face alone says: the thickest panel if the thickness is the same everywhere,
 * thickness - the least largest removal of a face.  A bound that measuring may lower or
 * raise: where the bottom is read too, or the thickness at the contacts of both cuts
 * (the places that decide), bt_removal_parallel gives what is so.
 *
 *   u_thickness  mm, >= 0; NaN not known (pair->u then NaN)
 *
 * Returns what bt_removal_least_depth does; BT_EINPUT also for a thickness not > 0.
 */
BT_API enum bt_status bt_removal_nominal(const struct bt_removal_face *top,
                                         double thickness, double u_thickness,
                                         struct bt_removal_pair *pair,
                                         struct bt_error *err);

/* The lower face in the frame of the upper; arrays owned. */
struct bt_removal_under {
    size_t n;
    struct bt_point *p;
    double *z, *u; /* u NULL where not known */
    size_t *from;  /* [n] index of the place or thickness that it comes from */
    double misfit; /* bt_removal_turned: rms of the thickness readings about the tie,
                      mm; NaN with three of them, which check nothing */
};

/* Free and set to zero; NULL is accepted. */
BT_API void bt_removal_under_clear(struct bt_removal_under *under);

/* Thickness measured at a place, with a caliper. */
struct bt_thickness_reading {
    struct bt_point at; /* as seen from above the top face */
    double thickness;   /* mm, > 0 */
    double u;           /* mm, >= 0; NaN not known */
};

/*
 * The underside where the thickness was measured: top - thickness, at those of the
 * readings that lie within `same` mm of a place of the top (the nearest); the others
 * are passed over.
 *
 *   under   out, to be freed with bt_removal_under_clear; untouched on error
 *
 * u of each is made of the thickness's and the top's; what both faces share where one
 * place carries both is left in, which overstates u.  Returns BT_OK; BT_EINPUT (nothing
 * to use; not finite, thickness not > 0, u below 0: row; same not >= 0); BT_ENOMEM.
 */
BT_API enum bt_status bt_removal_underside(const struct bt_removal_face *top, size_t n,
                                           const struct bt_thickness_reading reading[],
                                           double same, struct bt_removal_under *under,
                                           struct bt_error *err);

/*
 * The underside where the second face was read, turned over about the length (y is
 * mirrored, z negated): `bottom` as read on that face, over a reference of its own.
 * Thickness at three places or more, each within `same` mm of a place of both faces,
 * not on one line, ties the two references (least squares plane of what they differ
 * by).
 *
 *   width   of the panel, mm: y of the bottom as read is width - y seen from above
 *
 * u of each is that of the bottom's heights; the tie's own u is left out.  Returns
 * BT_OK; BT_EINPUT (as above; width not > 0; fewer than three usable readings);
 * BT_ESINGULAR (they lie on one line); BT_ENOMEM.
 */
BT_API enum bt_status bt_removal_turned(const struct bt_removal_face *top,
                                        const struct bt_removal_face *bottom,
                                        double width, size_t n,
                                        const struct bt_thickness_reading reading[],
                                        double same, struct bt_removal_under *under,
                                        struct bt_error *err);

/* Ripping at the joints and gluing again. */
struct bt_rip_request {
    double width;    /* of the panel, mm, > 0 */
    size_t njoint;   /* that are ripped */
    double kerf;     /* of the saw, mm, >= 0 */
    double jointing; /* taken off each sawn edge to joint it, mm, >= 0 */
    double trim;     /* taken off each outer edge, mm, >= 0 */
    double u_cut;    /* of each kerf, jointing and trim, mm, >= 0; NaN not known */
};

struct bt_rip {
    double lost;  /* mm */
    double width; /* left, mm; not above 0: nothing is left */
    double u;     /* of width, mm; NaN not known */
};

/* width - joints (kerf + 2 jointing) - 2 trim.  Returns BT_OK or BT_EINPUT (not finite,
 * or out of the ranges above). */
BT_API enum bt_status bt_removal_rip(const struct bt_rip_request *request,
                                     struct bt_rip *rip, struct bt_error *err);

#endif
