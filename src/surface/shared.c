/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/shared.h"

#include <math.h>

static bool first_with_edge(const struct bt_readings *r, size_t group)
{
    if (!(r->group[group].straightness > 0) || r->group[group].instrument < 0)
        return false;
    for (size_t g = 0; g < group; g++)
        if (r->group[g].instrument == r->group[group].instrument)
            return false;
    return true;
}

bool bt_shared_next(const struct bt_readings *r, size_t *group, double dy[])
{
    size_t g = *group;

    while (g < r->ngroup && !first_with_edge(r, g))
        g++;
    *group = g + 1;
    if (g >= r->ngroup)
        return false;
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        const bool with = o->kind == BT_READ_GAP && o->group >= 0 &&
                          r->group[o->group].instrument == r->group[g].instrument;
        dy[i] = with ? r->group[g].straightness / sqrt(3) * (1 - o->edge * o->edge) : 0;
    }
    return true;
}
