/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/edge_setup.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* 0 where it is not stated: NaN and zero alike leave nothing to add. */
static double stated(double value)
{
    return value > 0 ? value : 0;
}

static enum bt_status take_boards(const struct bt_job *job, struct bt_edge_setup *setup,
                                  struct bt_error *err)
{
    setup->strip = bt_alloc(job->nboard, sizeof *setup->strip);
    setup->rule = bt_alloc(job->nboard, sizeof *setup->rule);
    if (!setup->strip || !setup->rule)
        return no_memory(err);
    setup->nboard = job->nboard;
    setup->thickness_known = true;
    for (size_t i = 0; i < job->nboard; i++) {
        const struct bt_board *board = &job->board[i];
        struct bt_strip *strip = &setup->strip[i];

        strip->width = board->width;
        strip->taper = isnan(board->taper) ? 0 : board->taper;
        strip->thickness = board->thickness;
        if (!(strip->thickness > 0)) {
            strip->thickness = job->panel.thickness;
            setup->panel_thickness = true;
        }
        setup->thickness_known &= strip->thickness > 0;
        setup->rule[i] = board->rule;
    }
    return BT_OK;
}

static enum bt_status read_fence(const struct bt_job *job, struct bt_edge_setup *setup,
                                 struct bt_error *err)
{
    const struct bt_fence_setup *fence = &job->fence;
    const struct bt_fence_request request = {.ncheck = fence->ncheck,
                                             .check = fence->check,
                                             .length = fence->length,
                                             .cutter = fence->cutter,
                                             .same_station = job->same_point,
                                             .confidence = job->limits.confidence};
    struct bt_error why = {0};
    enum bt_status status;

    if (fence->ncheck == 0)
        return BT_OK;
    status = bt_fence_combine(&request, &setup->fence, &why);
    if (status == BT_OK)
        setup->fence_read = true;
    else if (status == BT_EINPUT && why.row < fence->ncheck)
        return bt_error_set(err, status, why.row, 0, "%s:%zu: %s",
                            fence->file ? fence->file : "",
                            fence->check[why.row].source, why.message);
    else
        return bt_error_set(err, status, why.row, 0, "%s", why.message);
    return BT_OK;
}

static void take_errors(const struct bt_job *job, struct bt_edge_setup *setup)
{
    const struct bt_measured *twist = &setup->fence.twist;

    setup->scatter_assumed = isnan(job->fence.scatter);
    setup->u_taper_assumed = isnan(job->fence.u_taper);
    setup->own_scatter =
        setup->scatter_assumed ? BT_ASSUMED_SCATTER : stated(job->fence.scatter);
    setup->errors.u_taper =
        setup->u_taper_assumed ? BT_ASSUMED_U_TAPER : stated(job->fence.u_taper);
    setup->errors.u_e = BT_ASSUMED_U_FENCE;
    if (setup->fence_read) {
        setup->errors.e = setup->fence.e.value;
        setup->errors.u_e = setup->fence.e.u;
        if (twist->seen)
            setup->twist_scatter = fabs(twist->value) / sqrt(12);
    }
    setup->errors.scatter = hypot(setup->own_scatter, setup->twist_scatter);
}

enum bt_status bt_edge_setup_find(const struct bt_job *job, struct bt_edge_setup *setup,
                                  struct bt_error *err)
{
    enum bt_status status;

    memset(setup, 0, sizeof *setup);
    status = take_boards(job, setup, err);
    if (status == BT_OK)
        status = read_fence(job, setup, err);
    if (status == BT_OK)
        take_errors(job, setup);
    return status;
}

enum bt_status bt_edge_setup_boards(const struct bt_edge_setup *setup,
                                    struct bt_error *err)
{
    if (setup->nboard == 0)
        return bt_error_set(
            err, BT_EINPUT, 0, 0,
            "no boards are listed: write boards.csv, a row a board from "
            "the back edge to the front, with its width and thickness");
    if (!setup->thickness_known)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no thickness is stated: write thickness in [panel] of "
                            "job.ini, or a column thickness in boards.csv");
    return BT_OK;
}

