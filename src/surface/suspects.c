/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/suspects.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/correcting.h"

/* Luck that makes a reading suspect, for the whole set. */
static const double suspect_chance = 0.01;

/* Scores that differ by less are equally suspect. */
static const double equal_score = 1e-6;

/* Raises the u of a suspect so far that it counts for nothing beside the others. */
static const double set_aside = 1e4;

/* An adjustment in which the readings named so far count for nothing. */
struct look {
    const struct bt_readings *all;
    struct bt_readings *left; /* u of the named ones raised */
    struct bt_network *net;
    double dof; /* of the others */
};

/* Studentised as in struct bt_network, over the readings that still count; scaled:
 * whether by the others' sigma0.  NaN where nothing checks it or it has been named. */
static double score_of(const struct look *l, size_t i, bool *scaled)
{
    const struct bt_network *net = l->net;
    double standard, others = 0;

    *scaled = false;
    if (isnan(net->score[i]) || l->left->obs[i].u != l->all->obs[i].u)
        return NAN;
    standard = net->residual[i] / (l->all->obs[i].u * sqrt(net->redundancy[i]));
    if (l->dof > 1)
        others = (net->vtpv - standard * standard) / (l->dof - 1);
    *scaled = others > 1;
    return *scaled ? standard / sqrt(others) : standard;
}

/* That one of all readings is as far off as this by luck: t where the score was scaled
 * by the others' sigma0, normal where the stated u stands. */
static double chance_of(const struct look *l, double score, bool scaled)
{
    const double tail = scaled ? gsl_cdf_tdist_Q(fabs(score), l->dof - 1)
                               : gsl_cdf_ugaussian_Q(fabs(score));

    return fmin(1, 2 * (double)l->all->nobs * tail);
}

/* Name the worst reading, if it is suspect, and all that are so to the same degree. */
static void name_worst(const struct look *l, struct bt_flatness *f)
{
    double worst = 0, chance = 1;

    for (size_t i = 0; i < l->all->nobs; i++) {
        bool scaled;
        const double score = fabs(score_of(l, i, &scaled));
        if (score > worst) {
            worst = score;
            chance = chance_of(l, score, scaled);
        }
    }
    if (!(chance < suspect_chance))
        return;
    /* Rounding must not part two that are equally suspect. */
    for (size_t i = 0; i < l->all->nobs && f->nsuspect < BT_SUSPECT_MAX; i++) {
        bool scaled;
        const double score = score_of(l, i, &scaled);
        if (fabs(score) >= worst * (1 - equal_score))
            f->suspect[f->nsuspect++] = (struct bt_suspect){
                i, l->net->residual[i], score, chance_of(l, score, scaled)};
    }
}

/* Adjust again with the suspects from `first` on set aside as well. */
static enum bt_status look_again(struct look *l, struct bt_flatness *f, size_t first)
{
    enum bt_status status;

    for (size_t s = first; s < f->nsuspect; s++)
        l->left->obs[f->suspect[s].obs].u *= set_aside;
    if (l->net != f->net)
        bt_network_free(l->net);
    status = bt_corrections_adjust(l->left, &l->net, NULL, NULL, NULL);
    if (status != BT_OK)
        return status;
    l->dof = (double)l->net->dof;
    for (size_t s = 0; s < f->nsuspect; s++)
        l->dof -= l->net->redundancy[f->suspect[s].obs];
    return BT_OK;
}

/*
 * One gross error spreads over the readings around it, which would be named with it;
 * so the worst is named first and the others are judged without it.
 */
enum bt_status bt_suspects_find(const struct bt_readings *r, struct bt_flatness *f)
{
    struct bt_readings left = *r;
    struct look l = {.all = r, .left = &left, .net = f->net};
    enum bt_status status = BT_OK;
    size_t first;

    l.dof = (double)f->net->dof;
    left.obs = bt_alloc(r->nobs, sizeof *left.obs);
    if (!left.obs)
        return BT_ENOMEM;
    memcpy(left.obs, r->obs, r->nobs * sizeof *left.obs);
    do {
        first = f->nsuspect;
        name_worst(&l, f);
        if (f->nsuspect > first && f->nsuspect < BT_SUSPECT_MAX)
            status = look_again(&l, f, first);
    } while (status == BT_OK && f->nsuspect > first && f->nsuspect < BT_SUSPECT_MAX);
    if (l.net != f->net)
        bt_network_free(l.net);
    bt_free(left.obs);
    /* too large a network to go on without the suspects: they are named all the same */
    return status == BT_ESINGULAR ? BT_OK : status;
}
