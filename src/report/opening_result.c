/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/opening_result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/movement_year.h"

/* ---- walls ---- */

/* Stations of one wall, to be freed. */
struct stations {
    size_t n;
    double *at, *off, *u;
};

static void clear_stations(struct stations *s)
{
    bt_free(s->at);
    bt_free(s->off);
    bt_free(s->u);
}

static size_t count(const struct bt_job *job, enum bt_opening_kind kind,
                    enum bt_wall wall)
{
    size_t n = 0;

    for (size_t i = 0; i < job->opening.nreading; i++)
        n += job->opening.reading[i].kind == kind &&
             job->opening.reading[i].where == (int)wall;
    return n;
}

static void take_offsets(const struct bt_job *job, enum bt_wall wall,
                         struct stations *s)
{
    for (size_t i = 0; i < job->opening.nreading; i++) {
        const struct bt_opening_reading *r = &job->opening.reading[i];

        if (r->kind != BT_OPENING_OFFSET || r->where != (int)wall)
            continue;
        s->at[s->n] = r->at;
        s->off[s->n] = r->value;
        s->u[s->n++] = r->u;
    }
}

/* Middle of the points of a wall, or of all others. */
static struct bt_point middle_of(const struct bt_job *job, enum bt_wall wall,
                                 bool others)
{
    struct bt_point sum = {0, 0};
    double n = 0;

    for (size_t i = 0; i < job->opening.nreading; i++) {
        const struct bt_opening_reading *r = &job->opening.reading[i];

        if (r->kind != BT_OPENING_POINT || (r->where == (int)wall) == others)
            continue;
        sum.x += r->x;
        sum.y += r->y;
        n++;
    }
    return (struct bt_point){sum.x / n, sum.y / n};
}

/*
 * Offsets of traced points from the line through the two that are farthest apart.  The
 * template may lie turned and mirrored: outward is away from the other walls' points,
 * and stations count from the end that is the wall's first corner, which is that nearer
 * to the wall before it.
 */
static bool take_points(const struct bt_job *job, enum bt_wall wall, bool backwards,
                        struct stations *s)
{
    const struct bt_opening_reading *all = job->opening.reading, *a = NULL, *b = NULL;
    const struct bt_point inside = middle_of(job, wall, true);
    double most = 0, dx, dy, side;

    for (size_t i = 0; i < job->opening.nreading; i++)
        for (size_t k = i + 1; k < job->opening.nreading; k++)
            if (all[i].kind == BT_OPENING_POINT && all[k].kind == BT_OPENING_POINT &&
                all[i].where == (int)wall && all[k].where == (int)wall &&
                hypot(all[i].x - all[k].x, all[i].y - all[k].y) > most) {
                most = hypot(all[i].x - all[k].x, all[i].y - all[k].y);
                a = backwards ? &all[k] : &all[i];
                b = backwards ? &all[i] : &all[k];
            }
    if (!a || isnan(inside.x))
        return false;
    dx = (b->x - a->x) / most;
    dy = (b->y - a->y) / most;
    side = dx * (inside.y - a->y) - dy * (inside.x - a->x) > 0 ? 1 : -1;
    for (size_t i = 0; i < job->opening.nreading; i++) {
        if (all[i].kind != BT_OPENING_POINT || all[i].where != (int)wall)
            continue;
        s->at[s->n] = (all[i].x - a->x) * dx + (all[i].y - a->y) * dy;
        s->off[s->n] = -side * (dx * (all[i].y - a->y) - dy * (all[i].x - a->x));
        s->u[s->n++] = all[i].u;
    }
    return true;
}

/* Whether the farthest pair, in the order in which it was typed, runs against the
 * wall's direction: its start is the end nearer to the neighbour that meets it there.
 */
