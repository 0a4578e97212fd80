/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/far_off.h"
#include "benchtrue/surface/plane.h"
#include "ingest/build.h"
#include "ingest/gather.h"

static enum bt_status note_at(struct bt_gather *g, size_t point, const char *format,
                              const char *text)
{
    struct bt_source from = bt_set_source(g->set, point);

    return bt_note_add(&g->notes, g->set->file[from.file], from.line, format, text);
}

/* ---- points at one place ---- */

/* Finaliser of the splitmix64 generator: every bit counts for every other. */
static uint64_t mix(uint64_t h)
{
    h = (h ^ (h >> 30)) * 0xbf58476d1ce4e5b9u;
    h = (h ^ (h >> 27)) * 0x94d049bb133111ebu;
    return h ^ (h >> 31);
}

static uint64_t hash_of(const struct bt_point *p)
{
    /* no reader gives -0, whose bits differ from those of 0 */
    uint64_t bits[2];

    memcpy(bits, p, sizeof bits);
    return mix(mix(bits[0]) + bits[1]);
}

/* The first point at the place of point i, which is i where it is the first. */
static size_t first_there(size_t *slot, size_t nslot, const struct bt_point p[],
                          size_t i)
{
    size_t at = (size_t)hash_of(&p[i]) & (nslot - 1);

    /* a slot holds the index of a point and 1 */
    for (; slot[at]; at = (at + 1) & (nslot - 1)) {
        const struct bt_point *other = &p[slot[at] - 1];
        if (other->x == p[i].x && other->y == p[i].y)
            return slot[at] - 1;
    }
    slot[at] = i + 1;
    return i;
}

static enum bt_status note_repeat(struct bt_gather *g, size_t first, size_t again)
{
    struct bt_source from = bt_set_source(g->set, first);
    struct bt_source to = bt_set_source(g->set, again);
    const char *file = g->set->file[to.file];

    if (from.file == to.file)
        return bt_note_add(&g->notes, file, to.line,
                           "the same place as line %zu; both heights count", from.line);
    return bt_note_add(&g->notes, file, to.line,
                       "the same place as %s, line %zu; both heights count",
                       g->set->file[from.file], from.line);
}

static enum bt_status note_repeats(struct bt_gather *g)
{
    const struct bt_readings *r = &g->set->readings;
    size_t nslot = 64, repeats = 0, *slot;
    enum bt_status status = BT_OK;

    while (nslot / 2 < r->npoint && nslot <= SIZE_MAX / 4)
        nslot *= 2;
    slot = bt_alloc(nslot, sizeof *slot);
    if (!slot)
        return BT_ENOMEM;
    for (size_t i = 0; i < r->npoint && status == BT_OK; i++) {
        size_t first = first_there(slot, nslot, r->point, i);
        if (first != i && ++repeats <= BT_NOTES_SHOWN)
            status = note_repeat(g, first, i);
    }
    bt_free(slot);
    if (status == BT_OK && repeats > BT_NOTES_SHOWN)
        status =
            bt_note_add(&g->notes, g->set->file[0], 0,
                        "%zu points in all stand at the place of another", repeats);
    return status;
}

/* ---- heights far off ---- */

static enum bt_status note_far_off(struct bt_gather *g, const double residual[],
                                   const struct bt_far_off *far)
{
    size_t shown = far->n < BT_NOTES_SHOWN ? far->n : BT_NOTES_SHOWN;
    enum bt_system system = g->load->job->system;
    char off[BT_PRINT_ROOM];

    for (size_t k = 0; k < shown; k++) {
        double z = residual[far->point[k]];
        bt_print_length(off, fabs(z), 0, system, BT_LENGTH_FEELER);
        if (note_at(g, far->point[k],
                    z > 0 ? "far off: %s above the mean plane; does it belong to the "
                            "panel?"
                          : "far off: %s below the mean plane; does it belong to the "
                            "panel?",
                    off) != BT_OK)
            return BT_ENOMEM;
    }
    if (far->n > shown)
        return bt_note_add(&g->notes, g->set->file[0], 0,
                           "%zu heights in all are far off", far->n);
    return BT_OK;
}

static enum bt_status note_heights(struct bt_gather *g)
{
    const struct bt_readings *r = &g->set->readings;
    double *residual = bt_alloc(r->npoint, sizeof *residual);
    enum bt_status status = BT_ENOMEM;
    struct bt_plane plane;
    struct bt_far_off far;

    if (residual) {
        status = bt_plane_fit(r->npoint, r->point, r->scan, &plane, residual, NULL);
        /* without a plane nothing is far from it, which `flatness` will say */
        if (status != BT_OK) {
            bt_free(residual);
            return BT_OK;
        }
        status = bt_far_off_find(r->npoint, residual, r->scan_u, &far);
    }
    if (status == BT_OK)
        status = note_far_off(g, residual, &far);
    bt_free(residual);
    return status;
}

enum bt_status bt_scan_notes(struct bt_gather *g)
{
    enum bt_status status;

    if (!g->load->options->look_closely)
        return BT_OK;
    status = note_repeats(g);
    return status == BT_OK ? note_heights(g) : status;
}
