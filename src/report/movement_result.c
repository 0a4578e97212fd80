/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/movement_result.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/joint_wood.h"
#include "report/movement_form.h"

/* As for the joints of boards.csv, mm. */
#define MISS_LIMIT 2.0

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* ---- moisture ---- */

static double mean_moisture(const struct bt_job *job)
{
    double sum = 0;
    size_t n = 0;

    for (size_t i = 0; i < job->nboard; i++)
        if (!isnan(job->board[i].moisture)) {
            sum += job->board[i].moisture;
            n++;
        }
    return n ? sum / (double)n : NAN;
}

static void take_now(struct bt_movement_answer *a)
{
    const struct bt_job *job = a->job;
    const size_t latest = bt_job_latest(job);
    const struct bt_set *set = latest < job->nset ? &job->set[latest] : NULL;
    struct bt_season air = {.moisture = NAN};

    if (set)
        bt_season_of_air(set->temperature, set->humidity, &air, NULL);
    a->seasons.now = job->climate.now.moisture;
    a->now_from = BT_NOW_STATED;
    if (isnan(a->seasons.now) && set && !isnan(set->moisture)) {
        a->seasons.now = set->moisture;
        a->now_from = BT_NOW_SET_MOISTURE;
    }
    if (isnan(a->seasons.now) && !isnan(air.moisture)) {
        a->seasons.now = air.moisture;
        a->now_from = BT_NOW_SET_AIR;
    }
    if (a->now_from != BT_NOW_STATED)
        a->now_set = set->name;
    if (isnan(a->seasons.now)) {
        a->seasons.now = mean_moisture(job);
        a->now_from = BT_NOW_BOARDS;
    }
    if (isnan(a->seasons.now)) {
        a->seasons.now = (a->seasons.driest + a->seasons.dampest) / 2;
        a->now_from = BT_NOW_MIDDLE;
    }
}

static double u_of(const struct bt_season *season)
{
    return isnan(season->humidity) ? BT_SEASONS_U_METER : BT_SEASONS_U_AIR;
}

static enum bt_status take_climate(struct bt_movement_answer *a, struct bt_error *err)
{
    const struct bt_climate *climate = &a->job->climate;

    if (isnan(climate->driest.moisture) || isnan(climate->dampest.moisture))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no climate is stated: write driest and dampest in "
                            "[climate] of job.ini, as 30 %% at 20 C, or the moisture "
                            "of the wood, as 7 %%");
    a->seasons.driest = climate->driest.moisture;
    a->seasons.dampest = climate->dampest.moisture;
    a->seasons.u_driest = u_of(&climate->driest);
    a->seasons.u_dampest = u_of(&climate->dampest);
    take_now(a);
    a->seasons.u_now = a->now_from == BT_NOW_SET_AIR || (a->now_from == BT_NOW_STATED &&
                                                         !isnan(climate->now.humidity))
                           ? BT_SEASONS_U_AIR
                           : BT_SEASONS_U_METER;
    /* anywhere between the seasons */
    if (a->now_from == BT_NOW_MIDDLE)
        a->seasons.u_now = (a->seasons.dampest - a->seasons.driest) / sqrt(12);
    return BT_OK;
}

/* ---- boards ---- */

static enum bt_status take_memory(struct bt_movement_answer *a, struct bt_error *err)
{
    a->nboard = a->job->nboard ? a->job->nboard : 1;
    a->nfixing = a->job->fixing.n;
    a->wood = bt_alloc(a->nboard, sizeof *a->wood);
    a->board = bt_alloc(a->nboard, sizeof *a->board);
    a->each = bt_alloc(a->nboard, sizeof *a->each);
    a->ring = bt_alloc(a->nboard, sizeof *a->ring);
    a->fixing = bt_alloc(a->nfixing, sizeof *a->fixing);
    return a->wood && a->board && a->each && a->ring && a->fixing ? BT_OK
                                                                  : no_memory(err);
}

static enum bt_status take_widths(struct bt_movement_answer *a, struct bt_error *err)
{
    const struct bt_job *job = a->job;
    double sum = 0;

    for (size_t i = 0; i < job->nboard; i++)
        sum += job->board[i].width;
    a->one_piece = job->nboard == 0;
    a->boards_width = a->one_piece ? NAN : sum;
    a->width = isnan(job->panel.width) ? a->boards_width : job->panel.width;
    if (isnan(a->width))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no width is stated: write width in [panel] of job.ini, or "
                            "boards.csv");
    a->scaled = fabs(sum - a->width) > MISS_LIMIT && !a->one_piece;
    for (size_t i = 0; i < a->nboard; i++)
        a->board[i].width =
            a->one_piece ? a->width : job->board[i].width * a->width / sum;
    return BT_OK;
}

