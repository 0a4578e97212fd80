/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_CAUTIONS_H
#define BENCHTRUE_JOINT_CAUTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/export.h"

/*
 * The usual cautions for work that can hurt, made from reference/cautions.csv when the
 * program is built.  They remind and do not replace the machine's manual, the guards
 * and local codes; the last one of each kind of work says so.
 */

/* What is being done when a caution is due; bits of bt_caution.when. */
enum bt_caution_when {
    BT_CAUTION_FENCE = 1,   /* checking and setting a jointer's fence */
    BT_CAUTION_EDGES = 2,   /* jointing edges */
    BT_CAUTION_GLUEUP = 4,  /* glue and clamps */
    BT_CAUTION_STOCK = 8,   /* dimensioning rough stock: jointing faces, thicknessing */
    BT_CAUTION_DECIDE = 16, /* flattening, ripping, re-gluing a panel */
    BT_CAUTION_CUT = 32,    /* cutting to size, crosscuts, cut-outs, scribing */
    BT_CAUTION_ALL = 63
};

struct bt_caution {
    const char *text;   /* one sentence or two, without the source */
    const char *source; /* document and status, or `common practice, no source` */
    unsigned when;      /* bits of enum bt_caution_when */
    /* A board shorter, narrower or thinner than this is under the caution, mm; NaN: the
     * caution does not go by that size. */
    double least_length, least_width, least_thickness;
};

/* How many there are. */
BT_API size_t bt_caution_count(void);

/* NULL beyond the last.  In the order to print them. */
BT_API const struct bt_caution *bt_caution_at(size_t i);

/* Whether it goes by a size at all; those that do not are for every board. */
BT_API bool bt_caution_has_size(const struct bt_caution *caution);

/*
 * Whether a board falls under a caution that goes by a size: one of its sizes, mm, is
 * less than the caution's.  A size that is NaN is not known and puts no board under
 * it; nor does a caution without a size.
 */
BT_API bool bt_caution_applies(const struct bt_caution *caution, double length,
                               double width, double thickness);

#endif
