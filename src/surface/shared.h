/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_SHARED_H
#define BT_SURFACE_SHARED_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/readings.h"

/*
 * Errors that several readings share and that are known beforehand: of each
 * straightedge one hollow or crown along every line read with it, with the u of its
 * line test or of its stated straightness (bt_corrections_known), and the panel's own
 * weight.
 *
 *   group       in: 0 to begin; out: where to go on, one more than a group that is read
 *               with the edge, r->ngroup + 1 for the own weight
 *   dy[r->nobs] out: what one standard uncertainty does to the readings, mm
 *
 * Returns false when there is no further one.
 */
bool bt_shared_next(const struct bt_readings *r, size_t *group, double dy[]);

/*
 * Readings whose rounding may be one error (bt_network_alike): what that adds to the
 * square of the u of one figure, or would take off it.  Begin with all 0 and go through
 * them, those of one number beside each other.
 */
struct bt_alike {
    int of;
    double sum, more;
};

/* One more reading: its number, and what one u of it does to the figure. */
static inline void bt_alike_add(struct bt_alike *a, int of, double effect)
{
    if (of != a->of) {
        a->more += a->sum * a->sum;
        a->sum = 0;
        a->of = of;
    }
    a->sum += effect;
    a->more -= effect * effect;
}

/* What it adds: nothing where independent errors do more. */
static inline double bt_alike_more(const struct bt_alike *a)
{
    const double more = a->more + a->sum * a->sum;

    return more > 0 ? more : 0;
}

/* The same over the readings themselves; effect[r->nobs] as above. */
double bt_alike_of_readings(const struct bt_readings *r, const double effect[]);

#endif
