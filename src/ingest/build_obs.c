/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/build.h"
#include "ingest/order.h"

static enum bt_status add_group(struct bt_build *b, int dim, int *group)
{
    struct bt_readings *readings = &b->g->set->readings;
    struct bt_group *grown =
        bt_grow(readings->group, &b->group_room, readings->ngroup + 1, sizeof *grown);

    if (!grown)
        return BT_ENOMEM;
    readings->group = grown;
    grown[readings->ngroup] =
        (struct bt_group){.dim = dim, .straightness = NAN, .instrument = -1};
    *group = (int)readings->ngroup++;
    return BT_OK;
}

/* ---- gaps ---- */

static enum bt_status group_of_line(struct bt_build *b, size_t placement, int *group)
{
    const struct bt_gather *g = b->g;
    int edge = g->placement[placement].edge;
    struct bt_group *made;

    *group = b->group_of_placement[placement];
    if (*group != BT_NO_GROUP)
        return BT_OK;
    if (add_group(b, 2, group) != BT_OK)
        return BT_ENOMEM;
    b->group_of_placement[placement] = *group;
    made = &g->set->readings.group[*group];
    made->instrument = edge;
    if (edge >= 0) {
        const struct bt_instrument *instrument = &g->load->job->instrument[edge];
        made->straightness = instrument->straightness;
        made->own_hollow = instrument->own_hollow;
        made->own_hollow_u = instrument->own_hollow_u;
    }
    return BT_OK;
}

static enum bt_status observe_gap(struct bt_build *b, size_t i, struct bt_obs *obs,
                                  struct bt_error *err)
{
    const struct bt_typed *typed = &b->g->typed[i];
    double length = b->g->placement[typed->owner].length;
    enum bt_status status;
    int group;

    if (group_of_line(b, typed->owner, &group) != BT_OK)
        return BT_ENOMEM;
    status = bt_obs_gap(obs, b->point[typed->place], group, b->s[i], length,
                        typed->value, err);
    if (status != BT_OK)
        return status;
    /* A place may lie beyond the end by BT_EDGE_SLACK: the edge ends there, too. */
    obs->edge = fmax(-1, fmin(1, obs->edge));
    return BT_OK;
}

/* ---- heights ---- */

/* The points of a set-up: on one line only? */
struct row_of_points {
    struct bt_point from;
    double dx, dy; /* unit vector along it */
    bool straight;
};

static struct row_of_points row_of(const struct bt_build *b, size_t from, size_t to)
{
    const struct bt_point *p = b->points.point;
    const struct bt_typed *typed = b->g->typed;
    struct row_of_points row = {.from = p[b->point[typed[b->order[from]].place]],
                                .straight = true};
    double length = 0;

    for (size_t k = from; k < to; k++) {
        const struct bt_point *at = &p[b->point[typed[b->order[k]].place]];
        double d = hypot(at->x - row.from.x, at->y - row.from.y);
        if (d > length) {
            length = d;
            row.dx = (at->x - row.from.x) / d;
            row.dy = (at->y - row.from.y) / d;
        }
    }
    for (size_t k = from; k < to; k++) {
        const struct bt_point *at = &p[b->point[typed[b->order[k]].place]];
        double off = (at->y - row.from.y) * row.dx - (at->x - row.from.x) * row.dy;
        if (fabs(off) > BT_PLACE_ROUNDING)
            row.straight = false;
    }
    return row;
}

/*
 * A set-up whose points lie on one line cannot tell its tilt across that line from
 * nothing: the two unknowns that its readings can see, the offset and the tilt along
 * the line, say the same about every height and leave nothing undetermined.
 */
static enum bt_status observe_setup(struct bt_build *b, size_t from, size_t to)
{
    struct bt_gather *g = b->g;
    const struct bt_setup *setup = &g->setup[g->typed[b->order[from]].owner];
    struct row_of_points row = row_of(b, from, to);
    int dim = setup->level ? 1 : row.straight ? 2 : 3, group;

