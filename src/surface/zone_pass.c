/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Frames, and passes over all points in blocks that stay in the cache. */
#include "zone_private.h"

#include <float.h>
#include <math.h>

enum { BLOCK = 256, PART = 64, LANES = 4 };

/* Least and largest of v, both NaN if one of them is not finite or their sum is not.
 * In lanes, so that the processor may work at all of them at once. */
static void extremes(size_t n, const double v[], double *least, double *most)
{
    double low[LANES], high[LANES], sum[LANES];
    size_t i = 0;

    for (size_t j = 0; j < LANES; j++) {
        low[j] = high[j] = v[0];
        sum[j] = 0.0;
    }
    for (; i + LANES <= n; i += LANES)
        for (size_t j = 0; j < LANES; j++) {
            low[j] = v[i + j] < low[j] ? v[i + j] : low[j];
            high[j] = v[i + j] > high[j] ? v[i + j] : high[j];
            sum[j] += v[i + j];
        }
    for (; i < n; i++) {
        low[0] = v[i] < low[0] ? v[i] : low[0];
        high[0] = v[i] > high[0] ? v[i] : high[0];
        sum[0] += v[i];
    }
    for (size_t j = 1; j < LANES; j++) {
        low[0] = low[j] < low[0] ? low[j] : low[0];
        high[0] = high[j] > high[0] ? high[j] : high[0];
        sum[0] += sum[j];
    }
    *least = isfinite(sum[0]) ? low[0] : NAN;
    *most = isfinite(sum[0]) ? high[0] : NAN;
}

static size_t index_of(const double v[], double value)
{
    size_t i = 0;

    while (!(v[i] == value))
        i++;
    return i;
}

size_t zone_not_finite(const struct zone_data *data)
{
    size_t i = 0;

    while (i < data->n && isfinite(data->p[i].x) && isfinite(data->p[i].y) &&
           isfinite(data->z[i]))
        i++;
    return i;
}

size_t zone_farthest(const struct zone_data *data, size_t from, size_t to, size_t k,
                     const size_t among[], double *distance)
{
    const double x = data->p[from].x, y = data->p[from].y;
    const double along_x = data->p[to].x - x, along_y = data->p[to].y - y;
    const double length = hypot(along_x, along_y);
    const double unit_x = along_x / length, unit_y = along_y / length;
    const size_t count = among ? k : data->n;
    size_t found = from;

    *distance = 0.0;
    for (size_t i = 0; i < count; i++) {
        const size_t point = among ? among[i] : i;
        const double far =
            fabs(unit_x * (data->p[point].y - y) - unit_y * (data->p[point].x - x));
        if (far > *distance) {
            *distance = far;
            found = point;
        }
    }
    return found;
}

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static void between(const struct zone_data *data, size_t from, size_t to, double d[3])
{
    d[0] = data->p[to].x - data->p[from].x;
    d[1] = data->p[to].y - data->p[from].y;
    d[2] = data->z[to] - data->z[from];
}

bool zone_frame_make(const struct zone_data *data, const size_t corner[3],
                     const double origin[3], double largest, const double normal[3],
                     struct zone_frame *frame)
{
    double *e = frame->along, *f = frame->across, d[3], over, length, width;

    between(data, corner[0], corner[1], e);
    over = dot(e, normal);
    for (size_t j = 0; j < 3; j++)
        e[j] -= over * normal[j];
    length = sqrt(dot(e, e));
    for (size_t j = 0; j < 3; j++)
        e[j] /= length;
    f[0] = normal[1] * e[2] - normal[2] * e[1];
    f[1] = normal[2] * e[0] - normal[0] * e[2];
    f[2] = normal[0] * e[1] - normal[1] * e[0];
    between(data, corner[0], corner[2], d);
    width = fabs(dot(f, d));
    if (!(length > 0.0) || !(width > 16.0 * DBL_EPSILON * largest))
        return false;
    for (size_t j = 0; j < 3; j++) {
        e[j] /= length;
        f[j] /= width;
        frame->up[j] = normal[j];
        frame->base[j] = 0.0;
        frame->origin[j] = origin[j];
    }
    return true;
}

