/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "draw/grid.h"
#include "draw/mesh.h"
#include "draw/profile.h"
#include "draw/sort.h"

static double along(struct bt_point from, struct bt_point to, struct bt_point p)
{
    double dx = to.x - from.x, dy = to.y - from.y;

    return ((p.x - from.x) * dx + (p.y - from.y) * dy) / hypot(dx, dy);
}

static struct bt_point place_of(const struct bt_figure_input *in, size_t point)
{
    return in->flatness->used->point[point];
}

/* u of a gap: its point against the mean of two that are as good. */
static double gap_u(const struct bt_figure_input *in, const struct profiles *out,
                    size_t start)
{
    double u = NAN;

    for (size_t i = start; in->flatness->u && i < out->nplace; i++)
        u = fmax(u, in->flatness->u[out->place[i].point]);
    return u * sqrt(1.5);
}

/* Of the points of a run, the one farthest from a place. */
static struct bt_point farthest(const struct bt_figure_input *in, size_t n,
                                const size_t obs[], struct bt_point from)
{
    struct bt_point best = from;

    for (size_t k = 0; k < n; k++) {
        struct bt_point p = place_of(in, in->flatness->used->obs[obs[k]].point[0]);

        if (hypot(p.x - from.x, p.y - from.y) > hypot(best.x - from.x, best.y - from.y))
            best = p;
    }
    return best;
}

/* Lines run from left to right, those across from the back edge to the front. */
static void direct(struct profile *line)
{
    double dx = line->to.x - line->from.x, dy = line->to.y - line->from.y;

    if (dx < -1e-9 * fabs(dy) || (!(dx > 1e-9 * fabs(dy)) && dy < 0)) {
        struct bt_point from = line->from;

        line->from = line->to;
        line->to = from;
    }
}

/* One placement: readings obs[0] to obs[n - 1] of one group. */
static enum bt_status add_placement(const struct bt_figure_input *in, size_t n,
                                    const size_t obs[], struct profiles *out,
                                    struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    struct profile line = {.start = out->nplace, .span = NAN};
    enum bt_status status = BT_OK;

    line.from = farthest(in, n, obs, place_of(in, r->obs[obs[0]].point[0]));
    line.to = farthest(in, n, obs, line.from);
    direct(&line);
    for (size_t k = 0; k < n; k++)
        line.own |= !isfinite(in->flatness->z[r->obs[obs[k]].point[0]]);
    for (size_t k = 0; k < n && status == BT_OK; k++) {
        const struct bt_obs *o = &r->obs[obs[k]];
        struct profile_place p = {along(line.from, line.to, place_of(in, o->point[0])),
                                  line.own ? -o->value : in->flatness->z[o->point[0]],
                                  o->point[0]};

        status = profile_add_place(out, p, err);
    }
    line.u = line.own ? r->obs[obs[0]].u * sqrt(1.5) : gap_u(in, out, line.start);
    return status == BT_OK ? profile_end(out, line, err) : status;
}

static enum bt_status add_placements(const struct bt_figure_input *in,
                                     struct profiles *out, struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    size_t *order = bt_alloc(r->nobs, sizeof *order), n = 0;
    double *key = bt_alloc(r->nobs, sizeof *key);
    enum bt_status status = BT_OK;

    if (!order || !key)
        status = mesh_no_memory(err);
    for (size_t i = 0; i < r->nobs && status == BT_OK; i++) {
        key[i] = r->obs[i].group;
        if (r->obs[i].kind == BT_READ_GAP && r->obs[i].group >= 0)
            order[n++] = i;
    }
    if (status == BT_OK)
        sort_by_key(n, order, key);
    for (size_t from = 0, to; from < n && status == BT_OK; from = to) {
        to = from + 1;
        while (to < n && r->obs[order[to]].group == r->obs[order[from]].group)
            to++;
        status = add_placement(in, to - from, order + from, out, err);
    }
    bt_free(order);
    bt_free(key);
    return status;
}

/* Places of the grid's row (or column) number k. */
static enum bt_status add_grid_line(const struct bt_figure_input *in,
                                    const struct grid *g, bool row, size_t k,
                                    struct profiles *out, struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    const size_t *which = row ? g->row : g->column;
    struct profile line = {.start = out->nplace, .span = NAN};
    enum bt_status status = BT_OK;

    line.from =
        row ? (struct bt_point){g->x[0], g->y[k]} : (struct bt_point){g->x[k], g->y[0]};
    line.to = row ? (struct bt_point){g->x[g->nx - 1], g->y[k]}
                  : (struct bt_point){g->x[k], g->y[g->ny - 1]};
    for (size_t i = 0; i < r->npoint && status == BT_OK; i++) {
        struct bt_point at = place_of(in, i);

        if (which[i] == k && isfinite(in->flatness->z[i]))
            status =
                profile_add_place(out,
                                  (struct profile_place){along(line.from, line.to, at),
                                                         in->flatness->z[i], i},
                                  err);
    }
    line.u = gap_u(in, out, line.start);
    return status == BT_OK ? profile_end(out, line, err) : status;
}