    if (add_group(b, dim, &group) != BT_OK)
        return BT_ENOMEM;
    b->group_of_setup[g->typed[b->order[from]].owner] = group;
    return BT_OK;
}

static enum bt_status observe_setups(struct bt_build *b)
{
    size_t from, to = 0;

    while (bt_build_run(b, BT_READ_HEIGHT, &from, &to))
        if (!b->drop[b->order[from]] && observe_setup(b, from, to) != BT_OK)
            return BT_ENOMEM;
    return BT_OK;
}

static enum bt_status observe_height(struct bt_build *b, size_t i, struct bt_obs *obs,
                                     struct bt_error *err)
{
    const struct bt_typed *typed = &b->g->typed[i];
    int group =
        typed->kind == BT_READ_SCAN ? BT_NO_GROUP : b->group_of_setup[typed->owner];
    int dim = group == BT_NO_GROUP ? 0 : b->g->set->readings.group[group].dim;

    return bt_obs_height(obs, typed->kind, b->points.point, b->point[typed->place],
                         group, dim, typed->value, err);
}

/* The basis of set-ups on one line, once all their heights are observations. */
static void straighten_setups(struct bt_build *b, const size_t obs_of[])
{
    size_t from, to = 0;

    while (bt_build_run(b, BT_READ_HEIGHT, &from, &to)) {
        struct bt_readings *readings = &b->g->set->readings;
        int group = b->group_of_setup[b->g->typed[b->order[from]].owner];
        struct row_of_points row;
        if (group == BT_NO_GROUP || readings->group[group].dim != 2)
            continue;
        row = row_of(b, from, to);
        for (size_t k = from; k < to; k++) {
            struct bt_obs *obs = &readings->obs[obs_of[b->order[k]]];
            const struct bt_point *at = &b->points.point[obs->point[0]];
            obs->basis[1] =
                (at->x - row.from.x) * row.dx + (at->y - row.from.y) * row.dy;
            obs->basis[2] = 0;
        }
    }
}

/* ---- bar, level, sticks ---- */

static enum bt_status group_of_zero(struct bt_build *b, int instrument, int *group)
{
    *group = BT_NO_GROUP;
    if (instrument < 0 || !b->g->load->job->instrument[instrument].zero_unknown)
        return BT_OK;
    *group = b->group_of_instrument[instrument];
    if (*group != BT_NO_GROUP)
        return BT_OK;
    if (add_group(b, 1, group) != BT_OK)
        return BT_ENOMEM;
    b->group_of_instrument[instrument] = *group;
    return BT_OK;
}

static enum bt_status observe_other(struct bt_build *b, size_t i, struct bt_obs *obs,
                                    struct bt_error *err)
{
    const struct bt_typed *typed = &b->g->typed[i];
    const struct bt_point *p = b->points.point;
    const size_t *point = &b->point[typed->place];
    int group;

    if (typed->kind == BT_READ_WIND)
        return bt_obs_wind(obs, p, point, typed->stick, typed->value, err);
    if (group_of_zero(b, typed->instrument, &group) != BT_OK)
        return BT_ENOMEM;
    if (typed->kind == BT_READ_BAR)
        return bt_obs_bar(obs, p, point[0], point[1], point[2], group, typed->value,
                          err);
    return bt_obs_slope(obs, p, point[0], point[1], group, typed->value, err);
}

/* ---- all ---- */

static enum bt_status observe(struct bt_build *b, size_t i, struct bt_obs *obs)
{
    const struct bt_gather *g = b->g;
    const struct bt_typed *typed = &g->typed[i];
    struct bt_error err = {.code = BT_OK};
    enum bt_status status;

