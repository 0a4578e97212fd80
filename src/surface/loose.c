/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/loose.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/network_private.h"

/* What is left must reach within this share of the extent of all. */
static const double reach = 0.1;

/*
 * What carries a place: a group that ties several readings together (a line, a set-up),
 * or a reading by itself (bar, level, sticks, a height over a known reference).
 */
struct web {
    const struct bt_readings *r;
    bool *loose;
    size_t *start, *item; /* readings of each place: item / 4 */
    size_t *own, *shared; /* [ngroup + nobs] places of a carrier, by others' share */
};

static size_t carrier_of(const struct web *w, size_t obs)
{
    const struct bt_obs *o = &w->r->obs[obs];
    const bool tied =
        o->kind == BT_READ_GAP || o->kind == BT_READ_HEIGHT || o->kind == BT_READ_SCAN;

    return tied && o->group >= 0 ? (size_t)o->group : w->r->ngroup + obs;
}

static enum bt_status web_build(struct web *w)
{
    const struct bt_readings *r = w->r;
    size_t *key = bt_alloc(r->nobs, 4 * sizeof *key);

    w->start = bt_alloc(r->npoint + 1, sizeof *w->start);
    w->item = bt_alloc(r->nobs, 4 * sizeof *w->item);
    w->own = bt_alloc(r->ngroup + r->nobs, sizeof *w->own);
    w->shared = bt_alloc(r->ngroup + r->nobs, sizeof *w->shared);
    if (!key || !w->start || !w->item || !w->own || !w->shared) {
        bt_free(key);
        return BT_ENOMEM;
    }
    for (size_t i = 0; i < r->nobs; i++)
        for (int k = 0; k < 4; k++)
            key[4 * i + (size_t)k] =
                k < r->obs[i].npoint ? r->obs[i].point[k] : r->npoint;
    bt_sort_by_key(r->npoint, 4 * r->nobs, key, w->start, w->item);
    bt_free(key);
    return BT_OK;
}

static void web_clear(struct web *w)
{
    bt_free(w->start);
    bt_free(w->item);
    bt_free(w->own);
    bt_free(w->shared);
}

/* Whether the reading at `at` is its carrier's first at the place; others: whether
 * another carrier has it too. */
static bool first_of_carrier(const struct web *w, size_t p, size_t at, bool *others)
{
    const size_t carrier = carrier_of(w, w->item[at] / 4);

    *others = false;
    for (size_t k = w->start[p]; k < w->start[p + 1]; k++) {
        const size_t obs = w->item[k] / 4;
        if (w->loose[obs])
            continue;
        if (carrier_of(w, obs) != carrier)
            *others = true;
        else if (k < at)
            return false;
    }
    return true;
}

static void count_places(struct web *w)
{
    const size_t n = w->r->ngroup + w->r->nobs;

    memset(w->own, 0, n * sizeof *w->own);
    memset(w->shared, 0, n * sizeof *w->shared);
    for (size_t p = 0; p < w->r->npoint; p++)
        for (size_t k = w->start[p]; k < w->start[p + 1]; k++) {
            bool others;
            if (w->loose[w->item[k] / 4] || !first_of_carrier(w, p, k, &others))
                continue;
            (others ? w->shared : w->own)[carrier_of(w, w->item[k] / 4)]++;
        }
}

static bool hangs_loose(const struct web *w, size_t obs)
{
    const size_t carrier = carrier_of(w, obs);

    switch (w->r->obs[obs].kind) {
    case BT_READ_GAP:
        return w->own[carrier] > 0 && w->shared[carrier] < 2;
    case BT_READ_BAR:
    case BT_READ_SLOPE:
        return w->own[carrier] >= 2;
    case BT_READ_HEIGHT:
    case BT_READ_SCAN:
    case BT_READ_WIND:
    case BT_READ_KINDS:
        break;
    }
    return false;
}

/* Sticks with two places or more that nothing but sticks reads. */
static void mark_sticks(struct web *w)
{
    for (size_t i = 0; i < w->r->nobs; i++) {
        const struct bt_obs *o = &w->r->obs[i];
        int alone = 0;
        if (o->kind != BT_READ_WIND)
            continue;
        for (int k = 0; k < o->npoint; k++) {
            bool read = false;
            for (size_t j = w->start[o->point[k]]; j < w->start[o->point[k] + 1]; j++)
                read = read || w->r->obs[w->item[j] / 4].kind != BT_READ_WIND;
            alone += !read;
        }
        w->loose[i] = alone >= 2;
    }
}

