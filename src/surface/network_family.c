/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/network_private.h"

void bt_sort_by_key(size_t nkey, size_t n, const size_t key[], size_t start[],
                    size_t item[])
{
    memset(start, 0, (nkey + 1) * sizeof *start);
    for (size_t i = 0; i < n; i++)
        if (key[i] < nkey)
            start[key[i]]++;
    for (size_t k = 0, sum = 0; k <= nkey; k++) {
        const size_t count = start[k];
        sum += count;
        start[k] = sum; /* the end of k; counted down to its start below */
    }
    for (size_t i = n; i-- > 0;)
        if (key[i] < nkey)
            item[--start[key[i]]] = i;
}

struct family {
    size_t *key;          /* [max(nobs, ngroup)] */
    size_t *start, *item; /* readings of each group */
    size_t *rank, *order; /* groups by how often they meet others */
    size_t *owner;        /* [n] the chosen group that has the point */
};

/* How many other readings a group's points have: little where it meets few lines. */
static size_t meetings(const struct bt_system *sys, const struct family *f,
                       size_t group)
{
    size_t sum = 0;

    for (size_t k = f->start[group]; k < f->start[group + 1]; k++) {
        const size_t p = sys->obs[f->item[k]].point[0];
        sum += sys->start[p + 1] - sys->start[p] - 1;
    }
    return sum;
}

static bool take(const struct bt_system *sys, struct family *f, size_t group)
{
    for (size_t k = f->start[group]; k < f->start[group + 1]; k++) {
        const size_t owner = f->owner[sys->obs[f->item[k]].point[0]];
        if (owner != sys->ngroup && owner != group)
            return false;
    }
    for (size_t k = f->start[group]; k < f->start[group + 1]; k++)
        f->owner[sys->obs[f->item[k]].point[0]] = group;
    return true;
}

/*
 * Greedy: the group that meets fewest others first, then each that shares no point with
 * those taken.  On a grid this takes the direction with more lines.
 */
static enum bt_status choose(const struct bt_system *sys, struct family *f,
                             bool chosen[])
{
    size_t most = 0;

    for (size_t i = 0; i < sys->nobs; i++)
        f->key[i] = sys->obs[i].group < 0 ? sys->ngroup : (size_t)sys->obs[i].group;
    bt_sort_by_key(sys->ngroup, sys->nobs, f->key, f->start, f->item);
    for (size_t g = 0; g < sys->ngroup; g++) {
        f->key[g] = meetings(sys, f, g);
        most = f->key[g] > most ? f->key[g] : most;
    }
    f->rank = bt_alloc(most + 2, sizeof *f->rank);
    if (!f->rank)
        return BT_ENOMEM;
    bt_sort_by_key(most + 1, sys->ngroup, f->key, f->rank, f->order);
    for (size_t p = 0; p < sys->n; p++)
        f->owner[p] = sys->ngroup;
    for (size_t i = 0; i < sys->ngroup; i++)
        chosen[f->order[i]] = take(sys, f, f->order[i]);
    return BT_OK;
}

enum bt_status bt_choose_family(const struct bt_system *sys, bool chosen[])
{
    struct family f = {0};
    enum bt_status status = BT_ENOMEM;

    f.key = bt_alloc(sys->nobs > sys->ngroup ? sys->nobs : sys->ngroup, sizeof *f.key);
    f.start = bt_alloc(sys->ngroup + 1, sizeof *f.start);
    f.item = bt_alloc(sys->nobs, sizeof *f.item);
    f.order = bt_alloc(sys->ngroup, sizeof *f.order);
    f.owner = bt_alloc(sys->n, sizeof *f.owner);
    if (f.key && f.start && f.item && f.order && f.owner)
        status = choose(sys, &f, chosen);
    bt_free(f.key);
    bt_free(f.start);
    bt_free(f.item);
    bt_free(f.rank);
    bt_free(f.order);
    bt_free(f.owner);
    return status;
}