    if (typed->kind == BT_READ_GAP)
        status = observe_gap(b, i, obs, &err);
    else if (typed->kind == BT_READ_HEIGHT || typed->kind == BT_READ_SCAN)
        status = observe_height(b, i, obs, &err);
    else
        status = observe_other(b, i, obs, &err);
    if (status == BT_ENOMEM)
        return status;
    if (status == BT_OK && !(typed->u > 0 && isfinite(typed->u)))
        status = bt_error_set(&err, BT_EINPUT, 0, 0, "the uncertainty is not finite");
    if (status != BT_OK)
        bt_fault_add(g->load->faults, BT_EINPUT, g->set->file[typed->file], typed->line,
                     1, "not a usable reading: %s", err.message);
    obs->u = typed->u;
    return BT_OK;
}

/* ---- gaps between the same two leaves ---- */

/* Value and u are those of the interval. */
static int by_leaves(const void *what, size_t a, size_t b)
{
    const struct bt_typed *p = (const struct bt_typed *)what + a;
    const struct bt_typed *q = (const struct bt_typed *)what + b;

    if (p->instrument != q->instrument)
        return p->instrument < q->instrument ? -1 : 1;
    if (p->value < q->value || p->value > q->value)
        return p->value < q->value ? -1 : 1;
    return p->u < q->u ? -1 : p->u > q->u;
}

static int by_leaves_and_order(const void *what, size_t a, size_t b)
{
    int order = by_leaves(what, a, b);

    return order ? order : a < b ? -1 : a > b;
}

/* Their rounding may be one error: bt_obs.alike. */
static enum bt_status number_alike(const struct bt_build *b, const size_t obs_of[])
{
    const struct bt_typed *typed = b->g->typed;
    struct bt_obs *obs = b->g->set->readings.obs;
    size_t *index = bt_alloc(b->g->ntyped, sizeof *index), n = 0;
    int number = 0;

    if (!index)
        return BT_ENOMEM;
    for (size_t i = 0; i < b->g->ntyped; i++)
        if (!b->drop[i] && typed[i].kind == BT_READ_GAP &&
            typed[i].origin == BT_U_INTERVAL)
            index[n++] = i;
    bt_order(n, index, by_leaves_and_order, typed);
    for (size_t k = 0; k + 1 < n; k++) {
        if (by_leaves(typed, index[k], index[k + 1]) != 0)
            continue;
        if (!obs[obs_of[index[k]]].alike)
            obs[obs_of[index[k]]].alike = ++number;
        obs[obs_of[index[k + 1]]].alike = number;
    }
    bt_free(index);
    return BT_OK;
}

/* Heights of one set-up, or one scan, and nothing else. */
static bool is_one_reference(const struct bt_set *set)
{
    const struct bt_readings *readings = &set->readings;

    if (set->kinds[BT_READ_SCAN] == readings->nobs)
        return readings->nobs > 0;
    return set->kinds[BT_READ_HEIGHT] == readings->nobs && readings->ngroup == 1;
}

enum bt_status bt_build_observations(struct bt_build *b)
{
    struct bt_gather *g = b->g;
    struct bt_set *set = g->set;
    struct bt_readings *readings = &set->readings;
    size_t *obs_of = bt_alloc(g->ntyped, sizeof *obs_of);
    enum bt_status status = BT_ENOMEM;

    readings->obs = bt_alloc(b->nkept, sizeof *readings->obs);
    set->source = bt_alloc(b->nkept, sizeof *set->source);
    if (obs_of && readings->obs && set->source)
        status = observe_setups(b);
    for (size_t i = 0; i < g->ntyped && status == BT_OK; i++) {
        const struct bt_typed *typed = &g->typed[i];
        if (b->drop[i])
            continue;
        obs_of[i] = readings->nobs;
        status = observe(b, i, &readings->obs[readings->nobs]);
        set->source[readings->nobs++] =
            (struct bt_source){.file = typed->file, .line = typed->line};
        set->kinds[typed->kind]++;
        set->u_origin[typed->origin]++;
    }
    if (status == BT_OK)
        status = number_alike(b, obs_of);
    if (status == BT_OK) {
        straighten_setups(b, obs_of);
        readings->point = b->points.point;
        readings->npoint = b->points.n;
        b->points.point = NULL;
        set->one_reference = is_one_reference(set);
    }
    bt_free(obs_of);
    return status;
}
