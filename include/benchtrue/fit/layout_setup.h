/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_LAYOUT_SETUP_H
#define BENCHTRUE_FIT_LAYOUT_SETUP_H

#include "benchtrue/fit/cutouts.h"
#include "benchtrue/fit/layout.h"

/* [layout], and the rows of cutouts.csv, as the maker states them.  Lengths in mm; NaN:
 * not stated. */
struct bt_layout_setup {
    enum bt_layout_order order;
    enum bt_layout_trim trim;
    enum bt_layout_centre centre;
    enum bt_layout_ring_rule rings;
    double width, length; /* of the finished piece, > 0 */
    double narrowest;     /* least finished strip, >= 0 */
    double jointing;      /* off each edge in a joint, >= 0 */
    double width_u;       /* of one board, > 0 */
    double spare;         /* least to cut off across in all, >= 0 */
    double ends;          /* least to cut off at each end, >= 0 */
    double turn;          /* most that an outline is turned on the blank, rad, >= 0 */
    double beside;        /* least wood beside a cut-out, >= 0 */
    double clearance;     /* from a cut-out to a joint or a fixing, >= 0 */
    size_t nclear;
    struct bt_layout_clear *clear; /* y from the back edge */
    size_t ncutout;
    struct bt_cutout *cutout;
};

/* Taken where [layout] does not say; each common practice, no source. */
#define BT_LAYOUT_NARROWEST 25.0       /* mm */
#define BT_LAYOUT_WIDTH_U 0.5          /* mm: read on a rule */
#define BT_LAYOUT_TURN 0.0349065850399 /* rad: 2 degrees, hardly seen in the grain */

/* Nothing stated: free order, any trim, centre and rings. */
BT_API struct bt_layout_setup bt_layout_none(void);

#endif