static bool runs_backwards(const struct bt_job *job, enum bt_wall wall)
{
    static const enum bt_wall before[BT_WALLS] = {BT_WALL_LEFT, BT_WALL_BACK,
                                                  BT_WALL_LEFT, BT_WALL_BACK};
    static const enum bt_wall after[BT_WALLS] = {BT_WALL_RIGHT, BT_WALL_FRONT,
                                                 BT_WALL_RIGHT, BT_WALL_FRONT};
    const struct bt_opening_reading *all = job->opening.reading, *a = NULL, *b = NULL;
    struct bt_point to;
    double most = 0, ahead;

    for (size_t i = 0; i < job->opening.nreading; i++)
        for (size_t k = i + 1; k < job->opening.nreading; k++)
            if (all[i].kind == BT_OPENING_POINT && all[k].kind == BT_OPENING_POINT &&
                all[i].where == (int)wall && all[k].where == (int)wall &&
                hypot(all[i].x - all[k].x, all[i].y - all[k].y) > most) {
                most = hypot(all[i].x - all[k].x, all[i].y - all[k].y);
                a = &all[i];
                b = &all[k];
            }
    if (!a)
        return false;
    if (count(job, BT_OPENING_POINT, before[wall])) {
        to = middle_of(job, before[wall], false);
        ahead = -1;
    } else if (count(job, BT_OPENING_POINT, after[wall])) {
        to = middle_of(job, after[wall], false);
        ahead = 1;
    } else {
        return false;
    }
    /* the neighbour before lies behind the start */
    return ahead * ((b->x - a->x) * (to.x - (a->x + b->x) / 2) +
                    (b->y - a->y) * (to.y - (a->y + b->y) / 2)) <
           0;
}

static enum bt_status find_profile(struct bt_opening_answer *a, enum bt_wall wall,
                                   struct bt_error *err)
{
    const size_t offsets = count(a->job, BT_OPENING_OFFSET, wall);
    const size_t points = count(a->job, BT_OPENING_POINT, wall);
    const size_t room = offsets > points ? offsets : points;
    struct stations s = {0, bt_alloc(room, sizeof *s.at), bt_alloc(room, sizeof *s.off),
                         bt_alloc(room, sizeof *s.u)};
    enum bt_status status;

    if (!s.at || !s.off || !s.u) {
        clear_stations(&s);
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    }
    if (offsets)
        take_offsets(a->job, wall, &s);
    else if (points >= 3)
        a->traced[wall] = take_points(a->job, wall, runs_backwards(a->job, wall), &s);
    status = bt_wall_profile_find(s.n, s.at, s.off, s.u, &a->profile[wall], err);
    clear_stations(&s);
    return status;
}

/* ---- movement ---- */

static bool states_species(const struct bt_job *job)
{
    for (size_t i = 0; i < job->nboard; i++)
        if (!*job->board[i].species && !*job->panel.species)
            return false;
    return job->nboard || *job->panel.species;
}

/* Of a piece of that size, by the same reckoning as `movement`. */
static enum bt_status find_movement(struct bt_opening_answer *a,
                                    const struct bt_piece *piece, struct bt_error *err)
{
    const struct bt_movement_piece of = {.opening = &a->plan, .fitted = piece};
    struct bt_movement_answer year;
    enum bt_status status = bt_movement_year_find(a->job, &of, &year, err);

    if (status == BT_OK) {
        memcpy(a->wood, year.wood[0].name, sizeof year.wood[0].name);
        a->whole = year.whole;
        a->back_edge = year.back;
        a->front_edge = year.front;
        a->fixed = year.seasons.fixed;
        a->fixed_why = year.fixed_why;
        a->now_from = year.now_from;
        a->movement_known = true;
    }
    bt_movement_answer_clear(&year);
    return status;
}

/* About as wide as the piece will be: how far it moves decides the joints, and the
 * joints its width. */
static struct bt_piece about(const struct bt_opening_answer *a)
{
    const double depth = fmax(a->quad.figure[BT_QUAD_DEPTH_LEFT].value,
                              a->quad.figure[BT_QUAD_DEPTH_RIGHT].value);
    const double over = a->plan.front_wall ? 0 : fmax(a->plan.overhang, 0);

    return (struct bt_piece){.length = NAN,
                             .width = depth + over - fmax(a->plan.back_joint, 0)};
}

static bool states_climate(const struct bt_job *job)
{
    return !isnan(job->climate.driest.moisture) &&
           !isnan(job->climate.dampest.moisture) && states_species(job);
}

/* ---- the piece ---- */

static void find_way_in(struct bt_opening_answer *a)
{
    const struct bt_piece *p = &a->piece;
    const bool above = a->plan.from_above || a->plan.front_wall;

    a->height_needed = NAN;
    if (above) {
        a->level = true;
        a->height_needed = a->plan.thickness;
    } else if (p->insert.turning == BT_TURN_NOT_FOUND ||
               p->insert.turning == BT_TURN_IMPOSSIBLE) {
        a->tilts = true;
        if (p->tilt_known)
            a->height_needed = p->tilt_in.height;
    }
}

static void compare_panel(struct bt_opening_answer *a)
{
    const struct bt_panel *panel = &a->job->panel;

    if (panel->length < a->piece.length)
        a->panel_short = a->piece.length - panel->length;
    if (panel->width < a->piece.width)
        a->panel_narrow = a->piece.width - panel->width;
}

