/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "ingest/build.h"
#include "ingest/line_names.h"
#include "ingest/order.h"

/* A line is straight while its places lie within 2 mm of it, or within 1 % of its
 * length where that is more (design: over 2 mm and 1 %). */
#define STRAIGHT_MM 2.0
#define STRAIGHT_SHARE 0.01

static double apart(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(a->x - b->x, a->y - b->y);
}

/* Of the run, the reading whose place is farthest from a place. */
static size_t farthest(const struct bt_build *b, size_t from, size_t to,
                       const struct bt_point *place)
{
    size_t best = b->order[from];

    for (size_t k = from + 1; k < to; k++)
        if (apart(bt_build_place(b, b->order[k]), place) >
            apart(bt_build_place(b, best), place))
            best = b->order[k];
    return best;
}

/* Ends of a line whose places are given: the two that are farthest apart (found in
 * two steps, exact for places on a line), in the order typed. */
static void find_ends(struct bt_build *b, size_t from, size_t to,
                      struct bt_placement *placement)
{
    size_t one = farthest(b, from, to, bt_build_place(b, b->order[from]));
    size_t other = farthest(b, from, to, bt_build_place(b, one));

    placement->from = *bt_build_place(b, one < other ? one : other);
    placement->to = *bt_build_place(b, one < other ? other : one);
    placement->length = apart(&placement->from, &placement->to);
}

/* Along the line from its start, and across it. */
static double along(const struct bt_placement *line, const struct bt_point *place)
{
    return ((place->x - line->from.x) * (line->to.x - line->from.x) +
            (place->y - line->from.y) * (line->to.y - line->from.y)) /
           line->length;
}

static double across(const struct bt_placement *line, const struct bt_point *place)
{
    return ((place->y - line->from.y) * (line->to.x - line->from.x) -
            (place->x - line->from.x) * (line->to.y - line->from.y)) /
           line->length;
}

static void check_straight(struct bt_build *b, size_t from, size_t to,
                           const struct bt_placement *line)
{
    const struct bt_gather *g = b->g;
    double most = STRAIGHT_SHARE * line->length, off = 0;
    size_t worst = b->order[from];
    char is[BT_PRINT_ROOM], may[BT_PRINT_ROOM], shown[BT_SHOWN_ROOM];

    if (most < STRAIGHT_MM)
        most = STRAIGHT_MM;
    for (size_t k = from; k < to; k++) {
        double d = fabs(across(line, bt_build_place(b, b->order[k])));
        if (d > off) {
            off = d;
            worst = b->order[k];
        }
    }
    if (off <= most)
        return;
    bt_fault_add(g->load->faults, BT_EINPUT, g->set->file[g->typed[worst].file],
                 g->typed[worst].line, 1,
                 "line not straight: '%s' has this place %s beside the line through "
                 "its ends, at "
                 "most %s will do; is it another line?",
                 bt_fault_shown(line->name, strlen(line->name), shown),
                 bt_print_length(is, off, 0, g->load->job->system, BT_LENGTH_RULE),
                 bt_print_length(may, most, 0, g->load->job->system, BT_LENGTH_RULE));
}

static int by_s(const void *what, size_t a, size_t b)
{
    const double *s = what;

    if (s[a] != s[b])
        return s[a] < s[b] ? -1 : 1;
    return a < b ? -1 : a > b;
}

/* Places along the line; the run is left in their order.  Returns how many differ. */
static size_t measure_places(struct bt_build *b, size_t from, size_t to,
                             const struct bt_placement *line)
{
    struct bt_gather *g = b->g;
    size_t places = 1;

    for (size_t k = from; k < to; k++)
        b->s[b->order[k]] = along(line, bt_build_place(b, b->order[k]));
    bt_order(to - from, b->order + from, by_s, b->s);
    for (size_t k = from + 1; k < to; k++) {
        const struct bt_typed *typed = &g->typed[b->order[k]];
        double step = b->s[b->order[k]] - b->s[b->order[k - 1]];
        places += step > BT_PLACE_ROUNDING;
        bt_gather_step(g, step, typed->file, typed->line);
    }
    return places;
}

