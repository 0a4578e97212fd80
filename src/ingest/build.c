/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/build.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/order.h"

/* Lines first, then set-ups. */
static size_t owner_of(const void *what, size_t i)
{
    const struct bt_gather *g = what;

    return g->typed[i].kind == BT_READ_GAP ? g->typed[i].owner
                                           : g->nplacement + g->typed[i].owner;
}

bool bt_build_run(const struct bt_build *b, enum bt_reading_kind kind, size_t *from,
                  size_t *to)
{
    const struct bt_typed *typed = b->g->typed;

    while (*to < b->norder && typed[b->order[*to]].kind != kind)
        ++*to;
    *from = *to;
    while (*to < b->norder && typed[b->order[*to]].kind == kind &&
           typed[b->order[*to]].owner == typed[b->order[*from]].owner)
        ++*to;
    return *from < *to;
}

static enum bt_status start(struct bt_build *b)
{
    const struct bt_gather *g = b->g;
    size_t ninstrument = g->load->job->ninstrument;

    b->order = bt_alloc(g->ntyped, sizeof *b->order);
    b->s = bt_alloc(g->ntyped, sizeof *b->s);
    b->drop = bt_alloc(g->ntyped, sizeof *b->drop);
    b->point = bt_alloc(g->nplace, sizeof *b->point);
    b->group_of_placement = bt_alloc(g->nplacement, sizeof(int));
    b->group_of_setup = bt_alloc(g->nsetup, sizeof(int));
    b->group_of_instrument = bt_alloc(ninstrument, sizeof(int));
    if (!b->order || !b->s || !b->drop || !b->point || !b->group_of_placement ||
        !b->group_of_setup || !b->group_of_instrument)
        return BT_ENOMEM;
    for (size_t i = 0; i < g->nplacement; i++)
        b->group_of_placement[i] = BT_NO_GROUP;
    for (size_t i = 0; i < g->nsetup; i++)
        b->group_of_setup[i] = BT_NO_GROUP;
    for (size_t i = 0; i < ninstrument; i++)
        b->group_of_instrument[i] = BT_NO_GROUP;
    for (size_t i = 0; i < g->ntyped; i++)
        if (g->typed[i].kind == BT_READ_GAP || g->typed[i].kind == BT_READ_HEIGHT)
            b->order[b->norder++] = i;
    b->nkept = g->ntyped;
    return bt_order_buckets(b->norder, b->order, g->nplacement + g->nsetup, owner_of,
                            g);
}

/* ---- points ---- */

/* Places as near as this are one mark on the wood, typed or reckoned in two ways; they
 * are counted as merged and no more is said, mm. */
#define SAME_MARK 0.5

static enum bt_status note_merge(struct bt_build *b, const struct bt_typed *typed,
                                 const struct bt_point *place, size_t point)
{
    const struct bt_gather *g = b->g;
    enum bt_system system = g->load->job->system;
    const struct bt_point *there = &b->points.point[point];
    char this[BT_PLACE_ROOM], that[BT_PLACE_ROOM];

    g->set->merged++;
    bt_say_place(this, place, system);
    bt_say_place(that, there, system);
    if (hypot(place->x - there->x, place->y - there->y) <= SAME_MARK ||
        strcmp(this, that) == 0 || ++b->nmerge_note > BT_NOTES_SHOWN)
        return BT_OK;
    return bt_note_add(&b->g->notes, g->set->file[typed->file], typed->line,
                       "%s is taken as one point with %s", this, that);
}

static enum bt_status take_places(struct bt_build *b, const struct bt_typed *typed)
{
    struct bt_gather *g = b->g;
    size_t n = bt_places_of(typed->kind);

    for (size_t i = typed->place; i < typed->place + n; i++) {
        struct bt_points_found found = {.off = 0};
        enum bt_status status;
        if (typed->kind == BT_READ_SCAN)
            status = bt_points_append(&b->points, &g->place[i], &found.point);
        else
            status = bt_points_take(&b->points, &g->place[i], &found);
        if (status == BT_OK && found.merged)
            status = note_merge(b, typed, &g->place[i], found.point);
        if (status != BT_OK)
            return status;
        b->point[i] = found.point;
        if (found.off > g->set->readings.slack)
            g->set->readings.slack = found.off;
    }
    return BT_OK;
}

/* How near places must be to be one, and a note where that is less than stated. */
static enum bt_status choose_near(struct bt_build *b, double *near)
{
    struct bt_gather *g = b->g;
    const struct bt_job *job = g->load->job;
    char used[BT_PRINT_ROOM], step[BT_PRINT_ROOM];

    *near = job->same_point;
    if (!(g->least_step / 2 < *near))
        return BT_OK;
    *near = g->least_step / 2;
    return bt_note_add(
        &g->notes, g->set->file[g->step_file], g->step_line,
        "places nearer than %s count as one point here, for this line has a step of %s",
        bt_print_length(used, *near, 0, job->system, BT_LENGTH_FEELER),
        bt_print_length(step, g->least_step, 0, job->system, BT_LENGTH_RULE));
}

enum bt_status bt_build_points(struct bt_build *b)
{
    struct bt_gather *g = b->g;
    double near;

    if (choose_near(b, &near) != BT_OK || bt_points_start(&b->points, near) != BT_OK)
        return BT_ENOMEM;
    for (size_t i = 0; i < g->ntyped; i++)
        if (!b->drop[i] && take_places(b, &g->typed[i]) != BT_OK)
            return BT_ENOMEM;
    if (b->nmerge_note > BT_NOTES_SHOWN)
        return bt_note_add(&g->notes, g->set->file[0], 0,
                           "%zu places in all are taken as one point with others",
                           g->set->merged);
    return BT_OK;
}

static void clear(struct bt_build *b)
{
    bt_free(b->order);
    bt_free(b->s);
    bt_free(b->drop);
    bt_free(b->point);
    bt_free(b->group_of_placement);
    bt_free(b->group_of_setup);
    bt_free(b->group_of_instrument);
    bt_points_clear(&b->points);
}

enum bt_status bt_gather_build(struct bt_gather *g)
{
    static enum bt_status (*const steps[])(struct bt_build *) = {
        start,           bt_build_lines,        bt_build_setups,
        bt_build_points, bt_build_observations, bt_build_notes};
    struct bt_build b = {.g = g};
    size_t faults = g->load->faults->n;
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        if (status == BT_OK && g->load->faults->n == faults)
            status = steps[i](&b);
    }
    clear(&b);
    return status;
}
