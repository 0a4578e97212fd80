/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sums over many points.  A block of points is laid out as ROWS rows of LANES; lane by
 * lane the products of its rows are added, and the lanes of a stretch of blocks, before
 * the sums go on in extended precision.  So the processor adds many lanes at once
 * without being told to reorder, every machine adds in the same order, and a sum of a
 * million terms has the error of some dozens.
 */
#include "sweep.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

/* The same operations in the same order, two or four at a time as the processor has
 * it: results do not depend on which. */
#if defined(__x86_64__) && defined(__GLIBC__) && defined(__GNUC__) &&                  \
    !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define WIDEST __attribute__((target_clones("avx2", "default")))
#else
#define WIDEST
#endif

enum {
    LANES = 32,
    ROWS = 8,
    BLOCK = LANES * ROWS,
    STRETCH = 16 * BLOCK,
    SAMPLE = 1024
};

/* Columns are well apart while what the others leave of one has at least this share of
 * its square: three digits of sixteen are lost at most. */
static const long double apart = 1e-3L;

/* Moments of order up to 2; then come those of add_high. */
enum { LOW = 6 };

struct lanes {
    double moment[SWEEP_MOMENTS][LANES], height[SWEEP_HEIGHTS][LANES], square[LANES];
};

struct block {
    double u[BLOCK], v[BLOCK], h[BLOCK];
};

/* What is needed of struct sweep_sums, so that the compiler sees that nothing else
 * changes it. */
struct scale {
    double x, y, z, u_x, v_y;
};

/* The rest of a short block is zeros, which add nothing but to the count. */
static inline void place(const struct scale *s, size_t m, const struct bt_point p[],
                         const double z[], struct block *b)
{
    const struct scale at = *s;

    for (size_t i = 0; i < m; i++) {
        b->u[i] = (p[i].x - at.x) * at.u_x;
        b->v[i] = (p[i].y - at.y) * at.v_y;
        b->h[i] = z[i] - at.z;
    }
    for (size_t i = m; i < BLOCK; i++)
        b->u[i] = b->v[i] = b->h[i] = 0.0;
}

static inline void add_low(const struct block *restrict b, struct lanes *restrict sum)
{
    for (size_t i = 0; i < LANES; i++) {
        double s1 = 0, s2 = 0, s3 = 0, s4 = 0, s5 = 0;
        double h0 = 0, h1 = 0, h2 = 0, h3 = 0, h4 = 0, h5 = 0, hh = 0;

        for (size_t row = 0; row < ROWS; row++) {
            const size_t k = row * LANES + i;
            const double u = b->u[k], v = b->v[k], h = b->h[k];
            const double uu = u * u, uv = u * v, vv = v * v;
            s1 += u;
            s2 += v;
            s3 += uu;
            s4 += uv;
            s5 += vv;
            h0 += h;
            h1 += h * u;
            h2 += h * v;
            h3 += h * uu;
            h4 += h * uv;
            h5 += h * vv;
            hh += h * h;
        }
        sum->moment[1][i] += s1;
        sum->moment[2][i] += s2;
        sum->moment[3][i] += s3;
        sum->moment[4][i] += s4;
        sum->moment[5][i] += s5;
        sum->height[0][i] += h0;
        sum->height[1][i] += h1;
        sum->height[2][i] += h2;
        sum->height[3][i] += h3;
        sum->height[4][i] += h4;
        sum->height[5][i] += h5;
        sum->square[i] += hh;
    }
}

static inline void add_high(const struct block *restrict b, struct lanes *restrict sum)
{
    for (size_t i = 0; i < LANES; i++) {
        double s0 = 0, s1 = 0, s2 = 0, s3 = 0;
        double s4 = 0, s5 = 0, s6 = 0, s7 = 0, s8 = 0;

        for (size_t row = 0; row < ROWS; row++) {
            const size_t k = row * LANES + i;
            const double u = b->u[k], v = b->v[k];
            const double uu = u * u, uv = u * v, vv = v * v;
            s0 += uu * u;
            s1 += uu * v;
            s2 += u * vv;
            s3 += vv * v;
            s4 += uu * uu;
            s5 += uu * uv;
            s6 += uu * vv;
            s7 += uv * vv;
            s8 += vv * vv;
        }
        sum->moment[LOW + 0][i] += s0;
        sum->moment[LOW + 1][i] += s1;
        sum->moment[LOW + 2][i] += s2;
        sum->moment[LOW + 3][i] += s3;
        sum->moment[LOW + 4][i] += s4;
        sum->moment[LOW + 5][i] += s5;
        sum->moment[LOW + 6][i] += s6;
        sum->moment[LOW + 7][i] += s7;
        sum->moment[LOW + 8][i] += s8;
    }
}

/* A stretch of blocks. */
WIDEST static void add_stretch(const struct scale *scale, size_t m,
                               const struct bt_point p[], const double z[], bool form,
                               struct lanes *sum)
{
    struct block b;

