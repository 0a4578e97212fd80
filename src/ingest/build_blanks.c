/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which readings not taken belong to lines that were begun, and at which of them the
 * edge may have touched. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "ingest/build.h"

/* A line of gaps as far as its rows go, read or not. */
struct extent {
    struct bt_point from, to;
    double length;
    bool left, right; /* a 0 on either side of its middle, which is of both */
};

static double apart(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(a->x - b->x, a->y - b->y);
}

static double along(const struct extent *e, const struct bt_point *p)
{
    return ((p->x - e->from.x) * (e->to.x - e->from.x) +
            (p->y - e->from.y) * (e->to.y - e->from.y)) /
           e->length;
}

static bool of_line(const struct bt_gather *g, size_t blank, size_t owner)
{
    return g->set->blanks[blank].kind == BT_READ_GAP && g->blank[blank].owner == owner;
}

/* Of all places of the line, typed and blank, the one farthest from a place. */
static struct bt_point farthest(const struct bt_build *b, size_t from, size_t to,
                                const struct bt_point *place)
{
    const struct bt_gather *g = b->g;
    const size_t owner = g->typed[b->order[from]].owner;
    const struct bt_point *best = bt_build_place(b, b->order[from]);

    for (size_t k = from + 1; k < to; k++)
        if (apart(bt_build_place(b, b->order[k]), place) > apart(best, place))
            best = bt_build_place(b, b->order[k]);
    for (size_t i = 0; i < g->set->nblanks; i++)
        if (of_line(g, i, owner) &&
            apart(&g->blank[i].place, place) > apart(best, place))
            best = &g->blank[i].place;
    return *best;
}

static struct extent extent_of(const struct bt_build *b, size_t from, size_t to)
{
    const struct bt_typed *typed = b->g->typed;
    struct extent e = {.left = false};

    e.from = farthest(b, from, to, bt_build_place(b, b->order[from]));
    e.to = farthest(b, from, to, &e.from);
    e.length = apart(&e.from, &e.to);
    for (size_t k = from; k < to && e.length > BT_PLACE_ROUNDING; k++) {
        const double s = along(&e, bt_build_place(b, b->order[k]));

        if (!typed[b->order[k]].touches)
            continue;
        e.left = e.left || s <= e.length / 2 + BT_PLACE_ROUNDING;
        e.right = e.right || s >= e.length / 2 - BT_PLACE_ROUNDING;
    }
    return e;
}

static enum bt_status note_untouched_end(struct bt_build *b, size_t blank)
{
    const struct bt_blank *of = &b->g->set->blanks[blank];
    char shown[BT_SHOWN_ROOM];

    return bt_note_add(&b->g->notes, b->g->set->file[of->source.file], of->source.line,
                       "line '%s' has no 0 at %s%.*s%s: if the edge touched there, "
                       "write 0",
                       bt_fault_shown(of->line, strlen(of->line), shown),
                       of->corner ? "corner " : "", of->corner ? 1 : 0, &of->corner,
                       of->corner ? "" : of->place);
}

/*
 * An edge that lies on the wood touches it on both sides of its middle, or in the
 * middle on a crown.  Its ends are where one forgets to write that.
 */
static enum bt_status mark_line(struct bt_build *b, size_t from, size_t to,
                                size_t *notes)
{
    const struct bt_gather *g = b->g;
    const struct extent e = extent_of(b, from, to);
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < g->set->nblanks && status == BT_OK; i++) {
        struct bt_blank *blank = &g->set->blanks[i];
        double s;

        if (!of_line(g, i, g->typed[b->order[from]].owner))
            continue;
        blank->begun = true;
        if (!(e.length > BT_PLACE_ROUNDING))
            continue;
        s = along(&e, &g->blank[i].place);
        blank->untouched = (!e.left && s <= BT_PLACE_ROUNDING) ||
                           (!e.right && s >= e.length - BT_PLACE_ROUNDING);
        if (blank->untouched && ++*notes <= BT_NOTES_SHOWN)
            status = note_untouched_end(b, i);
    }
    return status;
}

/* A to D where the place is a corner of the panel, else NUL. */
static char corner_of(const struct bt_panel *panel, const struct bt_point *p)
{
    const bool left = fabs(p->x) <= BT_EDGE_SLACK, back = fabs(p->y) <= BT_EDGE_SLACK;
    const bool right = fabs(p->x - panel->length) <= BT_EDGE_SLACK;
    const bool front = fabs(p->y - panel->width) <= BT_EDGE_SLACK;

    if (back)
        return left ? 'A' : right ? 'B' : '\0';
    return !front ? '\0' : left ? 'D' : right ? 'C' : '\0';
}

/* Set-ups, and kinds that belong to none. */
static bool begun_elsewhere(const struct bt_gather *g, size_t blank)
{
    const enum bt_reading_kind kind = g->set->blanks[blank].kind;

    for (size_t i = 0; i < g->ntyped; i++)
        if (g->typed[i].kind == kind &&
            (kind != BT_READ_HEIGHT || g->typed[i].owner == g->blank[blank].owner))
            return true;
    return false;
}

enum bt_status bt_build_blanks(struct bt_build *b)
{
    const struct bt_gather *g = b->g;
    enum bt_status status = BT_OK;
    size_t from, to = 0, notes = 0;

    for (size_t i = 0; i < g->set->nblanks; i++) {
        struct bt_blank *blank = &g->set->blanks[i];

        blank->corner = corner_of(&g->load->job->panel, &g->blank[i].place);
        if (blank->kind != BT_READ_GAP)
            blank->begun = begun_elsewhere(g, i);
    }
    while (status == BT_OK && bt_build_run(b, BT_READ_GAP, &from, &to))
        status = mark_line(b, from, to, &notes);
    return status;
}