/* u of the cup and the least u of a kink that the edges' own errors make, boards
 * alternating: differences below them are not worth leaving that order for. */
static enum bt_status find_steps(const struct bt_edge_setup *setup,
                                 struct bt_edge_plan_request request, double *cup,
                                 double *kink, struct bt_error *err)
{
    const struct bt_edge_errors own = {.scatter = setup->errors.scatter,
                                       .u_taper = setup->errors.u_taper};
    struct bt_section section = {0};
    struct bt_edge_plan plan = {0};
    enum bt_status status;

    request.pattern = BT_PATTERN_ALTERNATE_BOARDS;
    status = bt_edge_plan_find(&request, &plan, err);
    if (status == BT_OK)
        status = bt_section_evaluate(setup->nboard, setup->strip, plan.run, &own,
                                     &section, err);
    if (status == BT_OK) {
        *cup = fmax(*cup, section.cup.u / 2);
        for (size_t i = 0; i < section.njoint; i++)
            *kink = i ? fmin(*kink, section.joint[i].kink.u) : section.joint[i].kink.u;
    }
    bt_section_clear(&section);
    bt_edge_plan_clear(&plan);
    return status;
}

static enum bt_status find_plan(const struct bt_edge_setup *setup,
                                struct bt_edge_plan_request *request,
                                struct bt_edge_plan *plan, struct bt_error *err)
{
    if (request->pattern == BT_PATTERN_BEST) {
        double cup = request->cup_step, kink = 0;
        enum bt_status status = find_steps(setup, *request, &cup, &kink, err);

        if (status != BT_OK)
            return status;
        request->cup_step = cup;
        request->kink_step = fmax(request->kink_step, kink);
    }
    return bt_edge_plan_find(request, plan, err);
}

/* The place of the board in its file, where it has one. */
static enum bt_status fault_of_board(const struct bt_job *job, enum bt_status status,
                                     const struct bt_error *why, struct bt_error *err)
{
    const struct bt_board *board = &job->board[why->row];

    if (job->board_file && *job->board_file)
        return bt_error_set(err, status, why->row, 0, "%s:%zu: board %s: %s",
                            job->board_file, board->line, board->name, why->message);
    return bt_error_set(err, status, why->row, 0, "board %s: %s", board->name,
                        why->message);
}

enum bt_status bt_edge_setup_plan(const struct bt_edge_setup *setup,
                                  const struct bt_job *job, enum bt_pattern pattern,
                                  struct bt_edge_plan *plan, struct bt_error *err)
{
    struct bt_edge_plan_request request = {
        .nboard = setup->nboard,
        .strip = setup->strip,
        .rule = setup->rule,
        .feed = job->fence.feed,
        .errors = setup->errors,
        .pattern = pattern == BT_PATTERNS ? job->fence.pattern : pattern,
        .cup_step = 0.01,
        .kink_step = 1e-5,
    };
    struct bt_error why = {0};
    enum bt_status status = find_plan(setup, &request, plan, &why);

    if (status != BT_OK && status != BT_ENOMEM && why.row < job->nboard)
        return fault_of_board(job, status, &why, err);
    if (status != BT_OK)
        return bt_error_set(err, status, why.row, 0, "%s", why.message);
    return BT_OK;
}

struct bt_judgement bt_joint_judge(const struct bt_measured *m, double limit,
                                   double confidence)
{
    struct bt_judgement j =
        bt_judge(BT_FIGURE_CUP, m->value, m->u, m->seen, limit, confidence);

    if (j.verdict == BT_OVER && fabs(m->value) <= limit)
        j.verdict = BT_TOO_CLOSE;
    return j;
}

void bt_edge_setup_clear(struct bt_edge_setup *setup)
{
    if (!setup)
        return;
    bt_fence_result_clear(&setup->fence);
    bt_free(setup->strip);
    bt_free(setup->rule);
    memset(setup, 0, sizeof *setup);
}