    for (size_t from = 0; from < m; from += BLOCK) {
        place(scale, m - from < BLOCK ? m - from : BLOCK, p + from, z + from, &b);
        add_low(&b, sum);
        if (form)
            add_high(&b, sum);
    }
}

static void flush(const struct lanes *lanes, struct sweep_sums *sums)
{
    for (size_t k = 1; k < SWEEP_MOMENTS; k++)
        for (size_t i = 0; i < LANES; i++)
            sums->moment[k] += (long double)lanes->moment[k][i];
    for (size_t k = 0; k < SWEEP_HEIGHTS; k++)
        for (size_t i = 0; i < LANES; i++)
            sums->height[k] += (long double)lanes->height[k][i];
    for (size_t i = 0; i < LANES; i++)
        sums->square += (long double)lanes->square[i];
}

/*
 * Middle and extent of points taken one from each of SAMPLE stretches, at a place in it
 * that differs by the golden section from one to the next: a regular step could fall on
 * the same column of a grid every time.
 */
static bool make_scale(size_t n, const struct bt_point p[], const double z[],
                       struct sweep_sums *s)
{
    const uint64_t golden = 0x9E3779B97F4A7C15u;
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY}, sum = 0.0;

    for (size_t k = 0; k < SAMPLE; k++) {
        const double within = (double)((golden * (uint64_t)k) >> 11) / 0x1p53;
        const size_t at = (size_t)(((double)k + within) * (double)n / SAMPLE);
        const size_t i = at < n ? at : n - 1;

        low[0] = fmin(low[0], p[i].x);
        high[0] = fmax(high[0], p[i].x);
        low[1] = fmin(low[1], p[i].y);
        high[1] = fmax(high[1], p[i].y);
        sum += z[i];
    }
    s->x = 0.5 * low[0] + 0.5 * high[0];
    s->y = 0.5 * low[1] + 0.5 * high[1];
    s->z = sum / SAMPLE;
    s->u_x = 2.0 / (high[0] - low[0]);
    s->v_y = 2.0 / (high[1] - low[1]);
    return isfinite(s->x) && isfinite(s->y) && isfinite(s->z) && isfinite(s->u_x) &&
           isfinite(s->v_y) && s->u_x > 0.0 && s->v_y > 0.0;
}

bool sweep_points(size_t n, const struct bt_point p[], const double z[], bool form,
                  struct sweep_sums *sums)
{
    struct scale scale;
    bool finite;

    memset(sums, 0, sizeof *sums);
    if (n < SWEEP_LEAST || !make_scale(n, p, z, sums))
        return false;
    scale = (struct scale){sums->x, sums->y, sums->z, sums->u_x, sums->v_y};
    sums->n = n;
    sums->moment[0] = (long double)n;
    for (size_t from = 0; from < n; from += STRETCH) {
        struct lanes lanes;

        memset(&lanes, 0, sizeof lanes);
        add_stretch(&scale, n - from < STRETCH ? n - from : STRETCH, p + from, z + from,
                    form, &lanes);
        flush(&lanes, sums);
    }
    /* A coordinate that is not finite makes its sum so; a height whose square is a
     * number leaves a residual that is one. */
    finite = isfinite((double)sums->square);
    for (size_t k = 0; k < SWEEP_MOMENTS; k++)
        finite = finite && isfinite((double)sums->moment[k]);
    for (size_t k = 0; k < SWEEP_HEIGHTS; k++)
        finite = finite && isfinite((double)sums->height[k]);
    return finite;
}

bool sweep_plane(const struct sweep_sums *s, struct plane_solution *found)
{
    const long double n = s->moment[0], *m = s->moment, *h = s->height;
    const long double u = m[1] / n, v = m[2] / n;
    const long double uu = m[3] / n - u * u, uv = m[4] / n - u * v;
    const long double vv = m[5] / n - v * v, skew = uv / uu;
    const long double left = vv - skew * uv, size_u = sqrtl(uu), size_v = sqrtl(left);
    const long double hu = h[1] / n - h[0] / n * u, hv = h[2] / n - h[0] / n * v;
    struct plane_frame *f = &found->frame;
    long double dx, dy;

    if (!(uu > apart * m[3] / n) || !(uu > apart) || !(left > apart * m[5] / n) ||
        !(left > apart))
        return false;
    found->n = s->n;
    f->x = (double)(s->x + u / s->u_x);
    f->y = (double)(s->y + v / s->v_y);
    f->z = s->z;
    f->s_x = s->u_x / size_u;
    f->s_y = 0.0L;
    f->t_x = -skew * s->u_x / size_v;
    f->t_y = s->v_y / size_v;
    found->c[1] = hu / size_u;
    found->c[2] = (hv - skew * hu) / size_v;
    /* from the mean to the number next to it */
    dx = ((long double)f->x - s->x) - u / s->u_x;
    dy = ((long double)f->y - s->y) - v / s->v_y;
    found->c[0] = h[0] / n + found->c[1] * (f->s_x * dx + f->s_y * dy) +
                  found->c[2] * (f->t_x * dx + f->t_y * dy);
    return true;
}

