/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_FORM_PARTS_H
#define BENCHTRUE_SURFACE_FORM_PARTS_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/form.h"

/*
 * What the u of bow, cup and twist is made of, for comparing sets of readings: what one
 * set has to itself, what sets read with one straightedge share, and how much a figure
 * may depend on which places were read.
 */

/* One number a figure, mm. */
struct bt_form_values {
    double bow, cup, twist;
};

/* An error that all readings with one straightedge share, or all of the panel. */
struct bt_form_share {
    int instrument; /* struct bt_group.instrument: alike in all sets of a job; -1 the
                       panel's own weight */
    struct bt_form_values effect; /* what one standard uncertainty of it does to each
                                     figure, with its sign; NaN where not seen */
};

struct bt_form_parts {
    struct bt_form form;       /* over the rectangle given */
    struct bt_form_values own; /* u without what is shared: own^2 + sum of effect^2 is
                                  the square of the figure's u; NaN where not seen */
    struct bt_form_values misfit; /* u that a figure gets from shapes finer than bow,
                                     cup and twist when other places are read; 0 where
                                     the heights show none, NaN where the places
                                     determine no such form */
    size_t nshare;
    struct bt_form_share *share; /* [nshare] owned */
};

/*
 * Find them.
 *
 *   readings   flatness->all
 *   flatness   as bt_flatness_evaluate filled it
 *   rectangle  over which the form is taken, the same for all sets that are compared
 *   out        to be freed with bt_form_parts_clear, also after an error
 *
 * Effect of a shared error: the figure of the heights that answer to it
 * (bt_network_response); figures are linear in the readings.  Misfit: the heights'
 * departures from the fitted form, less what their u explains, taken as independent
 * from place to place: s^2 = rss/(n - 6) - mean u^2, times the figure's coefficients.
 * Departures that run along a whole line, as facets do, weigh more than that says.
 *
 * Returns BT_OK, BT_EINPUT (as bt_form_fit, bt_scan_form) or BT_ENOMEM.
 */
BT_API enum bt_status bt_form_parts_find(const struct bt_readings *readings,
                                         const struct bt_flatness *flatness,
                                         const struct bt_rectangle *rectangle,
                                         struct bt_form_parts *out,
                                         struct bt_error *err);

/* NULL is accepted. */
BT_API void bt_form_parts_clear(struct bt_form_parts *parts);

#endif