static bool joint_too_small(const struct bt_piece *p)
{
    for (int wall = 0; wall < BT_WALLS; wall++)
        if (p->gap[wall].too_small)
            return true;
    return false;
}

/* The way that is left does not work, or goes beyond the headroom. */
static bool no_way_in(const struct bt_opening_answer *a)
{
    if (a->tilts && a->piece.tilt_known && !a->piece.tilt_in.possible)
        return true;
    return (a->tilts || a->level) && a->height_needed > a->plan.headroom;
}

static enum bt_opening_fault gravest(const struct bt_opening_answer *a)
{
    if (!a->has_piece)
        return BT_OPENING_UNSEEN;
    if (a->quad.contradiction)
        return BT_OPENING_DISAGREES;
    if (no_way_in(a))
        return BT_OPENING_NO_WAY_IN;
    if (a->panel_short > 0 || a->panel_narrow > 0)
        return BT_OPENING_PANEL;
    if (joint_too_small(&a->piece))
        return BT_OPENING_SMALL_JOINT;
    if (a->piece.scribe_over)
        return BT_OPENING_SCRIBE;
    if (a->tilts && (isnan(a->plan.headroom) || isnan(a->height_needed)))
        return BT_OPENING_HEADROOM;
    return BT_OPENING_FITS;
}

static enum bt_status find_piece(struct bt_opening_answer *a, struct bt_error *err)
{
    struct bt_piece_request request = {&a->quad, a->profile, a->plan, NAN,
                                       NAN,      NAN,        NAN};
    const struct bt_piece guess = about(a);
    const bool moves = states_climate(a->job) && guess.width > 0;
    enum bt_status status = moves ? find_movement(a, &guess, err) : BT_OK;

    if (status != BT_OK)
        return status;
    if (moves) {
        request.wider = fmax(0, a->front_edge.damp);
        request.narrower = fmax(0, -a->front_edge.dry);
        request.back_wider = fmax(0, -a->back_edge.damp);
        request.back_narrower = fmax(0, a->back_edge.dry);
    }
    status = bt_piece_find(&request, a->job->system, &a->piece, err);
    if (status == BT_OK && moves)
        status = find_movement(a, &a->piece, err);
    a->has_piece = status == BT_OK;
    if (!a->has_piece)
        return status;
    if (moves && !a->plan.front_wall) {
        a->piece.overhang_driest = a->piece.overhang + a->front_edge.dry;
        a->piece.overhang_dampest = a->piece.overhang + a->front_edge.damp;
    }
    find_way_in(a);
    compare_panel(a);
    return status;
}

enum bt_status bt_opening_answer_find(const struct bt_job *job,
                                      struct bt_opening_answer *out,
                                      struct bt_error *err)
{
    enum bt_status status = BT_OK;

    memset(out, 0, sizeof *out);
    out->job = job;
    out->plan = job->opening.plan;
    out->height_needed = NAN;
    if (isnan(out->plan.thickness))
        out->plan.thickness = job->panel.thickness;
    if (!job->opening.nreading)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "nothing is known of the opening: write opening.csv with a "
                            "row for each side and one diagonal");
    for (int wall = 0; wall < BT_WALLS && status == BT_OK; wall++)
        status = find_profile(out, (enum bt_wall)wall, err);
    if (status == BT_OK)
        status = bt_quad_fit(job->opening.nreading, job->opening.reading, out->profile,
                             out->traced, job->system, &out->quad, err);
    if (status == BT_OK && !isnan(out->quad.cov[0]))
        status = find_piece(out, err);
    if (status == BT_OK)
        out->fault = gravest(out);
    return status;
}

void bt_opening_answer_clear(struct bt_opening_answer *answer)
{
    if (!answer)
        return;
    for (int wall = 0; wall < BT_WALLS; wall++)
        bt_wall_profile_clear(&answer->profile[wall]);
    bt_quad_clear(&answer->quad);
    bt_piece_clear(&answer->piece);
    memset(answer, 0, sizeof *answer);
}

enum bt_verdict bt_opening_answer_verdict(const struct bt_opening_answer *answer)
{
    switch (answer->fault) {
    case BT_OPENING_FITS:
        return BT_WITHIN;
    case BT_OPENING_UNSEEN:
    case BT_OPENING_HEADROOM:
        return BT_NOT_SEEN;
    case BT_OPENING_DISAGREES:
        return BT_TOO_CLOSE;
    default:
        return BT_OVER;
    }
}