static void drop_run(struct bt_build *b, size_t from, size_t to)
{
    const struct bt_typed *first = &b->g->typed[b->order[from]];
    struct bt_set *set = b->g->set;

    for (size_t k = from; k < to; k++)
        b->drop[b->order[k]] = true;
    b->nkept -= to - from;
    if (!set->dropped)
        set->first_dropped =
            (struct bt_source){.file = first->file, .line = first->line};
    set->dropped += to - from;
}

static enum bt_status drop_line(struct bt_build *b, size_t from, size_t to,
                                const struct bt_placement *line)
{
    const struct bt_gather *g = b->g;
    char shown[BT_SHOWN_ROOM];

    drop_run(b, from, to);
    return bt_note_add(
        &b->g->notes, g->set->file[line->file], g->typed[b->order[from]].line,
        "line '%s' is read at one place so far: that adds nothing and is "
        "left out",
        bt_fault_shown(line->name, strlen(line->name), shown));
}

static enum bt_status build_line(struct bt_build *b, size_t from, size_t to)
{
    struct bt_placement *line = &b->g->placement[b->g->typed[b->order[from]].owner];

    if (line->named == SIZE_MAX)
        find_ends(b, from, to, line);
    /* Not one place typed but one place read. */
    if (!(line->length > BT_PLACE_ROUNDING))
        return drop_line(b, from, to, line);
    if (line->named == SIZE_MAX)
        check_straight(b, from, to, line);
    if (measure_places(b, from, to, line) < 2)
        return drop_line(b, from, to, line);
    return BT_OK;
}

/* The line of the same file that a name was hardly meant to differ from; NULL where
 * none is near. */
static const char *other_line(const struct bt_gather *g,
                              const struct bt_placement *line)
{
    const char *names[BT_LINES_COMPARED];
    size_t n = 0;

    for (size_t i = 0; i < g->nplacement && n < BT_LINES_COMPARED; i++) {
        const struct bt_placement *other = &g->placement[i];
        if (other->file == line->file && other->spread)
            names[n++] = other->name;
    }
    return bt_line_nearest(line->name, strlen(line->name), n, names);
}

/* A straightedge on one place says nothing, and hardly is what was meant. */
static void check_spread(const struct bt_gather *g)
{
    char shown[BT_SHOWN_ROOM], near[BT_SHOWN_ROOM];

    for (size_t i = 0; i < g->nplacement; i++) {
        const struct bt_placement *line = &g->placement[i];
        const char *other;
        if (line->spread || isnan(line->first.x))
            continue;
        bt_fault_shown(line->name, strlen(line->name), shown);
        /* Names of lines.csv were looked up. */
        other = line->named == SIZE_MAX ? other_line(g, line) : NULL;
        if (other)
            bt_fault_add(g->load->faults, BT_EINPUT, g->set->file[line->file],
                         line->line, 1,
                         "a line with one place: '%s', did you mean '%s'?", shown,
                         bt_fault_shown(other, strlen(other), near));
        else
            bt_fault_add(g->load->faults, BT_EINPUT, g->set->file[line->file],
                         line->line, 1,
                         "a line with one place: '%s', type two or more places of one "
                         "placement of the straightedge",
                         shown);
    }
}

enum bt_status bt_build_lines(struct bt_build *b)
{
    size_t from, to = 0;

    check_spread(b->g);
    while (bt_build_run(b, BT_READ_GAP, &from, &to))
        if (build_line(b, from, to) != BT_OK)
            return BT_ENOMEM;
    return BT_OK;
}

enum bt_status bt_build_setups(struct bt_build *b)
{
    const struct bt_gather *g = b->g;
    size_t from, to = 0;

    while (bt_build_run(b, BT_READ_HEIGHT, &from, &to)) {
        const struct bt_point *first = bt_build_place(b, b->order[from]);
        size_t far = farthest(b, from, to, first);
        if (apart(bt_build_place(b, far), first) > BT_PLACE_ROUNDING)
            continue;
        drop_run(b, from, to);
        if (bt_note_add(
                &b->g->notes, g->set->file[g->typed[b->order[from]].file],
                g->typed[b->order[from]].line,
                "this set-up is read at one place so far: that adds nothing and "
                "is left out") != BT_OK)
            return BT_ENOMEM;
    }
    return BT_OK;
}
