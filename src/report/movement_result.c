/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/movement_result.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/movement_form.h"
#include "report/movement_year.h"

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* ---- verdicts ---- */

static enum bt_verdict verdict_of(double p, double confidence)
{
    if (isnan(p))
        return BT_NOT_SEEN;
    return p >= confidence ? BT_WITHIN : p <= 1 - confidence ? BT_OVER : BT_TOO_CLOSE;
}

/* The worse of two: over, too close, not seen, within. */
static enum bt_verdict worse(enum bt_verdict a, enum bt_verdict b)
{
    static const enum bt_verdict order[] = {BT_OVER, BT_TOO_CLOSE, BT_NOT_SEEN};

    for (size_t i = 0; i < sizeof order / sizeof *order; i++)
        if (a == order[i] || b == order[i])
            return order[i];
    return BT_WITHIN;
}

/* ---- fixings ---- */

/* The lightest board: whichever the screw is in. */
static double least_gravity(const struct bt_movement_answer *a)
{
    double least = NAN;

    for (size_t i = 0; i < a->nboard; i++)
        least = fmin(least, a->wood[i].density.value / 1120); /* wood.h */
    return least;
}

static double p_holds(const struct bt_hold *hold)
{
    if (isinf(hold->both))
        return 1;
    return gsl_cdf_ugaussian_P((hold->both - hold->share) /
                               (BT_HOLD_SCATTER * hold->both));
}

static bool holds_line(const struct bt_movement_answer *a, size_t i)
{
    return a->fixing[i].way.travel <= 1 &&
           fabs(a->job->fixing.fixing[i].y - a->seasons.fixed) <= a->width / 10;
}

static enum bt_status find_fixing(struct bt_movement_answer *a, size_t i,
                                  struct bt_error *err)
{
    const struct bt_fixing *f = &a->job->fixing.fixing[i];
    const double load = a->job->fixing.load, gravity = least_gravity(a);
    struct bt_movement_fixing *out = &a->fixing[i];
    /* an edge is not quite straight: fixings lie on the panel or just beyond */
    const double y = fmin(fmax(f->y, 0), a->width);
    struct bt_season_change change;
    const enum bt_status status = bt_seasons_shift(&a->seasons, y, &change, err);

    if (status != BT_OK)
        return status;
    out->way = bt_fixing_way(f, &change, y < a->seasons.fixed ? -1 : 1, a->confidence);
    out->hold = bt_hold_of(f, gravity, gravity, load / (double)a->nfixing);
    out->moves = verdict_of(out->way.p_enough, a->confidence);
    out->holds = isnan(load) ? BT_WITHIN
                 : isnan(out->hold.both)
                     ? BT_NOT_SEEN
                     : verdict_of(p_holds(&out->hold), a->confidence);
    a->anchored |= holds_line(a, i);
    return BT_OK;
}

static enum bt_status find_pair(struct bt_movement_answer *a, struct bt_error *err)
{
    struct bt_fixing_way *way = bt_alloc(a->nfixing, sizeof *way);
    enum bt_status status = way ? BT_OK : no_memory(err);

    for (size_t i = 0; status == BT_OK && i < a->nfixing; i++)
        way[i] = a->fixing[i].way;
    if (status == BT_OK)
        status = bt_fixing_pair_find(&a->seasons, a->nfixing, a->job->fixing.fixing,
                                     way, &a->pair, err);
    a->pair_verdict = BT_WITHIN;
    if (status == BT_OK && a->pair.held)
        a->pair_verdict = verdict_of(
            gsl_cdf_ugaussian_P((a->pair.gives - a->pair.movement) / a->pair.u),
            a->confidence);
    bt_free(way);
    return status;
}

/* ---- ends and walls ---- */

static void find_ends(struct bt_movement_answer *a)
{
    const struct bt_fixing_setup *setup = &a->job->fixing;
    const struct bt_edge_room *edge[2];

    a->ends = bt_ends_room(setup, &a->back, &a->front, a->confidence);
    edge[0] = &a->ends.back;
    edge[1] = &a->ends.front;
    a->ends_verdict = BT_WITHIN;
    if (setup->ends == BT_ENDS_NONE)
        return;
    for (int i = 0; i < 2; i++) {
        a->ends_verdict =
            worse(a->ends_verdict, verdict_of(edge[i]->p_room, a->confidence));
        if (setup->ends == BT_ENDS_FRAME)
            a->ends_verdict =
                worse(a->ends_verdict, verdict_of(edge[i]->p_holds, a->confidence));
    }
}

/* Of the fitted piece as it is to be cut; a stated one that is too small stays as it is
 * stated, so that it is told. */
static double joint_of(const struct bt_movement_piece *piece, enum bt_wall wall)
{
    const struct bt_opening_plan *plan = piece->opening;
    const double stated = wall == BT_WALL_BACK ? plan->back_joint : plan->joint;

    if (!piece->fitted || piece->fitted->gap[wall].too_small)
        return stated;
    return piece->fitted->gap[wall].taken;
}

/* How far an end goes to its wall and away from it, with u. */
struct reach {
    double out, u_out, in, u_in;
};

