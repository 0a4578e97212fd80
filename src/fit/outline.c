/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/outline.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

enum bt_status bt_outline_rectangle(double length, double width, struct bt_outline *out)
{
    memset(out, 0, sizeof *out);
    out->p = bt_alloc(4, sizeof *out->p);
    if (!out->p)
        return BT_ENOMEM;
    out->n = 4;
    for (size_t k = 0; k < 4; k++)
        out->corner[k] = k;
    out->p[1] = (struct bt_point){length, 0};
    out->p[2] = (struct bt_point){length, width};
    out->p[3] = (struct bt_point){0, width};
    return BT_OK;
}

void bt_outline_extent(const struct bt_outline *outline, struct bt_point *low,
                       struct bt_point *high)
{
    *low = *high = outline->n ? outline->p[0] : (struct bt_point){0, 0};
    for (size_t i = 1; i < outline->n; i++) {
        low->x = fmin(low->x, outline->p[i].x);
        low->y = fmin(low->y, outline->p[i].y);
        high->x = fmax(high->x, outline->p[i].x);
        high->y = fmax(high->y, outline->p[i].y);
    }
}

double bt_outline_area(const struct bt_outline *outline)
{
    double twice = 0;

    for (size_t i = 0; i < outline->n; i++) {
        const struct bt_point *a = &outline->p[i];
        const struct bt_point *b = &outline->p[i + 1 < outline->n ? i + 1 : 0];

        twice += a->x * b->y - b->x * a->y;
    }
    return twice / 2;
}

void bt_outline_clear(struct bt_outline *outline)
{
    if (!outline)
        return;
    bt_free(outline->p);
    memset(outline, 0, sizeof *outline);
}
