/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/build.h"
#include "ingest/order.h"

/* What two observations must share to be the same reading taken twice: the same
 * points by the same placement, set-up or zero. */
static int by_place(const void *what, size_t a, size_t b)
{
    const struct bt_obs *p = (const struct bt_obs *)what + a;
    const struct bt_obs *q = (const struct bt_obs *)what + b;

    if (p->kind != q->kind)
        return p->kind < q->kind ? -1 : 1;
    if (p->group != q->group)
        return p->group < q->group ? -1 : 1;
    for (int k = 0; k < p->npoint; k++)
        if (p->point[k] != q->point[k])
            return p->point[k] < q->point[k] ? -1 : 1;
    return 0;
}

/* Equal ones in the order typed. */
static int by_place_and_order(const void *what, size_t a, size_t b)
{
    int order = by_place(what, a, b);

    return order ? order : a < b ? -1 : a > b;
}

static size_t first_point(const void *what, size_t i)
{
    return ((const struct bt_obs *)what)[i].point[0];
}

/* Observations that are not of a scan, those of the same place beside each other. */
static enum bt_status order_by_place(const struct bt_readings *readings, size_t n,
                                     size_t index[])
{
    const struct bt_obs *obs = readings->obs;
    enum bt_status status =
        bt_order_buckets(n, index, readings->npoint, first_point, obs);

    for (size_t from = 0, to; from < n && status == BT_OK; from = to) {
        for (to = from; to < n && obs[index[to]].point[0] == obs[index[from]].point[0];)
            to++;
        bt_order(to - from, index + from, by_place_and_order, obs);
    }
    return status;
}

static enum bt_status note_repeat(struct bt_build *b, size_t first, size_t again)
{
    const struct bt_set *set = b->g->set;
    const struct bt_source *from = &set->source[first], *to = &set->source[again];

    if (from->file == to->file)
        return bt_note_add(&b->g->notes, set->file[to->file], to->line,
                           "repeats the reading of line %zu; both count", from->line);
    return bt_note_add(&b->g->notes, set->file[to->file], to->line,
                       "repeats the reading of %s, line %zu; both count",
                       set->file[from->file], from->line);
}

static enum bt_status note_repeats(struct bt_build *b)
{
    const struct bt_readings *readings = &b->g->set->readings;
    size_t *index = bt_alloc(readings->nobs, sizeof *index);
    size_t n = 0, first = 0, repeats = 0;
    enum bt_status status;

    if (!index)
        return BT_ENOMEM;
    for (size_t i = 0; i < readings->nobs; i++)
        if (readings->obs[i].kind != BT_READ_SCAN)
            index[n++] = i;
    status = order_by_place(readings, n, index);
    for (size_t k = 1; k < n && status == BT_OK; k++) {
        if (by_place(readings->obs, index[first], index[k]) != 0)
            first = k;
        else if (++repeats <= BT_NOTES_SHOWN)
            status = note_repeat(b, index[first], index[k]);
    }
    if (status == BT_OK && repeats > BT_NOTES_SHOWN)
        status = bt_note_add(&b->g->notes, b->g->set->file[0], 0,
                             "%zu readings in all repeat others", repeats);
    bt_free(index);
    return status;
}

/* The points of an observation that are a foot, an end or a stick. */
static bool is_foot(const struct bt_obs *obs, int k)
{
    return obs->kind == BT_READ_SLOPE || obs->kind == BT_READ_WIND ||
           (obs->kind == BT_READ_BAR && k != 1);
}

static const char *foot_word(enum bt_reading_kind kind)
{
    return kind == BT_READ_WIND ? "a stick" : kind == BT_READ_BAR ? "a foot" : "an end";
}

static enum bt_status note_idle_feet(struct bt_build *b)
{
    const struct bt_set *set = b->g->set;
    const struct bt_readings *readings = &set->readings;
    size_t *uses = bt_alloc(readings->npoint, sizeof *uses), idle = 0;
    enum bt_status status = uses ? BT_OK : BT_ENOMEM;
    char place[BT_PLACE_ROOM];

    for (size_t i = 0; i < readings->nobs && uses; i++)
        for (int k = 0; k < readings->obs[i].npoint; k++)
            uses[readings->obs[i].point[k]]++;
    for (size_t i = 0; i < readings->nobs && status == BT_OK; i++) {
        const struct bt_obs *obs = &readings->obs[i];
        int k = 0;
        while (k < obs->npoint && !(is_foot(obs, k) && uses[obs->point[k]] == 1))
            k++;
        if (k == obs->npoint || ++idle > BT_NOTES_SHOWN)
            continue;
        status = bt_note_add(
            &b->g->notes, set->file[set->source[i].file], set->source[i].line,
            "%s stands at %s, which nothing else reads: this reading adds nothing to "
            "the heights of other points",
            foot_word(obs->kind),
            bt_say_place(place, &readings->point[obs->point[k]],
                         b->g->load->job->system));
    }
    if (status == BT_OK && idle > BT_NOTES_SHOWN)
        status =
            bt_note_add(&b->g->notes, set->file[0], 0,
                        "%zu readings in all stand where nothing else reads", idle);
    bt_free(uses);
    return status;
}