size_t zone_blocks(size_t n)
{
    return (n + BLOCK - 1) / BLOCK;
}

/* A block of points, coordinate by coordinate. */
struct block {
    size_t from, m; /* first point, number of points */
    double x[BLOCK], y[BLOCK], r[BLOCK];
};

static void take_block(const struct zone_data *data, size_t from, struct block *block)
{
    const struct bt_point *p = data->p + from;

    block->from = from;
    block->m = data->n - from < BLOCK ? data->n - from : BLOCK;
    for (size_t i = 0; i < block->m; i++) {
        block->x[i] = p[i].x;
        block->y[i] = p[i].y;
    }
}

static void residuals(const struct zone_frame *frame, const struct zone_planes *planes,
                      const double z[], struct block *block)
{
    /* Copies, so that the compiler knows that r does not overlap them. */
    const struct zone_frame f = *frame;
    const struct zone_planes q = *planes;

    for (size_t i = 0; i < block->m; i++) {
        const struct zone_place at = zone_place(&f, block->x[i], block->y[i], z[i]);
        block->r[i] = zone_residual(&q, &at);
    }
}

static void widen(const double v[], size_t m, double *low, double *high)
{
    double least, most;

    if (isnan(*low))
        return;
    extremes(m, v, &least, &most);
    *low = *low <= least ? *low : least;
    *high = *high >= most ? *high : most;
}

/* To the set, the extreme of each part of the block on each side where it is beyond
 * the limit. */
static bool add_extremes(const struct block *block, double limit,
                         const struct zone_data *data, const struct zone_frame *frame,
                         struct zone_pass *pass, struct zone_set *set)
{
    for (size_t i = 0; i < block->m; i += PART) {
        const size_t m = block->m - i < PART ? block->m - i : PART;
        const double *r = block->r + i;
        double low, high;

        extremes(m, r, &low, &high);
        for (int side = 0; side < 2; side++) {
            if (!(side ? low < -limit : high > limit))
                continue;
            pass->added++;
            if (!zone_set_add(set, data, frame,
                              block->from + i + index_of(r, side ? low : high)))
                return false;
        }
    }
    return true;
}

static bool price_block(const struct zone_data *data, const struct zone_frame *frame,
                        const struct zone_planes *planes, struct zone_pass *pass,
                        struct zone_set *set, size_t from, double *bound)
{
    const double limit = planes->half + zone_slack(set), *z = data->z + from;
    struct block block;
    double low, high;

    take_block(data, from, &block);
    residuals(frame, planes, z, &block);
    if (pass->extent) {
        struct zone_extent *e = pass->extent;
        widen(block.x, block.m, &e->low[0], &e->high[0]);
        widen(block.y, block.m, &e->low[1], &e->high[1]);
        widen(z, block.m, &e->low[2], &e->high[2]);
    }
    extremes(block.m, block.r, &low, &high);
    *bound = high > -low ? high : -low;
    if (!isnan(pass->largest) && !(pass->largest >= *bound))
        pass->largest = *bound;
    return *bound > limit ? add_extremes(&block, limit, data, frame, pass, set) : true;
}

bool zone_price(const struct zone_data *data, const struct zone_frame *frame,
                const struct zone_planes *planes, struct zone_pass *pass,
                struct zone_set *set)
{
    pass->largest = 0.0;
    pass->added = 0;
    for (size_t from = 0, k = 0; from < data->n; from += BLOCK, k++) {
        pass->bound[k] += pass->shift;
        if (!(pass->bound[k] < planes->half) &&
            !price_block(data, frame, planes, pass, set, from, &pass->bound[k]))
            return false;
    }
    return true;
}