/* A place of a slanted end that the wood carries across by `shift` slides along the
 * wall: its joint closes by the sine of the slant. */
static void slide(struct reach *r, double slant, double shift, double u)
{
    const double close = slant * shift;

    if (close > r->out) {
        r->out = close;
        r->u_out = fabs(slant) * u;
    }
    if (-close > r->in) {
        r->in = -close;
        r->u_in = fabs(slant) * u;
    }
}

/* The sine of the slant, positive where the space narrows towards the front. */
static double slant_of(const struct bt_movement_piece *piece, enum bt_wall wall)
{
    for (int k = 0; piece->fitted && k < 4; k++) {
        const struct bt_cut *cut = &piece->fitted->cut[k];

        if (cut->edge == wall && cut->over > 0)
            return (wall == BT_WALL_LEFT ? 1 : -1) * cut->offset /
                   hypot(cut->offset, cut->over);
    }
    return 0;
}

/* Left and right the piece is held by its middle: half of its length to each side; and
 * where the wall is not square to the back, what the width does counts, too. */
static struct reach reach_of_end(const struct bt_movement_answer *a,
                                 const struct bt_movement_piece *piece,
                                 enum bt_wall wall)
{
    const double slant = slant_of(piece, wall);
    struct reach r = {0};

    slide(&r, slant, a->front.damp, a->front.u_damp);
    slide(&r, slant, a->front.dry, a->front.u_dry);
    slide(&r, slant, a->back.damp, a->back.u_damp);
    slide(&r, slant, a->back.dry, a->back.u_dry);
    r.out += fmax(0, a->length_change.damp / 2);
    r.in += fmax(0, -a->length_change.dry / 2);
    r.u_out = hypot(r.u_out, a->length_change.u_damp / 2);
    r.u_in = hypot(r.u_in, a->length_change.u_dry / 2);
    return r;
}

static void find_wall(struct bt_movement_answer *a,
                      const struct bt_movement_piece *piece, enum bt_wall wall)
{
    const bool side = wall == BT_WALL_LEFT || wall == BT_WALL_RIGHT;
    const struct bt_edge_room *across =
        wall == BT_WALL_BACK ? &a->ends.back : &a->ends.front;
    const double sealant = piece->opening->sealant, joint = joint_of(piece, wall);
    const struct reach r = side ? reach_of_end(a, piece, wall)
                                : (struct reach){across->outwards, across->u_outwards,
                                                 across->inwards, across->u_inwards};

    if (!(joint > 0) || (wall == BT_WALL_FRONT && !piece->opening->front_wall))
        return;
    a->wall[wall] = true;
    a->seal[wall] =
        bt_seal_of(joint, sealant / 100, r.out, r.u_out, r.in, r.u_in, a->confidence);
    a->seal_verdict[wall] = verdict_of(a->seal[wall].p_clear, a->confidence);
    if (!isnan(sealant))
        a->seal_verdict[wall] = worse(a->seal_verdict[wall],
                                      verdict_of(a->seal[wall].p_takes, a->confidence));
}

static void find_walls(struct bt_movement_answer *a,
                       const struct bt_movement_piece *piece)
{
    for (int wall = 0; wall < BT_WALLS; wall++) {
        a->seal[wall] = bt_seal_of(NAN, NAN, NAN, NAN, NAN, NAN, a->confidence);
        a->seal_verdict[wall] = BT_WITHIN;
        if (piece && piece->opening)
            find_wall(a, piece, (enum bt_wall)wall);
    }
}

/* ---- all ---- */

enum bt_status bt_movement_answer_find(const struct bt_job *job,
                                       const struct bt_movement_piece *piece,
                                       struct bt_movement_answer *out,
                                       struct bt_error *err)
{
    enum bt_status status = bt_movement_year_find(job, piece, out, err);

    if (status != BT_OK)
        return status;
    out->nfixing = job->fixing.n;
    out->fixing = bt_alloc(out->nfixing, sizeof *out->fixing);
    if (!out->fixing)
        return no_memory(err);
    for (size_t i = 0; status == BT_OK && i < out->nfixing; i++)
        status = find_fixing(out, i, err);
    if (status == BT_OK)
        status = find_pair(out, err);
    if (status != BT_OK)
        return status;
    find_ends(out);
    find_walls(out, piece);
    return bt_movement_form_find(out, err);
}

enum bt_verdict bt_movement_answer_verdict(const struct bt_movement_answer *answer)
{
    enum bt_verdict verdict = worse(answer->pair_verdict, answer->ends_verdict);

    for (size_t i = 0; i < answer->nfixing; i++)
        verdict =
            worse(verdict, worse(answer->fixing[i].moves, answer->fixing[i].holds));
    for (int wall = 0; wall < BT_WALLS; wall++)
        verdict = worse(verdict, answer->seal_verdict[wall]);
    return verdict;
}

bool bt_movement_answer_judges(const struct bt_movement_answer *answer)
{
    bool judges = answer->nfixing > 0 || answer->job->fixing.ends != BT_ENDS_NONE;

    for (int wall = 0; wall < BT_WALLS; wall++)
        judges |= answer->wall[wall];
    return judges;
}