/* ---- lines on which nothing is typed as touching ---- */

/* How a line of gaps was typed. */
struct touching {
    size_t n, below;
    size_t first;     /* the first that was typed `<` */
    bool left, right; /* a 0 on either side of its middle, which is of both */
};

static struct touching touching_of(const struct bt_build *b, size_t from, size_t to)
{
    const struct bt_typed *typed = b->g->typed;
    const double middle = b->g->placement[typed[b->order[from]].owner].length / 2;
    struct touching t = {0};

    for (size_t k = from; k < to; k++) {
        const size_t i = b->order[k];

        if (b->drop[i])
            continue;
        t.n++;
        if (typed[i].below && !t.below++)
            t.first = i;
        t.left = t.left || (typed[i].touches && b->s[i] <= middle + BT_PLACE_ROUNDING);
        t.right =
            t.right || (typed[i].touches && b->s[i] >= middle - BT_PLACE_ROUNDING);
    }
    return t;
}

static enum bt_status note_touching(struct bt_build *b, const struct touching *t)
{
    const struct bt_gather *g = b->g;
    const struct bt_typed *first = &g->typed[t->first];
    const char *name = g->placement[first->owner].name;
    char shown[BT_SHOWN_ROOM];

    return bt_note_add(
        &b->g->notes, g->set->file[first->file], first->line,
        "line '%s': %zu places with `<` and %s: the edge touches somewhere, type 0 "
        "where it touches (`<` there is wrong by half a leaf)",
        bt_fault_shown(name, strlen(name), shown), t->below,
        t->left || t->right ? "0 on one side of its middle only" : "none with 0");
}

/*
 * An edge that lies on the wood touches it on both sides of its middle, or in the
 * middle on a crown.  Where that was typed `<`, the gap is wrong by half a leaf, always
 * to the same side, which no u of luck covers.
 */
static enum bt_status note_untouched(struct bt_build *b)
{
    enum bt_status status = BT_OK;
    size_t from, to = 0, lines = 0;

    while (status == BT_OK && bt_build_run(b, BT_READ_GAP, &from, &to)) {
        const struct touching t = touching_of(b, from, to);

        if (t.n < 3 || t.below < 2 || (t.left && t.right))
            continue;
        if (++lines <= BT_NOTES_SHOWN)
            status = note_touching(b, &t);
    }
    if (status == BT_OK && lines > BT_NOTES_SHOWN)
        status = bt_note_add(&b->g->notes, b->g->set->file[0], 0,
                             "%zu lines in all have `<` where the edge touches", lines);
    return status;
}

/* The same slack as for a place beyond the end of the panel. */
static enum bt_status note_long_line(struct bt_build *b, size_t first, double span)
{
    const struct bt_gather *g = b->g;
    const struct bt_typed *typed = &g->typed[first];
    const struct bt_placement *line = &g->placement[typed->owner];
    const struct bt_instrument *edge = &g->load->job->instrument[line->edge];
    char shown[BT_SHOWN_ROOM], name[BT_SHOWN_ROOM];
    char is[BT_PRINT_ROOM], has[BT_PRINT_ROOM];

    return bt_note_add(
        &b->g->notes, g->set->file[typed->file], typed->line,
        "line '%s' is %s from first to last place, '%s' is %s long: an edge that is "
        "shifted is another line, overlapping the first",
        bt_fault_shown(line->name, strlen(line->name), shown),
        bt_print_length(is, span, 0, g->load->job->system, BT_LENGTH_RULE),
        bt_fault_shown(edge->name, strlen(edge->name), name),
        bt_print_length(has, edge->length, 0, g->load->job->system, BT_LENGTH_RULE));
}

/* A line that is longer than its edge was not read in one placement. */
static enum bt_status note_long(struct bt_build *b)
{
    enum bt_status status = BT_OK;
    size_t from, to = 0;

    while (status == BT_OK && bt_build_run(b, BT_READ_GAP, &from, &to)) {
        const size_t first = b->order[from];
        const int edge = b->g->placement[b->g->typed[first].owner].edge;
        double low = b->s[first], high = low;

        for (size_t k = from; k < to; k++) {
            low = fmin(low, b->s[b->order[k]]);
            high = fmax(high, b->s[b->order[k]]);
        }
        if (edge < 0 ||
            !(high - low > b->g->load->job->instrument[edge].length + BT_EDGE_SLACK))
            continue;
        if (++b->g->set->too_long <= BT_NOTES_SHOWN)
            status = note_long_line(b, first, high - low);
    }
    if (status == BT_OK && b->g->set->too_long > BT_NOTES_SHOWN)
        status = bt_note_add(&b->g->notes, b->g->set->file[0], 0,
                             "%zu lines in all are longer than their straightedge",
                             b->g->set->too_long);
    return status;
}

enum bt_status bt_build_notes(struct bt_build *b)
{
    enum bt_status status = note_repeats(b);

    if (status == BT_OK)
        status = note_idle_feet(b);
    if (status == BT_OK)
        status = note_untouched(b);
    if (status == BT_OK)
        status = note_long(b);
    return status == BT_OK ? bt_build_blanks(b) : status;
}
