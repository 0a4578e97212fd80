/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/profile.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/sort.h"

/* Places nearer than this along a line are one: rounding of positions, mm. */
#define SAME_PLACE 1e-6

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

void profiles_clear(struct profiles *profiles)
{
    bt_free(profiles->profile);
    bt_free(profiles->place);
    memset(profiles, 0, sizeof *profiles);
}

double profile_edge(const struct profile_place *a, const struct profile_place *b,
                    double s)
{
    return a->z + (b->z - a->z) * (s - a->s) / (b->s - a->s);
}

size_t profile_hull(size_t n, const struct profile_place place[], size_t hull[])
{
    size_t count = 0;

    for (size_t i = 0; i < n; i++) {
        while (count >= 2 && place[hull[count - 1]].z <=
                                 profile_edge(&place[hull[count - 2]], &place[i],
                                              place[hull[count - 1]].s))
            count--;
        hull[count++] = i;
    }
    return count;
}

void profile_gap(size_t n, const struct profile_place place[], size_t nhull,
                 const size_t hull[], struct profile *profile)
{
    profile->gap = 0;
    profile->left = profile->right = profile->deepest = 0;
    for (size_t k = 0; k + 1 < nhull; k++) {
        for (size_t i = hull[k] + 1; i < hull[k + 1] && i < n; i++) {
            double gap =
                profile_edge(&place[hull[k]], &place[hull[k + 1]], place[i].s) -
                place[i].z;

            if (!(gap > profile->gap))
                continue;
            profile->gap = gap;
            profile->left = hull[k];
            profile->right = hull[k + 1];
            profile->deepest = i;
        }
    }
}

enum bt_status profile_add_place(struct profiles *out, struct profile_place place,
                                 struct bt_error *err)
{
    struct profile_place *grown =
        bt_grow(out->place, &out->place_room, out->nplace + 1, sizeof *grown);

    if (!grown)
        return no_memory(err);
    out->place = grown;
    grown[out->nplace++] = place;
    return BT_OK;
}

/* Workspace for putting places in order. */
struct order {
    size_t *index;
    double *key;
    struct profile_place *copy;
};

static size_t put_in_order(size_t n, struct profile_place place[], struct order *o)
{
    size_t count = 0, same = 0;

    for (size_t i = 0; i < n; i++) {
        o->index[i] = i;
        o->key[i] = place[i].s;
    }
    sort_by_key(n, o->index, o->key);
    memcpy(o->copy, place, n * sizeof *place);
    for (size_t i = 0; i < n; i++) {
        struct profile_place p = o->copy[o->index[i]];

        if (count && p.s - place[count - 1].s <= SAME_PLACE) {
            same++;
            place[count - 1].z += (p.z - place[count - 1].z) / (double)(same + 1);
            continue;
        }
        same = 0;
        place[count++] = p;
    }
    return count;
}

static enum bt_status finish(struct profiles *out, struct profile *line,
                             struct order *o, struct bt_error *err)
{
    struct profile_place *place = out->place + line->start;
    struct profile *grown;

    line->count = put_in_order(out->nplace - line->start, place, o);
    out->nplace = line->start + line->count;
    if (line->count < 3) {
        out->nplace = line->start;
        return BT_OK;
    }
    profile_gap(line->count, place, profile_hull(line->count, place, o->index),
                o->index, line);
    grown = bt_grow(out->profile, &out->room, out->n + 1, sizeof *grown);
    if (!grown)
        return no_memory(err);
    out->profile = grown;
    grown[out->n++] = *line;
    return BT_OK;
}

enum bt_status profile_end(struct profiles *out, struct profile line,
                           struct bt_error *err)
{
    const size_t n = out->nplace - line.start;
    struct order o = {bt_alloc(n, sizeof *o.index), bt_alloc(n, sizeof *o.key),
                      bt_alloc(n, sizeof *o.copy)};
    enum bt_status status = BT_ENOMEM;

    if (o.index && o.key && o.copy)
        status = finish(out, &line, &o, err);
    else
        no_memory(err);
    bt_free(o.index);
    bt_free(o.key);
    bt_free(o.copy);
    return status;
}
