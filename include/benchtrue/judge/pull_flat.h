/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_PULL_FLAT_H
#define BENCHTRUE_JUDGE_PULL_FLAT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"
#include "benchtrue/fit/holding.h"
#include "benchtrue/wood/wood.h"

/*
 * Pulling a panel flat with its fixings: force on each screw, and stress in the wood;
 * what a screw holds is in fit/holding.h.  Lengths in mm, forces in N, stresses and
 * moduli in MPa.  Rails and their fixings are taken to be stiff and flat.
 */

/*
 * A panel that is bent evenly in one direction (cup across, bow along) as a beam, held
 * straight at lines of fixings: w'' is piecewise linear between them (natural cubic
 * spline), since nothing bends it but they.
 */
struct bt_pull_request {
    double extent;  /* of the panel in the direction of the bend: the width for cup, the
                       length for bow, > 0 */
    double breadth; /* the other way, > 0 */
    double thickness; /* > 0 */
    struct bt_wood_value
        E;                   /* in the direction of the bend: e_tangential (flat cut) or
                                e_radial (quarter cut) for cup, e_along for bow; value > 0 */
    struct bt_measured form; /* cup or bow: height of the middle over the ends, mm */
    size_t nline;            /* 3 or more */
    const double
        *line;     /* [nline] ascending, within 0 to extent: where the fixings lie */
    size_t screws; /* on each line, >= 1 */
    double hand_force; /* N, > 0: a force at the place of one screw that closed */
    double hand_gap;   /* mm, > 0: this gap under it; both NaN: not tried */
    double u_hand;     /* share of hand_force over hand_gap, > 0; NaN:
                          BT_PULL_HAND_SCATTER */
};

/* How well a force by hand is known (common practice, no source). */
#define BT_PULL_HAND_SCATTER 0.25

/* u of a thickness, as a share, in the stiffness (common practice, no source: 0.3 mm of
 * 20). */
#define BT_PULL_THICKNESS_SCATTER 0.015

struct bt_pull {
    double sagitta; /* that is pulled out: of the outer lines' span, mm, > 0 */
    double *force;  /* [nline] on all the screws of a line, N; positive pulls the face
                       down, negative: the rail pushes up there; owned */
    double computed, u_computed; /* N: on the screw that carries most, pulled or pushed,
                                    from the wood's stiffness */
    double measured, u_measured; /* the same from the hand's force: hand_force sagitta /
                                    hand_gap; NaN not tried */
    double screw, u_screw; /* the measured one where there is one, else the computed */
    double stress, u_stress; /* most in the wood, tension on one face, compression on
                                the other, MPa: E t kappa/2 at the fixings */
    double stress_even;      /* the same if it were bent straight everywhere */
    double left; /* largest distance from flat that is left between and beyond
                    the fixings, mm */
};

/*
 * Force and stress.  With three lines at 0, S/2 and S the middle one takes
 * P = 48 E I d/S^3 (reference/beams.csv, centre load), I = breadth t^3/12, d the
 * sagitta of S.  Within a line the screw that carries most has the share 1 of 1, 1/2 of
 * 2, 1/(n - 1) of more (screws at both ends and evenly between).  u from that of E,
 * form and thickness; of the measured force from u_hand and the form.
 *
 *   pull   out, to be freed with bt_pull_clear; untouched on error
 *
 * The Poisson ratios are left out (1 - nu_LT nu_TL is about 0.98).  Forces fall as the
 * wood creeps: see BT_PULL_CREEP_LEAST.
 *
 * Returns BT_OK; BT_EINPUT (not finite or not > 0; form not seen; fewer than three
 * lines; lines not ascending or beyond the panel: row; a hand's force without its gap,
 * or the other way round); BT_ENOMEM.
 */
BT_API enum bt_status bt_pull_evaluate(const struct bt_pull_request *request,
                                       struct bt_pull *pull, struct bt_error *err);

/* NULL is accepted. */
BT_API void bt_pull_clear(struct bt_pull *pull);

/*
 * Force at each corner that takes the twist out of a panel, two pulling and two
 * pushing: P = G t^3 w/(3 a b), w the height of the fourth corner, mm; any four points
 * of a rectangle within it take as much, since w/(a b) is the same.
 *
 *   length, width, thickness   mm, > 0
 *   G                          MPa, g_along of the wood
 *   twist                      mm, either sign
 *
 * Derived: pure twisting, M_xy = G t^3/6 w/(a b), corner force 2 M_xy; it is the plate
 * formula of reference/beams.csv (from memory, uncertain), for D (1 - nu) = G t^3/6.
 * Not seen where an argument is not as above, not finite, or the twist is not seen.
 * u from that of G, twist and thickness.
 */
BT_API struct bt_measured bt_pull_twist(double length, double width, double thickness,
                                        const struct bt_wood_value *G,
                                        const struct bt_measured *twist);

/*
 * Short-term strength in tension across the grain at 12 % moisture, MPa: hardwoods
 * 10.1 G^1.3, softwoods 6.0 G^1.11.  FPL-GTR-190 (2010), chapter 5, functions relating
 * mechanical properties to specific gravity (from memory).  NaN where gravity is not
 * > 0.
 */
BT_API double bt_pull_tension_strength(double gravity, bool hardwood);

/* Share of the short-term strength that a stress for good may reach (common practice,
 * no source: half for years of load, two thirds of that for flaws and joints). */
#define BT_PULL_STRESS_SHARE 0.33

/* Times that a deflection under lasting load grows, least and most (common practice, no
 * source): a panel held for months keeps part of the form, and its screws lose part of
 * their force. */
#define BT_PULL_CREEP_LEAST 1.5
#define BT_PULL_CREEP_MOST 3.0

enum bt_pull_verdict { BT_PULL_WORKS, BT_PULL_SCREWS_TOO_WEAK, BT_PULL_WOOD_TOO_WEAK };

/* The wood is asked first: `it works`, `the screws hold less than that`, `the wood may
 * split`; "unknown verdict" for a number outside the list. */
BT_API const char *bt_pull_verdict_text(enum bt_pull_verdict verdict);

/*
 * Whether force and stress, each with 2 u added, stay within what screw and wood may
 * carry.  Limits that are NaN or not > 0 count as not met.
 *
 *   screw_holds   N: bt_screw_pull_out over BT_SCREW_SAFETY
 *   wood_holds    MPa: the strength times BT_PULL_STRESS_SHARE
 */
BT_API enum bt_pull_verdict bt_pull_judge(const struct bt_pull *pull,
                                          double screw_holds, double wood_holds);

#endif
