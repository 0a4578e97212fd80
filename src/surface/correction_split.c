/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/correcting.h"
#include "surface/network_private.h"
#include "surface/shared.h"

enum bt_status bt_corrections_share(const struct bt_readings *r, struct bt_flatness *f)
{
    double *x = bt_alloc(r->nobs, sizeof *x);
    enum bt_status status = x ? BT_OK : BT_ENOMEM;
    size_t group = 0, room = f->ncorrection;
    struct bt_correction c;

    while (status == BT_OK && bt_correction_next(r, &group, &c)) {
        struct bt_correction *grown =
            bt_grow(f->correction, &room, f->ncorrection + 1, sizeof *grown);

        if (!grown) {
            status = BT_ENOMEM;
            break;
        }
        f->correction = grown;
        grown[f->ncorrection++] = c;
        bt_correction_column(r, &c, x);
        for (size_t i = 0; i < r->nobs; i++)
            x[i] *= c.u;
        status = bt_network_share(f->net, x);
    }
    bt_free(x);
    return status == BT_OK ? bt_network_alike(f->net) : status;
}

/*
 * How much each reading counts by itself, without the part through which it finds an
 * odd shape; share[e] of each shape found.  gain[nobs] is changed.
 */
static void set_apart(const struct bt_inverse *inv, double gain[], double share[])
{
    const struct bt_system *sys = &inv->sys;

    for (size_t e = 0; e < inv->nextension; e++) {
        const double *direction = inv->extension[e].direction;

        share[e] = 0;
        for (size_t i = 0; i < sys->nobs; i++)
            share[e] -= gain[i] * sys->obs[i].u * direction[i];
    }
    for (size_t e = 0; e < inv->nextension; e++)
        for (size_t i = 0; i < sys->nobs; i++)
            gain[i] += share[e] * inv->extension[e].direction[i] / sys->obs[i].u;
}

static double response_of(const struct bt_readings *r, const struct bt_correction *c,
                          const double gain[], double x[])
{
    double sum = 0;

    bt_correction_column(r, c, x);
    for (size_t i = 0; i < r->nobs; i++)
        sum += gain[i] * x[i];
    return sum;
}

static void split(const struct bt_readings *r, const double gain[], double by_itself[],
                  double share[], double x[], enum bt_doubt_of figure,
                  struct bt_flatness *f)
{
    double square[BT_READ_KINDS] = {0};
    size_t e = 0;

    if (r == f->used)
        set_apart(f->net->inverse, by_itself, share);
    for (size_t i = 0; i < r->nobs; i++) {
        const double own = by_itself[i] * r->obs[i].u;
        square[r->obs[i].kind] += own * own;
    }
    for (size_t i = 0; i < r->nobs; i++)
        x[i] = gain[i] * r->obs[i].u;
    square[BT_READ_GAP] += bt_alike_of_readings(r, x);
    for (int k = 0; k < BT_READ_KINDS; k++)
        f->readings_u[figure][k] = sqrt(square[k]);
    for (size_t c = 0; c < f->ncorrection; c++) {
        struct bt_correction *known = &f->correction[c];
        const bool odd = known->kind == BT_CORRECTION_ODD;

        if (!known->seen || (odd && r != f->used))
            continue;
        known->change[figure] =
            -known->value * response_of(r, known, odd ? by_itself : gain, x);
        known->share[figure] =
            odd ? share[e++] : known->u * response_of(r, known, gain, x);
    }
}

enum bt_status bt_corrections_split(const struct bt_readings *r, const double gain[],
                                    enum bt_doubt_of figure, struct bt_flatness *f)
{
    double *by_itself = bt_alloc(2 * r->nobs + f->ncorrection, sizeof *by_itself);

    if (!by_itself)
        return BT_ENOMEM;
    memcpy(by_itself, gain, r->nobs * sizeof *by_itself);
    split(r, gain, by_itself, by_itself + 2 * r->nobs, by_itself + r->nobs, figure, f);
    bt_free(by_itself);
    return BT_OK;
}
