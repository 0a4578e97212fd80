/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Frames, and passes over all points in blocks that stay in the cache. */
#include "zone_private.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* The same operations in the same order, two or four at a time as the processor has
 * it: results do not depend on which. */
#if defined(__x86_64__) && defined(__GLIBC__) && defined(__GNUC__) &&                  \
    !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define WIDEST __attribute__((target_clones("avx2", "default")))
#else
#define WIDEST
#endif

/* A block is ROWS rows of LANES points, the processor is at several lanes at once. */
enum { LANES = 32, ROWS = 8, BLOCK = LANES * ROWS, PART = 64, COLUMNS = 8 };

/* Roundings, of DBL_EPSILON, of any way to compute a residual: some 20 operations. */
static const double roundings = 32.0;

static inline double larger(double a, double b)
{
    return a > b ? a : b;
}

/* In columns, so that the processor may work at all of them at once. */
static void extremes(size_t n, const double v[], double *least, double *most)
{
    double low[COLUMNS], high[COLUMNS];
    size_t i = 0;

    for (size_t j = 0; j < COLUMNS; j++)
        low[j] = high[j] = v[0];
    for (; i + COLUMNS <= n; i += COLUMNS)
        for (size_t j = 0; j < COLUMNS; j++) {
            low[j] = v[i + j] < low[j] ? v[i + j] : low[j];
            high[j] = v[i + j] > high[j] ? v[i + j] : high[j];
        }
    for (; i < n; i++) {
        low[0] = v[i] < low[0] ? v[i] : low[0];
        high[0] = v[i] > high[0] ? v[i] : high[0];
    }
    *least = low[0];
    *most = high[0];
    for (size_t j = 1; j < COLUMNS; j++) {
        *least = low[j] < *least ? low[j] : *least;
        *most = high[j] > *most ? high[j] : *most;
    }
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

void zone_gradient(const struct zone_frame *frame, const struct zone_planes *planes,
                   double g[3])
{
    for (size_t j = 0; j < 3; j++)
        g[j] = frame->up[j] - (frame->base[1] + planes->b) * frame->along[j] -
               (frame->base[2] + planes->c) * frame->across[j];
}

/* Residuals the short way, g . d - a, and what they may be wrong by:
 * wrong . |d| + wrong_a. */
struct slopes {
    double origin[3], g[3], a, wrong[3], wrong_a;
};

static struct slopes slopes_of(const struct zone_frame *f, const struct zone_planes *q)
{
    const double b = fabs(f->base[1]) + fabs(q->b), c = fabs(f->base[2]) + fabs(q->c);
    const double unit = roundings * DBL_EPSILON;
    struct slopes s;

    zone_gradient(f, q, s.g);
    s.a = f->base[0] + q->a;
    s.wrong_a = unit * (fabs(f->base[0]) + fabs(q->a));
    for (size_t j = 0; j < 3; j++) {
        s.origin[j] = f->origin[j];
        s.wrong[j] =
            unit * (fabs(f->up[j]) + b * fabs(f->along[j]) + c * fabs(f->across[j]));
    }
    return s;
}

static double rounding(const struct slopes *s, const double reach[3])
{
    return s->wrong[0] * reach[0] + s->wrong[1] * reach[1] + s->wrong[2] * reach[2] +
           s->wrong_a;
}

double zone_rounding(const struct zone_frame *frame, const struct zone_planes *planes,
                     const double reach[3])
{
    const struct slopes s = slopes_of(frame, planes);

    return rounding(&s, reach);
}

/* A block coordinate by coordinate, less the origin; |z|, and residuals by the short
 * way. */
struct columns {
    double x[BLOCK], y[BLOCK], z[BLOCK], height[BLOCK], r[BLOCK];
};

static inline void take_columns(const struct slopes *slopes, const struct bt_point p[],
                                const double z[], struct columns *c)
{
    const struct slopes s = *slopes;

    for (size_t i = 0; i < BLOCK; i++) {
        const double dx = p[i].x - s.origin[0], dy = p[i].y - s.origin[1];
        const double dz = z[i] - s.origin[2];
        c->x[i] = fabs(dx);
        c->y[i] = fabs(dy);
        c->z[i] = fabs(dz);
        c->height[i] = fabs(z[i]);
        c->r[i] = s.g[0] * dx + s.g[1] * dy + s.g[2] * dz - s.a;
    }
}

/* Largest sizes over a block, lane by lane. */
struct lanes {
    double x[LANES], y[LANES], z[LANES], height[LANES], r[LANES], sum[LANES];
};

static inline void take_lanes(const struct columns *restrict c,
                              struct lanes *restrict l)
{
    for (size_t i = 0; i < LANES; i++) {
        double x = 0.0, y = 0.0, z = 0.0, height = 0.0, r = 0.0, sum = 0.0;

        for (size_t row = 0; row < ROWS; row++) {
            const size_t k = row * LANES + i;
            x = larger(c->x[k], x);
            y = larger(c->y[k], y);
            z = larger(c->z[k], z);
            height = larger(c->height[k], height);
            r = larger(fabs(c->r[k]), r);
            sum += c->r[k];
        }
        l->x[i] = x;
        l->y[i] = y;
        l->z[i] = z;
        l->height[i] = height;
        l->r[i] = r;
        l->sum[i] = sum;
    }
}

/* Extent of a whole block, and its largest |residual| by the short way: NaN once one of
 * its numbers is not finite, which the comparisons would not notice. */
WIDEST static double survey(const struct slopes *s, const struct bt_point p[],
                            const double z[], struct zone_extent *extent)
{
    struct columns c;
    struct lanes l;

    take_columns(s, p, z, &c);
    take_lanes(&c, &l);
    for (size_t half = LANES / 2; half > 0; half /= 2)
        for (size_t i = 0; i < half; i++) {
            l.x[i] = larger(l.x[i + half], l.x[i]);
            l.y[i] = larger(l.y[i + half], l.y[i]);
            l.z[i] = larger(l.z[i + half], l.z[i]);
            l.height[i] = larger(l.height[i + half], l.height[i]);
            l.r[i] = larger(l.r[i + half], l.r[i]);
            l.sum[i] += l.sum[i + half];
        }
    *extent = (struct zone_extent){{l.x[0], l.y[0], l.z[0]}, l.height[0]};
    return isfinite(l.sum[0]) ? l.r[0] : NAN;
}

/* A short block is filled up with its last point, which changes no extreme. */
static double survey_short(const struct slopes *s, size_t m, const struct bt_point p[],
                           const double z[], struct zone_extent *extent)
{
    struct bt_point place[BLOCK];
    double height[BLOCK];

    for (size_t i = 0; i < BLOCK; i++) {
        place[i] = p[i < m ? i : m - 1];
        height[i] = z[i < m ? i : m - 1];
    }
    return survey(s, place, height, extent);
}

/* The residuals of a block. */
struct block {
    size_t from, m; /* first point, number of points */
    double r[BLOCK];
};

WIDEST static void residuals(const struct zone_frame *frame,
                             const struct zone_planes *planes,
                             const struct zone_data *data, struct block *block)
{
    /* Copies, so that the compiler knows that r does not overlap them. */
    const struct zone_frame f = *frame;
    const struct zone_planes q = *planes;
    const struct bt_point *p = data->p + block->from;
    const double *z = data->z + block->from;
    double r[BLOCK];

    for (size_t i = 0; i < block->m; i++) {
        const struct zone_place at = zone_place(&f, p[i].x, p[i].y, z[i]);
        r[i] = zone_residual(&q, &at);
    }
    memcpy(block->r, r, block->m * sizeof *r);
}

static void widen(struct zone_extent *all, const struct zone_extent *e)
{
    for (size_t j = 0; j < 3; j++)
        all->reach[j] = larger(e->reach[j], all->reach[j]);
    all->height = larger(e->height, all->height);
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

/* The residuals of a block that reaches the planes, as they are in the set. */
static bool price_block(const struct zone_data *data, const struct zone_frame *frame,
                        const struct zone_planes *planes, struct zone_pass *pass,
                        struct zone_set *set, size_t from, double *bound)
{
    const double limit = planes->half + zone_slack(set);
    struct block block;
    double low, high;

    block.from = from;
    block.m = data->n - from < BLOCK ? data->n - from : BLOCK;
    residuals(frame, planes, data, &block);
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
    const struct slopes s = slopes_of(frame, planes);

    pass->largest = 0.0;
    pass->added = 0;
    for (size_t from = 0, k = 0; from < data->n; from += BLOCK, k++) {
        const struct bt_point *p = data->p + from;
        const double *z = data->z + from;
        struct zone_extent extent;

        pass->bound[k] += pass->shift;
        if (pass->bound[k] < planes->half)
            continue;
        pass->bound[k] = data->n - from < BLOCK
                             ? survey_short(&s, data->n - from, p, z, &extent)
                             : survey(&s, p, z, &extent);
        pass->bound[k] += rounding(&s, extent.reach);
        if (pass->extent)
            widen(pass->extent, &extent);
        if (isnan(pass->bound[k]))
            pass->largest = NAN;
        else if (!(pass->bound[k] < planes->half) &&
                 !price_block(data, frame, planes, pass, set, from, &pass->bound[k]))
            return false;
    }
    return true;
}
