/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "surface/correcting.h"
#include "surface/network_private.h"

/* Places of one line read from either end agree this well along the edge: those of a
 * file are exact but for places that were taken as one. */
static const double same_place = 0.02;

/* Gaps by place and by group. */
struct index {
    const struct bt_readings *r;
    size_t *at, *by_place;   /* [npoint + 1], [nobs] */
    size_t *from, *by_group; /* [ngroup + 1], [nobs] */
    size_t *met;             /* [ngroup] places where a line meets another's turned */
};

static enum bt_status index_build(struct index *ix)
{
    const struct bt_readings *r = ix->r;
    size_t *key = bt_alloc(r->nobs, sizeof *key);

    ix->at = bt_alloc(r->npoint + 1, sizeof *ix->at);
    ix->by_place = bt_alloc(r->nobs, sizeof *ix->by_place);
    ix->from = bt_alloc(r->ngroup + 1, sizeof *ix->from);
    ix->by_group = bt_alloc(r->nobs, sizeof *ix->by_group);
    ix->met = bt_alloc(r->ngroup, sizeof *ix->met);
    if (!key || !ix->at || !ix->by_place || !ix->from || !ix->by_group || !ix->met) {
        bt_free(key);
        return BT_ENOMEM;
    }
    for (size_t i = 0; i < r->nobs; i++)
        key[i] = r->obs[i].kind == BT_READ_GAP ? r->obs[i].point[0] : r->npoint;
    bt_sort_by_key(r->npoint, r->nobs, key, ix->at, ix->by_place);
    for (size_t i = 0; i < r->nobs; i++)
        key[i] = r->obs[i].kind == BT_READ_GAP && r->obs[i].group >= 0
                     ? (size_t)r->obs[i].group
                     : r->ngroup;
    bt_sort_by_key(r->ngroup, r->nobs, key, ix->from, ix->by_group);
    bt_free(key);
    return BT_OK;
}

static void index_clear(struct index *ix)
{
    bt_free(ix->at);
    bt_free(ix->by_place);
    bt_free(ix->from);
    bt_free(ix->by_group);
    bt_free(ix->met);
}

/* Count, or with clear forget, the lines that read places of one reading turned. */
static bool meet(struct index *ix, const struct bt_obs *o, bool clear)
{
    const struct bt_readings *r = ix->r;
    bool turned = false;

    for (size_t k = ix->at[o->point[0]]; k < ix->at[o->point[0] + 1]; k++) {
        const struct bt_obs *other = &r->obs[ix->by_place[k]];

        if (other->group < 0 || other->group == o->group ||
            r->group[other->group].instrument != r->group[o->group].instrument)
            continue;
        if (clear)
            ix->met[other->group] = 0;
        else if (fabs(other->edge + o->edge) <= same_place &&
                 fabs(o->edge) > same_place)
            turned = ++ix->met[other->group] >= 2 || turned;
    }
    return turned;
}

/* Was some line that the edge was laid on read from its other end as well? */
static bool both_ways(struct index *ix, int instrument)
{
    const struct bt_readings *r = ix->r;
    bool turned = false;

    for (size_t g = 0; g < r->ngroup && !turned; g++) {
        if (r->group[g].instrument != instrument)
            continue;
        for (size_t k = ix->from[g]; k < ix->from[g + 1]; k++)
            turned = meet(ix, &r->obs[ix->by_group[k]], false) || turned;
        for (size_t k = ix->from[g]; k < ix->from[g + 1]; k++)
            meet(ix, &r->obs[ix->by_group[k]], true);
    }
    return turned;
}

/* The edges that were turned; *list as many items as there are groups. */
static enum bt_status turned_edges(const struct bt_readings *r,
                                   struct bt_correction **list, size_t *n)
{
    struct index ix = {.r = r};
    enum bt_status status = index_build(&ix);

    *n = 0;
    *list = bt_alloc(r->ngroup, sizeof **list);
    if (!*list)
        status = BT_ENOMEM;
    for (size_t g = 0; g < r->ngroup && status == BT_OK; g++)
        if (bt_correction_first(r, g) && both_ways(&ix, r->group[g].instrument))
            (*list)[(*n)++] = bt_correction_plain(BT_CORRECTION_ODD,
                                                  r->group[g].instrument, NAN, NAN);
    index_clear(&ix);
    return status;
}

static enum bt_status extend(const struct bt_readings *r, struct bt_network *net,
                             struct bt_correction list[], size_t n)
{
    struct bt_extended *found = bt_alloc(n, sizeof *found);
    double *x = bt_alloc(n * r->nobs, sizeof *x);
    enum bt_status status = BT_ENOMEM;

    for (size_t k = 0; x && k < n; k++)
        bt_correction_column(r, &list[k], x + k * r->nobs);
    if (found && x)
        status = bt_network_extend(net, n, x, found);
    for (size_t k = 0; status == BT_OK && k < n; k++) {
        list[k].value = found[k].value;
        list[k].u = found[k].u;
        list[k].seen = found[k].seen;
    }
    bt_free(found);
    bt_free(x);
    return status;
}

enum bt_status bt_corrections_adjust(const struct bt_readings *r,
                                     struct bt_network **net,
                                     struct bt_correction **list, size_t *n,
                                     struct bt_error *err)
{
    struct bt_correction *odd;
    size_t count;
    enum bt_status status = turned_edges(r, &odd, &count);

    *net = NULL;
    if (status == BT_OK)
        status = bt_network_adjust(r, net, err);
    if (status == BT_OK && count)
        status = extend(r, *net, odd, count);
    if (status == BT_OK && list) {
        *list = odd;
        *n = count;
        return BT_OK;
    }
    bt_free(odd);
    if (status != BT_OK) {
        bt_network_free(*net);
        *net = NULL;
    }
    return status;
}