/* What one leaves out may leave the next loose. */
static void mark_rest(struct web *w)
{
    for (bool more = true; more;) {
        more = false;
        count_places(w);
        for (size_t i = 0; i < w->r->nobs; i++)
            if (!w->loose[i] && hangs_loose(w, i))
                w->loose[i] = more = true;
    }
}

struct extent {
    size_t n;
    double low[2], high[2];
};

/* Places with a reading that is not loose. */
static struct extent extent_of(const struct web *w)
{
    struct extent e = {0, {HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};

    for (size_t p = 0; p < w->r->npoint; p++) {
        const double at[2] = {w->r->point[p].x, w->r->point[p].y};
        bool read = false;
        for (size_t k = w->start[p]; k < w->start[p + 1]; k++)
            read = read || !w->loose[w->item[k] / 4];
        if (!read)
            continue;
        e.n++;
        for (int k = 0; k < 2; k++) {
            e.low[k] = fmin(e.low[k], at[k]);
            e.high[k] = fmax(e.high[k], at[k]);
        }
    }
    return e;
}

static bool reaches(const struct extent *left, const struct extent *all)
{
    if (!(2 * left->n > all->n))
        return false;
    for (int k = 0; k < 2; k++)
        if (!(left->high[k] - left->low[k] >=
              (1 - reach) * (all->high[k] - all->low[k])))
            return false;
    return true;
}

enum bt_status bt_loose_find(const struct bt_readings *r, bool loose[], size_t *n)
{
    struct web w = {.r = r, .loose = loose};
    enum bt_status status;

    *n = 0;
    memset(loose, 0, r->nobs * sizeof *loose);
    status = web_build(&w);
    if (status == BT_OK) {
        struct extent all, left;
        mark_sticks(&w);
        all = extent_of(&w);
        if (all.n == 0) /* sticks alone */
            memset(loose, 0, r->nobs * sizeof *loose);
        mark_rest(&w);
        left = extent_of(&w);
        if (!reaches(&left, &all)) {
            memset(loose, 0, r->nobs * sizeof *loose);
            if (all.n > 0)
                mark_sticks(&w);
        }
        for (size_t i = 0; i < r->nobs; i++)
            *n += loose[i];
    }
    web_clear(&w);
    return status;
}

enum bt_status bt_loose_leave_out(const struct bt_readings *r, const bool loose[],
                                  struct bt_readings *used, size_t from[])
{
    size_t *place = bt_alloc(r->npoint, sizeof *place);

    *used = (struct bt_readings){.ngroup = r->ngroup, .slack = r->slack};
    used->point = bt_alloc(r->npoint, sizeof *used->point);
    used->obs = bt_alloc(r->nobs, sizeof *used->obs);
    used->group = bt_alloc(r->ngroup, sizeof *used->group);
    used->sag = r->sag ? bt_alloc(r->npoint, sizeof *used->sag) : NULL;
    used->sag_u = r->sag_u;
    if (!place || !used->point || !used->obs || !used->group ||
        (r->sag && !used->sag)) {
        bt_free(place);
        bt_readings_clear(used);
        return BT_ENOMEM;
    }
    for (size_t i = 0; i < r->nobs; i++)
        for (int k = 0; k < r->obs[i].npoint && !loose[i]; k++)
            place[r->obs[i].point[k]] = 1;
    for (size_t p = 0; p < r->npoint; p++)
        if (place[p]) {
            used->point[used->npoint] = r->point[p];
            if (r->sag)
                used->sag[used->npoint] = r->sag[p];
            place[p] = used->npoint++;
        }
    if (r->ngroup)
        memcpy(used->group, r->group, r->ngroup * sizeof *used->group);
    for (size_t i = 0; i < r->nobs; i++) {
        struct bt_obs *o = &used->obs[used->nobs];
        if (loose[i])
            continue;
        *o = r->obs[i];
        for (int k = 0; k < o->npoint; k++)
            o->point[k] = place[o->point[k]];
        from[used->nobs++] = i;
    }
    bt_free(place);
    return BT_OK;
}
