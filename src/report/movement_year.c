/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/movement_year.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/joint_wood.h"

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

/* ---- the piece ---- */

static enum bt_status take_memory(struct bt_movement_answer *a, struct bt_error *err)
{
    const size_t most = a->job->nboard ? a->job->nboard : 1;

    a->row = bt_alloc(most, sizeof *a->row);
    a->turned = bt_alloc(most, sizeof *a->turned);
    a->wood = bt_alloc(most, sizeof *a->wood);
    a->board = bt_alloc(most, sizeof *a->board);
    a->each = bt_alloc(most, sizeof *a->each);
    a->ring = bt_alloc(most, sizeof *a->ring);
    return a->row && a->turned && a->wood && a->board && a->each && a->ring
               ? BT_OK
               : no_memory(err);
}

static bool in_an_opening(const struct bt_movement_piece *piece)
{
    const struct bt_opening_plan *plan = piece->opening;

    return piece->fitted ||
           (plan && (plan->front_wall || plan->joint >= 0 || plan->back_joint >= 0 ||
                     plan->clearance >= 0 || plan->overhang >= 0));
}

static void take_fixed(struct bt_movement_answer *a,
                       const struct bt_movement_piece *piece)
{
    const struct bt_fixing_setup *setup = &a->job->fixing;

    a->home = piece && in_an_opening(piece) &&
              !(piece->opening && piece->opening->back_joint > 0);
    a->seasons.fixed = bt_fixed_line_at(setup, a->width);
    a->fixed_why = BT_FIXED_AS_STATED;
    if (setup->fixed != BT_FIXED_NOT_STATED)
        return;
    a->fixed_why = a->home ? BT_FIXED_AT_HOME : BT_FIXED_AT_MIDDLE;
    if (a->home)
        a->seasons.fixed = 0;
}

static double first_of(double a, double b)
{
    return isnan(a) ? b : a;
}

static enum bt_status take_size(struct bt_movement_answer *a,
                                const struct bt_movement_piece *piece,
                                struct bt_error *err)
{
    const struct bt_job *job = a->job;
    double sum = 0;

    for (size_t i = 0; i < job->nboard; i++)
        sum += job->board[i].width;
    a->boards_width = job->nboard ? sum : NAN;
    a->fitted = piece ? piece->fitted : NULL;
    a->length =
        a->fitted ? a->fitted->length : first_of(job->layout.length, job->panel.length);
    a->width = a->fitted ? a->fitted->width
                         : first_of(job->layout.width,
                                    first_of(job->panel.width, a->boards_width));
    a->size = a->fitted                   ? BT_SIZE_OPENING
              : !isnan(job->layout.width) ? BT_SIZE_LAYOUT
              : !isnan(job->panel.width)  ? BT_SIZE_PANEL
                                          : BT_SIZE_BOARDS;
    if (isnan(a->width))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no width is stated: write width in [panel] of job.ini, or "
                            "boards.csv");
    return BT_OK;
}

/* ---- strips ---- */

static void add_strip(struct bt_movement_answer *a, size_t row, bool turned,
                      double width)
{
    a->row[a->nboard] = row;
    a->turned[a->nboard] = turned;
    a->board[a->nboard++].width = width;
}

static bool take_plan(struct bt_movement_answer *a, const struct bt_layout_plan *plan)
{
    if (!plan || !plan->found || !(plan->start[plan->n - 1] < a->width))
        return false;
    a->strips = BT_STRIPS_PLAN;
    for (size_t k = 0; k < plan->n; k++)
        add_strip(a, plan->board[k], plan->turned[k],
                  (k + 1 < plan->n ? plan->start[k + 1] : a->width) - plan->start[k]);
    return true;
}

/* What is cut off at the back of `excess`. */
static double trim_at_back(const struct bt_job *job, double excess)
{
    const double first = job->board[0].width, last = job->board[job->nboard - 1].width;

    switch (job->layout.trim) {
    case BT_TRIM_BACK:
        return excess;
    case BT_TRIM_FRONT:
        return 0;
    case BT_TRIM_EQUAL:
        return fmin(fmax((excess + first - last) / 2, 0), excess);
    case BT_TRIM_ANY:
        break;
    }
    return excess / 2;
}

static void take_trimmed(struct bt_movement_answer *a)
{
    const struct bt_job *job = a->job;
    const double excess = a->boards_width - a->width;
    double y = -trim_at_back(job, excess);

    a->strips = BT_STRIPS_TRIMMED;
    a->trim_back = -y;
    a->trim_front = excess - a->trim_back;
    for (size_t i = 0; i < job->nboard; i++) {
        const double end = y + job->board[i].width;
        const double in = fmin(end, a->width) - fmax(y, 0);

        /* a board of which only the last bits are left is gone */
        if (in > 1e-6)
            add_strip(a, i, false, in);
        y = end;
    }
}

static void take_strips(struct bt_movement_answer *a, const struct bt_layout_plan *plan)
{
    const struct bt_job *job = a->job;
    const double over = a->boards_width - a->width;

    if (job->nboard == 0) {
        a->strips = BT_STRIPS_PANEL;
        add_strip(a, 0, false, a->width);
        return;
    }
    if (take_plan(a, plan))
        return;
    if (over > MISS_LIMIT &&
        (a->size == BT_SIZE_LAYOUT || a->size == BT_SIZE_OPENING)) {
        take_trimmed(a);
        return;
    }
    a->strips = fabs(over) > MISS_LIMIT ? BT_STRIPS_SCALED : BT_STRIPS_LISTED;
    for (size_t i = 0; i < job->nboard; i++)
        add_strip(a, i, false, job->board[i].width * a->width / a->boards_width);
}

static enum bt_status take_boards(struct bt_movement_answer *a, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    for (size_t i = 0; status == BT_OK && i < a->nboard; i++) {
        const struct bt_board *row = bt_movement_row(a, i);

        status = bt_joint_wood(a->job, a->row[i], &a->wood[i], err);
        if (status != BT_OK && err)
            err->row = a->row[i];
        a->board[i].wood = &a->wood[i];
        if (row)
            a->board[i].angle = row->ring_angle;
        else
            bt_ring_angle_find("", 0, &a->board[i].angle);
    }
    a->seasons.n = a->nboard;
    a->seasons.board = a->board;
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
    a->length_change = bt_seasons_along(s, a->length);
    return status;
}

const struct bt_board *bt_movement_row(const struct bt_movement_answer *answer,
                                       size_t i)
{
    return answer->job->nboard ? &answer->job->board[answer->row[i]] : NULL;
}

enum bt_status bt_movement_year_find(const struct bt_job *job,
                                     const struct bt_movement_piece *piece,
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
        status = take_size(out, piece, err);
    if (status != BT_OK)
        return status;
    take_strips(out, piece ? piece->plan : NULL);
    take_fixed(out, piece);
    status = take_boards(out, err);
    if (status == BT_OK)
        status = find_changes(out, err);
    return status;
}

void bt_movement_answer_clear(struct bt_movement_answer *answer)
{
    if (!answer)
        return;
    bt_free(answer->row);
    bt_free(answer->turned);
    bt_free(answer->wood);
    bt_free(answer->board);
    bt_free(answer->each);
    bt_free(answer->ring);
    bt_free(answer->fixing);
    memset(answer, 0, sizeof *answer);
}
