/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The share of the area that each place stands for: which place is nearest, on a
 * raster. */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/judge/removal.h"

enum { RASTER = 60000, PLACES = 20000 };

/* Places in strips along x, so that only a few are looked at for each cell. */
struct strips {
    const struct bt_point *p;
    double x0, wide;
    size_t count;  /* of strips */
    size_t *start; /* [count + 1] of order */
    size_t *order;
};

static size_t strip_of(const struct strips *s, double x)
{
    const double at = (x - s->x0) / s->wide;

    return at > 0.0 ? (size_t)fmin(at, (double)(s->count - 1)) : 0;
}

static bool fill(struct strips *s, size_t n, const struct bt_point p[])
{
    double high = p[0].x;

    s->p = p;
    s->x0 = p[0].x;
    for (size_t i = 0; i < n; i++) {
        s->x0 = fmin(s->x0, p[i].x);
        high = fmax(high, p[i].x);
    }
    s->count = (size_t)sqrt((double)n) + 1;
    s->wide = (high - s->x0) / (double)s->count;
    if (!(s->wide > 0.0)) {
        s->count = 1;
        s->wide = 1.0;
    }
    s->start = bt_alloc(s->count + 2, sizeof *s->start);
    s->order = bt_alloc(n, sizeof *s->order);
    if (!s->start || !s->order)
        return false;
    for (size_t i = 0; i < n; i++)
        s->start[strip_of(s, p[i].x) + 2]++;
    for (size_t k = 2; k < s->count + 2; k++)
        s->start[k] += s->start[k - 1];
    for (size_t i = 0; i < n; i++)
        s->order[s->start[strip_of(s, p[i].x) + 1]++] = i;
    return true;
}

static void look(const struct strips *s, size_t strip, struct bt_point at, size_t *best,
                 double *least)
{
    for (size_t k = s->start[strip]; k < s->start[strip + 1]; k++) {
        const size_t i = s->order[k];
        const double dx = s->p[i].x - at.x, dy = s->p[i].y - at.y;
        const double d = dx * dx + dy * dy;

        /* Of places that coincide the first, whatever strip order says. */
        if (d < *least || (d <= *least && i < *best)) {
            *least = d;
            *best = i;
        }
    }
}

/* Strips outward from its own, until the next cannot hold a nearer place. */
static size_t nearest(const struct strips *s, struct bt_point at)
{
    const size_t own = strip_of(s, at.x);
    double least = HUGE_VAL;
    size_t best = 0;

    look(s, own, at, &best, &least);
    for (size_t k = own; k-- > 0;) {
        const double far = at.x - (s->x0 + s->wide * (double)(k + 1));
        if (far > 0.0 && far * far > least)
            break;
        look(s, k, at, &best, &least);
    }
    for (size_t k = own + 1; k < s->count; k++) {
        const double far = s->x0 + s->wide * (double)k - at.x;
        if (far > 0.0 && far * far > least)
            break;
        look(s, k, at, &best, &least);
    }
    return best;
}

static void count_cells(const struct strips *s, const struct bt_rectangle *r,
                        double share[])
{
    const double length = r->x1 - r->x0, width = r->y1 - r->y0;
    const double across = fmin(fmax(sqrt(RASTER * length / width), 1.0), RASTER);
    const size_t nx = (size_t)ceil(across), ny = (size_t)ceil(RASTER / across);
    const double cell = 1.0 / ((double)nx * (double)ny);

    for (size_t j = 0; j < ny; j++)
        for (size_t i = 0; i < nx; i++) {
            const struct bt_point at = {r->x0 + length * ((double)i + 0.5) / (double)nx,
                                        r->y0 + width * ((double)j + 0.5) / (double)ny};
            share[nearest(s, at)] += cell;
        }
}

enum bt_status bt_removal_shares(size_t n, const struct bt_point p[],
                                 const struct bt_rectangle *r, double share[],
                                 struct bt_error *err)
{
    struct strips s = {0};
    enum bt_status status = BT_OK;

    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no place");
    for (size_t i = 0; i < n; i++)
        if (!isfinite(p[i].x) || !isfinite(p[i].y))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "place %zu is not two finite numbers", i + 1);
    if (!(r->x1 - r->x0 > 0.0) || !(r->y1 - r->y0 > 0.0) || !isfinite(r->x1 - r->x0) ||
        !isfinite(r->y1 - r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the rectangle has no area");
    if (n > PLACES) {
        for (size_t i = 0; i < n; i++)
            share[i] = 1.0 / (double)n;
        return BT_OK;
    }
    if (fill(&s, n, p)) {
        for (size_t i = 0; i < n; i++)
            share[i] = 0.0;
        count_cells(&s, r, share);
    } else {
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for shares of the area");
    }
    bt_free(s.start);
    bt_free(s.order);
    return status;
}