static enum bt_status take_boards(struct bt_movement_answer *a, struct bt_error *err)
{
    enum bt_status status = take_widths(a, err);

    for (size_t i = 0; status == BT_OK && i < a->nboard; i++) {
        status = bt_joint_wood(a->job, i, &a->wood[i], err);
        if (status != BT_OK && err)
            err->row = i;
        a->board[i].wood = &a->wood[i];
        if (a->one_piece)
            bt_ring_angle_find("", 0, &a->board[i].angle);
        else
            a->board[i].angle = a->job->board[i].ring_angle;
    }
    a->seasons.n = a->nboard;
    a->seasons.board = a->board;
    a->seasons.fixed = bt_fixed_line_at(&a->job->fixing, a->width);
    return status;
}

static enum bt_status find_changes(struct bt_movement_answer *a, struct bt_error *err)
{
    const struct bt_seasons *s = &a->seasons;
    enum bt_status status = bt_seasons_width(s, &a->whole, err);
    double y = 0;

    if (status == BT_OK)
        status = bt_seasons_shift(s, 0, &a->back, err);
    if (status == BT_OK)
        status = bt_seasons_shift(s, a->width, &a->front, err);
    for (size_t i = 0; status == BT_OK && i < a->nboard; i++) {
        status = bt_seasons_between(s, y, y + a->board[i].width, &a->each[i], err);
        y += a->board[i].width;
    }
    a->length = bt_seasons_along(s, a->job->panel.length);
    return status;
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

/* Left and right the piece is held by its middle: half of its length to each side. */
static void find_wall(struct bt_movement_answer *a, const struct bt_opening_plan *plan,
                      enum bt_wall wall)
{
    const bool side = wall == BT_WALL_LEFT || wall == BT_WALL_RIGHT;
    const struct bt_edge_room *across =
        wall == BT_WALL_BACK ? &a->ends.back : &a->ends.front;
    const double joint = wall == BT_WALL_BACK && !isnan(plan->back_joint)
                             ? plan->back_joint
                             : plan->joint;
    const double out = side ? fmax(0, a->length.damp / 2) : across->outwards;
    const double in = side ? fmax(0, -a->length.dry / 2) : across->inwards;

    if (!(joint > 0) || (wall == BT_WALL_FRONT && !plan->front_wall))
        return;
    a->wall[wall] = true;
    a->seal[wall] =
        bt_seal_of(joint, plan->sealant / 100, out,
                   side ? a->length.u_damp / 2 : across->u_outwards, in,
                   side ? a->length.u_dry / 2 : across->u_inwards, a->confidence);
    a->seal_verdict[wall] = verdict_of(a->seal[wall].p_clear, a->confidence);
    if (!isnan(plan->sealant))
        a->seal_verdict[wall] = worse(a->seal_verdict[wall],
                                      verdict_of(a->seal[wall].p_takes, a->confidence));
}

static void find_walls(struct bt_movement_answer *a, const struct bt_opening_plan *plan)
{
    for (int wall = 0; wall < BT_WALLS; wall++) {
        a->seal[wall] = bt_seal_of(NAN, NAN, NAN, NAN, NAN, NAN, a->confidence);
        a->seal_verdict[wall] = BT_WITHIN;
        if (plan)
            find_wall(a, plan, (enum bt_wall)wall);
    }
}

/* ---- all ---- */

enum bt_status bt_movement_answer_find(const struct bt_job *job,
                                       const struct bt_opening_plan *opening,
                                       struct bt_movement_answer *out,
                                       struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    out->confidence = job->limits.confidence;
    out->now_set = "";
    status = take_climate(out, err);
    if (status == BT_OK)
        status = take_memory(out, err);
    if (status == BT_OK)
        status = take_boards(out, err);
    if (status == BT_OK)
        status = find_changes(out, err);
    for (size_t i = 0; status == BT_OK && i < out->nfixing; i++)
        status = find_fixing(out, i, err);
    if (status == BT_OK)
        status = find_pair(out, err);
    if (status != BT_OK)
        return status;
    find_ends(out);
    find_walls(out, opening);
    return bt_movement_form_find(out, err);
}

void bt_movement_answer_clear(struct bt_movement_answer *answer)
{
    if (!answer)
        return;
    bt_free(answer->wood);
    bt_free(answer->board);
    bt_free(answer->each);
    bt_free(answer->ring);
    bt_free(answer->fixing);
    memset(answer, 0, sizeof *answer);
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
