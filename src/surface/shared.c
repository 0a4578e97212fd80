/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/shared.h"

#include <math.h>

#include "surface/correcting.h"

bool bt_shared_next(const struct bt_readings *r, size_t *group, double dy[])
{
    struct bt_correction c;

    if (!bt_correction_next(r, group, &c))
        return false;
    bt_correction_column(r, &c, dy);
    for (size_t i = 0; i < r->nobs; i++)
        dy[i] *= c.u;
    return true;
}
