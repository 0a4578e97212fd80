/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/builder.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

static void need(int good, const char *what)
{
    if (!good) {
        fprintf(stderr, "builder: %s\n", what);
        abort();
    }
}

void builder_init(struct builder *b, double u, double (*surface)(double, double))
{
    memset(b, 0, sizeof *b);
    b->u = u;
    b->surface = surface;
}

void builder_clear(struct builder *b)
{
    bt_readings_clear(&b->r);
}

size_t builder_point(struct builder *b, double x, double y)
{
    for (size_t i = 0; i < b->r.npoint; i++)
        if (b->r.point[i].x == x && b->r.point[i].y == y)
            return i;
    b->r.point =
        bt_grow(b->r.point, &b->room_point, b->r.npoint + 1, sizeof *b->r.point);
    need(b->r.point != NULL, "memory");
    b->r.point[b->r.npoint] = (struct bt_point){x, y};
    return b->r.npoint++;
}

int builder_group(struct builder *b, int dim)
{
    b->r.group =
        bt_grow(b->r.group, &b->room_group, b->r.ngroup + 1, sizeof *b->r.group);
    need(b->r.group != NULL, "memory");
    b->r.group[b->r.ngroup] =
        (struct bt_group){.dim = dim, .straightness = 0, .instrument = -1};
    return (int)b->r.ngroup++;
}

static struct bt_obs *next(struct builder *b)
{
    b->r.obs = bt_grow(b->r.obs, &b->room_obs, b->r.nobs + 1, sizeof *b->r.obs);
    need(b->r.obs != NULL, "memory");
    return &b->r.obs[b->r.nobs];
}

/* The value that a faultless instrument shows: heights, and nuisance 2.385 - 0.01 g. */
static void finish(struct builder *b, int computed)
{
    struct bt_obs *o = &b->r.obs[b->r.nobs];

    o->u = b->u;
    if (computed) {
        o->value = 0;
        for (int k = 0; k < o->npoint; k++)
            o->value += o->coef[k] * b->surface(b->r.point[o->point[k]].x,
                                                b->r.point[o->point[k]].y);
        for (int j = 0; j < 3; j++)
            o->value += o->basis[j] * (2.385 - 0.01 * o->group) / (j ? 1000 : 1);
    }
    b->r.nobs++;
}

static int line(struct builder *b, size_t n, const struct bt_point p[],
                const double gap[])
{
    const int group = builder_group(b, 2);
    const double length = hypot(p[n - 1].x - p[0].x, p[n - 1].y - p[0].y);

    for (size_t i = 0; i < n; i++) {
        const size_t at = builder_point(b, p[i].x, p[i].y);
        const double s = hypot(p[i].x - p[0].x, p[i].y - p[0].y);
        need(bt_obs_gap(next(b), at, group, s, length, gap ? gap[i] : 0, NULL) == BT_OK,
             "gap");
        finish(b, !gap);
    }
    return group;
}

int builder_line(struct builder *b, size_t n, const struct bt_point p[])
{
    return line(b, n, p, NULL);
}

int builder_gaps(struct builder *b, size_t n, const struct bt_point p[],
                 const double gap[])
{
    return line(b, n, p, gap);
}

int builder_run(struct builder *b, struct bt_point p, struct bt_point q, size_t n)
{
    struct bt_point places[64];

    need(n >= 2 && n <= 64, "number of places");
    for (size_t i = 0; i < n; i++) {
        const double t = (double)i / (double)(n - 1);
        places[i] = (struct bt_point){p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)};
    }
    return line(b, n, places, NULL);
}

void builder_heights(struct builder *b, int dim, size_t n, const struct bt_point p[])
{
    const int group = dim ? builder_group(b, dim) : BT_NO_GROUP;

    for (size_t i = 0; i < n; i++) {
        const size_t at = builder_point(b, p[i].x, p[i].y);
        need(bt_obs_height(next(b), BT_READ_HEIGHT, b->r.point, at, group, dim, 0,
                           NULL) == BT_OK,
             "height");
        finish(b, 1);
    }
}

void builder_bar(struct builder *b, int group, struct bt_point foot1,
                 struct bt_point dial, struct bt_point foot2)
{
    const size_t p = builder_point(b, foot1.x, foot1.y);
    const size_t q = builder_point(b, dial.x, dial.y);
    const size_t r = builder_point(b, foot2.x, foot2.y);

    need(bt_obs_bar(next(b), b->r.point, p, q, r, group, 0, NULL) == BT_OK, "bar");
    finish(b, 1);
}

void builder_slope(struct builder *b, int group, struct bt_point p, struct bt_point q)
{
    const size_t i = builder_point(b, p.x, p.y), j = builder_point(b, q.x, q.y);

    need(bt_obs_slope(next(b), b->r.point, i, j, group, 0, NULL) == BT_OK, "slope");
    finish(b, 1);
}

void builder_wind(struct builder *b, double x1, double x2, double y1, double y2,
                  double stick)
{
    size_t p[4];

    p[0] = builder_point(b, x1, y1);
    p[1] = builder_point(b, x1, y2);
    p[2] = builder_point(b, x2, y1);
    p[3] = builder_point(b, x2, y2);
    need(bt_obs_wind(next(b), b->r.point, p, stick, 0, NULL) == BT_OK, "wind");
    finish(b, 1);
}

void builder_set_last(struct builder *b, double value)
{
    b->r.obs[b->r.nobs - 1].value = value;
}

double builder_uniform(unsigned long long *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return ((double)(*seed >> 11) + 0.5) / 9007199254740992.0;
}

double builder_normal(unsigned long long *seed)
{
    const double a = builder_uniform(seed), b = builder_uniform(seed);

    return sqrt(-2 * log(a)) * cos(6.283185307179586 * b);
}
