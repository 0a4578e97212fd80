/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/correction.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/correcting.h"

/* Of e - e^3: 2/(3 sqrt(3)) at e = 1/sqrt(3). */
#define ODD_SCALE 2.5980762113533160

const char *bt_correction_name(enum bt_correction_kind kind)
{
    switch (kind) {
    case BT_CORRECTION_STRAIGHTNESS:
        return "straightness";
    case BT_CORRECTION_OWN_HOLLOW:
        return "own hollow";
    case BT_CORRECTION_ODD:
        return "odd shape";
    case BT_CORRECTION_WEIGHT:
        return "own weight";
    }
    return "unknown correction";
}

/* ---- known beforehand ---- */

bool bt_correction_first(const struct bt_readings *r, size_t group)
{
    const struct bt_group *g = &r->group[group];

    if (g->instrument < 0)
        return false;
    for (size_t k = 0; k < group; k++)
        if (r->group[k].instrument == g->instrument)
            return false;
    return true;
}

struct bt_correction bt_correction_plain(enum bt_correction_kind kind, int instrument,
                                         double value, double u)
{
    return (struct bt_correction){
        .kind = kind, .instrument = instrument, .value = value, .u = u, .seen = true};
}

bool bt_correction_next(const struct bt_readings *r, size_t *group,
                        struct bt_correction *out)
{
    for (; *group < r->ngroup; ++*group) {
        const struct bt_group *g = &r->group[*group];

        if (!bt_correction_first(r, *group))
            continue;
        if (g->own_hollow_u > 0)
            *out = bt_correction_plain(BT_CORRECTION_OWN_HOLLOW, g->instrument,
                                       g->own_hollow, g->own_hollow_u);
        else if (g->straightness > 0)
            *out = bt_correction_plain(BT_CORRECTION_STRAIGHTNESS, g->instrument, 0,
                                       g->straightness / sqrt(3));
        else
            continue;
        ++*group;
        return true;
    }
    if (*group > r->ngroup || !r->sag)
        return false;
    ++*group;
    *out = bt_correction_plain(BT_CORRECTION_WEIGHT, -1, 1, r->sag_u);
    return true;
}

static double shape_of(enum bt_correction_kind kind, double e)
{
    return kind == BT_CORRECTION_ODD ? ODD_SCALE * (e - e * e * e) : 1 - e * e;
}

/* What heights do to a reading. */
static double shown(const struct bt_obs *o, const double height[])
{
    double sum = 0;

    for (int k = 0; k < o->npoint; k++)
        sum += o->coef[k] * height[o->point[k]];
    return sum;
}

void bt_correction_column(const struct bt_readings *r, const struct bt_correction *c,
                          double x[])
{
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];

        if (c->kind == BT_CORRECTION_WEIGHT)
            x[i] = shown(o, r->sag);
        else if (o->kind == BT_READ_GAP && o->group >= 0 &&
                 r->group[o->group].instrument == c->instrument)
            x[i] = shape_of(c->kind, o->edge);
        else
            x[i] = 0;
    }
}

static enum bt_status copy(void **to, const void *from, size_t n, size_t size)
{
    *to = bt_alloc(n, size);
    if (*to && n)
        memcpy(*to, from, n * size);
    return *to ? BT_OK : BT_ENOMEM;
}

static enum bt_status copy_readings(const struct bt_readings *r, const double sag[],
                                    struct bt_readings *out)
{
    void *point = NULL, *obs = NULL, *group = NULL, *scan = NULL, *own = NULL;
    enum bt_status status = copy(&point, r->point, r->npoint, sizeof *r->point);

    if (status == BT_OK)
        status = copy(&obs, r->obs, r->nobs, sizeof *r->obs);
    if (status == BT_OK)
        status = copy(&group, r->group, r->ngroup, sizeof *r->group);
    if (status == BT_OK && r->scan)
        status = copy(&scan, r->scan, r->npoint, sizeof *r->scan);
    if (status == BT_OK && sag)
        status = copy(&own, sag, r->npoint, sizeof *sag);
    *out = *r;
    out->point = point;
    out->obs = obs;
    out->group = group;
    out->scan = scan;
    out->sag = own;
    return status;
}

static enum bt_status take_off(struct bt_readings *r)
{
    double *x = bt_alloc(r->nobs, sizeof *x);
    struct bt_correction c;
    size_t group = 0;

    if (!x)
        return BT_ENOMEM;
    while (bt_correction_next(r, &group, &c)) {
        bt_correction_column(r, &c, x);
        for (size_t i = 0; i < r->nobs; i++)
            r->obs[i].value -= c.value * x[i];
    }
    for (size_t p = 0; r->scan && r->sag && p < r->npoint; p++)
        r->scan[p] -= r->sag[p];
    bt_free(x);
    return BT_OK;
}

static bool anything(const struct bt_readings *r, const double sag[])
{
    for (size_t g = 0; g < r->ngroup; g++)
        if (r->group[g].instrument >= 0 && r->group[g].own_hollow_u > 0 &&
            fabs(r->group[g].own_hollow) > 0)
            return true;
    return sag != NULL;
}

enum bt_status bt_corrections_take_off(const struct bt_readings *r, const double sag[],
                                       double sag_u, struct bt_readings **out)
{
    enum bt_status status;

    *out = NULL;
    if (!anything(r, sag))
        return BT_OK;
    *out = bt_alloc(1, sizeof **out);
    if (!*out)
        return BT_ENOMEM;
    status = copy_readings(r, sag, *out);
    (*out)->sag_u = sag_u;
    return status == BT_OK ? take_off(*out) : status;
}
