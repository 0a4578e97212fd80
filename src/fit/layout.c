/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/layout.h"

#include <math.h>
#include <string.h>

#include "fit/layout_private.h"

/* More than any board or panel has, so that sums of areas stay whole numbers. */
#define WIDTH_MOST 2000.0
#define LENGTH_MOST 20000.0
#define PANEL_MOST 50000.0

static enum bt_status refuse(struct bt_error *err, size_t row, const char *why)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", why);
}

static enum bt_status check_boards(const struct bt_layout_request *r,
                                   struct bt_error *err)
{
    if (r->nboard == 0)
        return refuse(err, 0, "no board: there is nothing to lay out");
    if (r->nboard > BT_LAYOUT_BOARDS)
        return bt_error_set(err, BT_EINPUT, r->nboard, 0,
                            "%zu boards: a layout takes at most %d, leave out those "
                            "that you would use last",
                            r->nboard, (int)BT_LAYOUT_BOARDS);
    for (size_t i = 0; i < r->nboard; i++) {
        if (!(r->board[i].width > 0) || !(r->board[i].width <= WIDTH_MOST))
            return refuse(err, i, "the width of a board is not over 0 and up to 2 m");
        if (!isnan(r->board[i].length) &&
            (!(r->board[i].length > 0) || !(r->board[i].length <= LENGTH_MOST)))
            return refuse(err, i, "the length of a board is not over 0 and up to 20 m");
    }
    return BT_OK;
}

static bool is_length(double mm)
{
    return mm >= 0 && mm <= PANEL_MOST;
}

static enum bt_status check_rules(const struct bt_layout_request *r,
                                  struct bt_error *err)
{
    if (!(r->width > 0) || !is_length(r->width))
        return refuse(err, 0, "the width of the piece is not over 0 and up to 50 m");
    if (!(r->length > 0) || !(r->length <= LENGTH_MOST))
        return refuse(err, 0, "the length of the piece is not over 0 and up to 20 m");
    if (!is_length(r->back_taper) || !is_length(r->front_taper) ||
        !is_length(r->back_mean) || !is_length(r->front_mean))
        return refuse(err, 0, "a taper of the outer strips is not 0 to 50 m");
    if (!is_length(r->narrowest) || !is_length(r->jointing) || !is_length(r->spare) ||
        !is_length(r->width_u))
        return refuse(err, 0,
                      "narrowest, jointing, spare or u of a width is not 0 to 50 m");
    if (!isnan(r->centre_at) && !(r->centre_at > 0 && r->centre_at < r->width))
        return refuse(err, 0, "the middle does not lie on the piece");
    if (r->nclear > BT_LAYOUT_CLEARS)
        return bt_error_set(err, BT_EINPUT, r->nclear, 0,
                            "%zu places to keep clear of joints: at most %d", r->nclear,
                            (int)BT_LAYOUT_CLEARS);
    for (size_t i = 0; i < r->nclear; i++)
        if (!(r->clear[i].within > 0) || !is_length(r->clear[i].within) ||
            !is_length(fabs(r->clear[i].y)))
            return refuse(err, i, "a place to keep clear is not within 50 m");
    return BT_OK;
}

/* ---- to whole numbers and back ---- */

/* Even, so that half of it is whole. */
static whole to_whole(double mm)
{
    return 2 * (whole)llround(mm * (WHOLE_PER_MM / 2));
}

static double to_mm(whole length)
{
    return (double)length / WHOLE_PER_MM;
}

/* mm2 */
static double to_area(whole area)
{
    return (double)area / WHOLE_PER_MM / 1000;
}

static void add_board(struct layout_task *task, size_t i)
{
    const struct bt_layout_request *r = task->request;
    const struct bt_layout_board *from = &r->board[i];
    const double length = isnan(from->length) ? r->length : from->length;
    struct layout_board *b = &task->board[task->n];
    const whole full = to_whole(from->width);

    if (llround(length * 1000) < llround(r->length * 1000) ||
        full <= 2 * task->jointing)
        return;
    *b = (struct layout_board){.index = i,
                               .width = full - 2 * task->jointing,
                               .area = full * (whole)llround(length * 1000),
                               .rings = (int)from->rings,
                               .may_turn = from->may_turn};
    b->inner = b->width >= task->least_strip;
    task->n++;
}

static void two_least_areas(struct layout_task *task)
{
    task->least_area[0] = task->least_area[1] = INT64_MAX / 8;
    for (size_t i = 0; i < task->n; i++) {
        whole area = task->board[i].area;

        for (int k = 0; k < 2; k++)
            if (area < task->least_area[k]) {
                const whole larger = task->least_area[k];

                task->least_area[k] = area;
                area = larger;
            }
    }
}

/* Up, for it is the least that must be there. */
static whole spare_of(const struct bt_layout_request *r, size_t n)
{
    return to_whole(fmax(r->spare, BT_LAYOUT_SURE * r->width_u * sqrt((double)n)));
}

/* Enough for each set of 20 boards, twice. */
enum { STEPS_DEFAULT = 1 << 26 };

