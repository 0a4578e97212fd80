/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/scan.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/gather.h"

enum bt_status bt_scan_room(struct bt_scan_points *scan, size_t need)
{
    struct bt_point *point =
        bt_grow(scan->point, &scan->point_room, need, sizeof *point);
    double *height;

    if (!point)
        return BT_ENOMEM;
    scan->point = point;
    height = bt_grow(scan->height, &scan->height_room, need, sizeof *height);
    if (!height)
        return BT_ENOMEM;
    scan->height = height;
    return BT_OK;
}

static enum bt_status add_run(struct bt_scan_points *scan, size_t file, size_t line)
{
    struct bt_scan_run *grown =
        bt_grow(scan->run, &scan->run_room, scan->nrun + 1, sizeof *grown);

    if (!grown)
        return BT_ENOMEM;
    scan->run = grown;
    grown[scan->nrun++] = (struct bt_scan_run){scan->n, file, line};
    return BT_OK;
}

enum bt_status bt_scan_add(struct bt_scan_points *scan, const struct bt_point *place,
                           double height, size_t file, size_t line)
{
    const struct bt_scan_run *last = scan->nrun ? &scan->run[scan->nrun - 1] : NULL;

    if ((!last || last->file != file || line != scan->next_line) &&
        add_run(scan, file, line) != BT_OK)
        return BT_ENOMEM;
    if (scan->n >= scan->point_room || scan->n >= scan->height_room)
        if (bt_scan_room(scan, scan->n + 1) != BT_OK)
            return BT_ENOMEM;
    scan->point[scan->n] = *place;
    scan->height[scan->n++] = height;
    scan->next_line = line + 1;
    return BT_OK;
}

enum bt_status bt_scan_part_done(struct bt_scan_points *scan, size_t from, double u,
                                 enum bt_u_origin origin)
{
    struct bt_scan_part *grown;

    if (scan->n == from)
        return BT_OK;
    grown = bt_grow(scan->part, &scan->part_room, scan->npart + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    scan->part = grown;
    grown[scan->npart++] = (struct bt_scan_part){scan->n - from, u, origin};
    return BT_OK;
}

void bt_scan_clear(struct bt_scan_points *scan)
{
    bt_free(scan->point);
    bt_free(scan->height);
    bt_free(scan->run);
    bt_free(scan->part);
    memset(scan, 0, sizeof *scan);
}

/* ---- from readings of any kind, and back ---- */

/* Are the readings gathered heights of a scan, all as sure as the first? */
static bool alike(const struct bt_gather *g)
{
    for (size_t i = 0; i < g->ntyped; i++)
        if (g->typed[i].kind != BT_READ_SCAN || g->typed[i].u != g->typed[0].u ||
            g->typed[i].origin != g->typed[0].origin)
            return false;
    return true;
}

static enum bt_status take_typed(struct bt_gather *g)
{
    size_t from = g->scan.n;

    if (bt_scan_room(&g->scan, from + g->ntyped) != BT_OK)
        return BT_ENOMEM;
    for (size_t i = 0; i < g->ntyped; i++) {
        const struct bt_typed *typed = &g->typed[i];
        if (bt_scan_add(&g->scan, &g->place[typed->place], typed->value, typed->file,
                        typed->line) != BT_OK)
            return BT_ENOMEM;
    }
    if (bt_scan_part_done(&g->scan, from, g->typed[0].u, g->typed[0].origin) != BT_OK)
        return BT_ENOMEM;
    g->ntyped = g->nplace = 0;
    return BT_OK;
}

/* Its points as readings, one after another from typed[0] and place[0]. */
static void spread_points(const struct bt_scan_points *scan, struct bt_typed typed[],
                          struct bt_point place[])
{
    size_t at = 0, run = 0;

    for (size_t p = 0; p < scan->npart; p++) {
        for (size_t end = at + scan->part[p].n; at < end; at++) {
            while (run + 1 < scan->nrun && scan->run[run + 1].first <= at)
                run++;
            place[at] = scan->point[at];
            typed[at] = (struct bt_typed){.kind = BT_READ_SCAN,
                                          .origin = scan->part[p].origin,
                                          .instrument = -1,
                                          .file = scan->run[run].file,
                                          .line = scan->run[run].line + at -
                                                  scan->run[run].first,
                                          .place = at,
                                          .value = scan->height[at],
                                          .u = scan->part[p].u,
                                          .stick = NAN};
        }
    }
}

/* The points become readings that stand before those gathered since. */
static enum bt_status spread(struct bt_gather *g)
{
    size_t n = g->scan.n;
    struct bt_typed *typed =
        bt_grow(g->typed, &g->typed_room, n + g->ntyped, sizeof *typed);
    struct bt_point *place;

    if (!typed)
        return BT_ENOMEM;
    g->typed = typed;
    place = bt_grow(g->place, &g->place_room, n + g->nplace, sizeof *place);
    if (!place)
        return BT_ENOMEM;
    g->place = place;
    memmove(typed + n, typed, g->ntyped * sizeof *typed);
    memmove(place + n, place, g->nplace * sizeof *place);
    for (size_t i = n; i < n + g->ntyped; i++)
        typed[i].place += n;
    spread_points(&g->scan, typed, place);
    g->ntyped += n;
    g->nplace += n;
    bt_scan_clear(&g->scan);
    return BT_OK;
}

enum bt_status bt_scan_settle(struct bt_gather *g)
{
    if (g->mixed || g->ntyped == 0)
        return BT_OK;
    if (alike(g))
        return take_typed(g);
    g->mixed = true;
    return g->scan.n ? spread(g) : BT_OK;
}

/* ---- to the set ---- */

/* Of files that differ in it, the root of the mean square: what a figure that takes in
 * all of them alike carries of it. */
static double common_u(const struct bt_scan_points *scan)
{
    double sum = 0;
    bool same = true;

    for (size_t p = 0; p < scan->npart; p++) {
        double u = scan->part[p].u / scan->part[0].u;
        same = same && scan->part[p].u == scan->part[0].u;
        sum += u * u * (double)scan->part[p].n / (double)scan->n;
    }
    return same ? scan->part[0].u : scan->part[0].u * sqrt(sum);
}

void bt_scan_finish(struct bt_gather *g)
{
    struct bt_scan_points *scan = &g->scan;
    struct bt_set *set = g->set;

    set->readings.npoint = scan->n;
    set->readings.point = scan->point;
    set->readings.scan = scan->height;
    set->readings.scan_u = common_u(scan);
    set->nrun = scan->nrun;
    set->run = scan->run;
    set->kinds[BT_READ_SCAN] = scan->n;
    for (size_t p = 0; p < scan->npart; p++)
        set->u_origin[scan->part[p].origin] += scan->part[p].n;
    set->one_reference = true;
    scan->point = NULL;
    scan->height = NULL;
    scan->run = NULL;
}