/* The plane in double precision, about its own middle. */
struct slopes {
    double x, y, z, a, b, c;
};

struct residual_lanes {
    double low[LANES], high[LANES], square[LANES];
};

static inline void residuals(const struct slopes *slopes, size_t m,
                             const struct bt_point p[], const double z[], double r[])
{
    const struct slopes s = *slopes;

    for (size_t i = 0; i < m; i++)
        r[i] = (z[i] - s.z) - ((p[i].x - s.x) * s.b + (p[i].y - s.y) * s.c + s.a);
}

/* Of a whole block. */
static inline void take_block(const double r[restrict],
                              struct residual_lanes *restrict l)
{
    for (size_t i = 0; i < LANES; i++) {
        double low = r[i], high = r[i], square = 0.0;

        for (size_t row = 0; row < ROWS; row++) {
            const size_t k = row * LANES + i;
            low = r[k] < low ? r[k] : low;
            high = r[k] > high ? r[k] : high;
            square += r[k] * r[k];
        }
        l->low[i] = low < l->low[i] ? low : l->low[i];
        l->high[i] = high > l->high[i] ? high : l->high[i];
        l->square[i] += square;
    }
}

WIDEST static void residual_stretch(const struct slopes *s, size_t m,
                                    const struct bt_point p[], const double z[],
                                    double relative[], struct residual_lanes *l)
{
    double r[BLOCK];

    for (size_t from = 0; from < m; from += BLOCK) {
        const size_t some = m - from < BLOCK ? m - from : BLOCK;

        residuals(s, some, p + from, z + from, r);
        if (relative)
            memcpy(relative + from, r, some * sizeof *r);
        if (some == BLOCK) {
            take_block(r, l);
            continue;
        }
        for (size_t i = 0; i < some; i++) {
            l->low[0] = r[i] < l->low[0] ? r[i] : l->low[0];
            l->high[0] = r[i] > l->high[0] ? r[i] : l->high[0];
            l->square[0] += r[i] * r[i];
        }
    }
}

/* Takes the extremes of the stretch that starts at `from` where they are beyond those
 * before. */
static void take_stretch(const struct residual_lanes *l, size_t from,
                         struct sweep_residuals *found)
{
    for (size_t i = 0; i < LANES; i++) {
        if (l->low[i] < found->low) {
            found->low = l->low[i];
            found->lowest = from;
        }
        if (l->high[i] > found->high) {
            found->high = l->high[i];
            found->highest = from;
        }
        found->square += (long double)l->square[i];
    }
}

/* The first point at or after `from` with the residual r. */
static size_t index_of(const struct slopes *s, size_t n, const struct bt_point p[],
                       const double z[], const double relative[], size_t from, double r)
{
    for (size_t i = from; i < n; i++) {
        double at = relative ? relative[i] : 0.0;

        if (!relative)
            residuals(s, 1, p + i, z + i, &at);
        if (at == r)
            return i;
    }
    return from;
}

static void doubts(size_t n, const struct bt_point p[],
                   const struct plane_solution *solution, double u[])
{
    const struct plane_frame *f = &solution->frame;
    const double x = f->x, y = f->y, s_x = (double)f->s_x, s_y = (double)f->s_y;
    const double t_x = (double)f->t_x, t_y = (double)f->t_y, points = (double)n;

    for (size_t i = 0; i < n; i++) {
        const double dx = p[i].x - x, dy = p[i].y - y;
        const double s = s_x * dx + s_y * dy, t = t_x * dx + t_y * dy;
        const double left = 1.0 - (1.0 + s * s + t * t) / points;
        u[i] = sqrt(left > 0.0 ? left : 0.0);
    }
}

void sweep_residuals(size_t n, const struct bt_point p[], const double z[],
                     const struct plane_solution *solution, double relative[],
                     double u[], struct sweep_residuals *found)
{
    const struct plane_frame *f = &solution->frame;
    const long double *c = solution->c;
    const struct slopes s = {f->x,
                             f->y,
                             f->z,
                             (double)c[0],
                             (double)(c[1] * f->s_x + c[2] * f->t_x),
                             (double)(c[1] * f->s_y + c[2] * f->t_y)};

    *found = (struct sweep_residuals){INFINITY, -INFINITY, 0, 0, 0.0L};
    for (size_t from = 0; from < n; from += STRETCH) {
        struct residual_lanes l;

        for (size_t i = 0; i < LANES; i++) {
            l.low[i] = INFINITY;
            l.high[i] = -INFINITY;
            l.square[i] = 0.0;
        }
        residual_stretch(&s, n - from < STRETCH ? n - from : STRETCH, p + from,
                         z + from, relative ? relative + from : NULL, &l);
        take_stretch(&l, from, found);
    }
    found->lowest = index_of(&s, n, p, z, relative, found->lowest, found->low);
    found->highest = index_of(&s, n, p, z, relative, found->highest, found->high);
    if (u)
        doubts(n, p, solution, u);
}