static void prepare(const struct bt_layout_request *r, struct layout_task *task)
{
    const bool any = r->narrowest > 0;

    memset(task, 0, sizeof *task);
    task->request = r;
    task->width = to_whole(r->width);
    task->jointing = to_whole(r->jointing);
    task->least_strip = any ? to_whole(r->narrowest) : 2;
    task->least_first = task->least_strip + (any ? to_whole(r->back_taper) : 0);
    task->least_last = task->least_strip + (any ? to_whole(r->front_taper) : 0);
    task->mean_first = to_whole(r->back_mean);
    task->mean_last = to_whole(r->front_mean);
    task->centre = isnan(r->centre_at) ? task->width / 2 : to_whole(r->centre_at);
    task->centre_tol = to_whole(BT_CENTRE_JOINT_MM);
    task->limit = r->step_limit ? r->step_limit : STEPS_DEFAULT;
    for (size_t i = 0; i < r->nboard; i++)
        add_board(task, i);
    for (size_t n = 0; n <= BT_LAYOUT_BOARDS; n++)
        task->spare[n] = spare_of(r, n);
    task->nclear = r->nclear;
    for (size_t i = 0; i < r->nclear; i++)
        task->clear[i] =
            (struct span){to_whole(r->clear[i].y) - to_whole(r->clear[i].within),
                          to_whole(r->clear[i].y) + to_whole(r->clear[i].within)};
    two_least_areas(task);
}

/* ---- the plan ---- */

static void write_trims(const struct layout_task *task, const struct layout_best *best,
                        struct bt_layout_plan *plan)
{
    const whole over = to_whole(plan->blank) - task->width;
    whole back = task->board[best->board[0]].width + task->jointing - best->first;

    if (best->n == 1)
        back = task->request->trim == BT_TRIM_BACK    ? over
               : task->request->trim == BT_TRIM_FRONT ? 0
                                                      : over / 2;
    plan->trim_back = to_mm(back);
    plan->trim_front = to_mm(over - back);
}

static void write_strips(const struct layout_task *task, const struct layout_best *best,
                         struct bt_layout_plan *plan)
{
    const struct bt_layout_request *r = task->request;
    whole y = best->first, inner = INT64_MAX;

    for (size_t k = 0; k < best->n; k++) {
        const struct layout_board *b = &task->board[best->board[k]];

        plan->board[k] = b->index;
        plan->turned[k] = best->turn[k];
        if (k == 0)
            continue;
        plan->start[k] = to_mm(y);
        if (k + 1 < best->n) {
            y += b->width;
            inner = b->width < inner ? b->width : inner;
        }
    }
    plan->first =
        to_mm(best->first) - r->back_mean - (best->n == 1 ? r->front_mean : 0);
    plan->last = best->n == 1 ? plan->first : to_mm(task->width - y) - r->front_mean;
    plan->narrowest = best->n == 1
                          ? r->width - r->back_taper - r->front_taper
                          : fmin(inner == INT64_MAX ? INFINITY : to_mm(inner),
                                 fmin(to_mm(best->first) - r->back_taper,
                                      to_mm(task->width - y) - r->front_taper));
}

static void write_plan(const struct layout_task *task, const struct layout_best *best,
                       struct bt_layout_plan *plan)
{
    const struct bt_layout_request *r = task->request;
    whole blank = 2 * task->jointing;

    plan->n = best->n;
    plan->shortest = NAN;
    for (size_t k = 0; k < best->n; k++) {
        const struct layout_board *b = &task->board[best->board[k]];

        blank += b->width;
        plan->shortest = fmin(plan->shortest, r->board[b->index].length);
    }
    plan->blank = to_mm(blank);
    plan->blank_u = r->width_u * sqrt((double)best->n);
    write_trims(task, best, plan);
    write_strips(task, best, plan);
    plan->wood = to_area(best->area);
    plan->waste = plan->wood - r->width * r->length;
    plan->nturned = best->turned;
}

enum bt_status bt_layout_find(const struct bt_layout_request *request, size_t navoid,
                              const unsigned long long avoid[],
                              struct bt_layout_plan *plan, struct bt_error *err)
{
    struct bt_layout_plan out = {0};
    struct layout_best best = {0};
    struct layout_task task;
    enum bt_status status = check_boards(request, err);

    if (status == BT_OK)
        status = check_rules(request, err);
    if (status != BT_OK)
        return status;
    prepare(request, &task);
    task.navoid = navoid;
    task.avoid = avoid;
    if (request->order == BT_ORDER_LISTED)
        status = layout_listed(&task, &best);
    else if (task.n <= BT_LAYOUT_EXACT)
        status = layout_exact(&task, &best);
    else
        status = layout_beam(&task, &best);
    if (status != BT_OK)
        return bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    out.found = best.found;
    out.proven = !task.cut;
    out.turns_proven = out.proven && !best.turns_cut;
    out.steps = task.steps;
    if (best.found)
        write_plan(&task, &best, &out);
    *plan = out;
    return BT_OK;
}

unsigned long long bt_layout_set(const struct bt_layout_plan *plan)
{
    unsigned long long set = 0;

    for (size_t k = 0; k < plan->n; k++)
        set |= 1ull << plan->board[k];
    return set;
}