static enum bt_status add_grid(const struct bt_figure_input *in, struct profiles *out,
                               struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    double same = in->job->same_point > 0 ? in->job->same_point : 0;
    struct grid grid;
    bool found;
    enum bt_status status = BT_OK;

    if (grid_find(r->npoint, r->point, in->flatness->z, same, &grid, &found) != BT_OK)
        status = mesh_no_memory(err);
    for (size_t k = 0; status == BT_OK && found && k < grid.ny; k++)
        status = add_grid_line(in, &grid, true, k, out, err);
    for (size_t k = 0; status == BT_OK && found && k < grid.nx; k++)
        status = add_grid_line(in, &grid, false, k, out, err);
    grid_clear(&grid);
    return status;
}

/* How far a place lies beside the line of a straightedge figure. */
static double beside(const struct profile *line, enum bt_edge_direction direction,
                     struct bt_point p)
{
    double dx = line->to.x - line->from.x, dy = line->to.y - line->from.y;

    if (direction == BT_EDGE_ALONG)
        return fabs(p.y - line->from.y);
    if (direction == BT_EDGE_ACROSS)
        return fabs(p.x - line->from.x);
    if (direction == BT_EDGE_OBLIQUE) {
        dx = cos(line->angle);
        dy = sin(line->angle);
    }
    return fabs((p.x - line->from.x) * dy - (p.y - line->from.y) * dx) / hypot(dx, dy);
}

/* The figure's own contacts among the places in order. */
static void hold_contacts(struct profiles *out, const struct bt_edge_gap *worst)
{
    struct profile *line = &out->profile[out->n - 1];
    const struct profile_place *place = out->place + line->start;
    size_t left = line->count, right = left, deepest = left;

    for (size_t i = 0; i < line->count; i++) {
        left = place[i].point == worst->left ? i : left;
        right = place[i].point == worst->right ? i : right;
        deepest = place[i].point == worst->deepest ? i : deepest;
    }
    if (left > right) {
        size_t other = left;

        left = right;
        right = other;
    }
    if (right == line->count || deepest == line->count)
        return;
    line->left = left;
    line->right = right;
    line->deepest = deepest;
    line->gap = worst->gap;
}

/* As a share of a short edge: how much of the surface is shown beside it. */
#define BESIDE_EDGE 0.4

static enum bt_status add_edge(const struct bt_figure_input *in,
                               const struct bt_edge_result *edge, struct profiles *out,
                               struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    double band = in->band > 0 ? in->band : 2;
    struct profile line = {.start = out->nplace,
                           .span = edge->span,
                           .direction = edge->direction,
                           .angle = edge->angle};
    double reach = edge->span * (1 + BESIDE_EDGE) / 2, middle;
    size_t before = out->n;
    enum bt_status status = BT_OK;

    line.from = place_of(in, edge->worst.left);
    line.to = place_of(in, edge->worst.right);
    direct(&line);
    middle = hypot(line.to.x - line.from.x, line.to.y - line.from.y) / 2;
    for (size_t i = 0; i < r->npoint && status == BT_OK; i++) {
        struct bt_point p = place_of(in, i);
        double s = along(line.from, line.to, p);
        bool contact =
            i == edge->worst.left || i == edge->worst.right || i == edge->worst.deepest;

        if (!isfinite(in->flatness->z[i]) ||
            (!contact && !(beside(&line, edge->direction, p) <= band / 2)) ||
            !(fabs(s - middle) <= reach))
            continue;
        status = profile_add_place(
            out, (struct profile_place){s, in->flatness->z[i], i}, err);
    }
    line.u = gap_u(in, out, line.start);
    if (status == BT_OK)
        status = profile_end(out, line, err);
    if (status == BT_OK && out->n > before)
        hold_contacts(out, &edge->worst);
    return status;
}

/* Ends where the places end, and s from the first of them. */
static void set_ends(const struct bt_figure_input *in, struct profiles *out)
{
    for (size_t k = 0; k < out->n; k++) {
        struct profile *line = &out->profile[k];
        struct profile_place *place = out->place + line->start;
        double first = place[0].s;

        line->from = place_of(in, place[0].point);
        line->to = place_of(in, place[line->count - 1].point);
        for (size_t i = 0; i < line->count; i++)
            place[i].s -= first;
    }
}

enum bt_status profiles_gather(const struct bt_figure_input *in, struct profiles *out,
                               struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    enum bt_status status = add_placements(in, out, err);

    if (status == BT_OK && out->n == 0 && r->npoint <= MESH_DIRECT)
        status = add_grid(in, out, err);
    for (size_t k = 0; k < in->nedge && status == BT_OK; k++)
        if (in->edge[k].seen && in->edge[k].worst.gap > 0)
            status = add_edge(in, &in->edge[k], out, err);
    set_ends(in, out);
    return status;
}
