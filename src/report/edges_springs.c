/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/edges_springs.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/clamp_setup.h"
#include "report/joint_wood.h"

/* Clamps along a joint. */
struct clamps {
    size_t n;
    double *x;
    double force;
};

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* The places of a plan, ascending; several clamps at one place are one. */
static void take_places(const struct bt_clamp_setup *setup,
                        const struct bt_clamping *plan, struct clamps *clamps)
{
    clamps->n = 0;
    clamps->force = INFINITY;
    for (size_t i = 0; i < plan->nplace; i++) {
        const double x = plan->place[i].x,
                     force = setup->kind[plan->place[i].kind].force;
        size_t k = clamps->n;

        while (k > 0 && clamps->x[k - 1] > x)
            k--;
        if (k > 0 && clamps->x[k - 1] >= x)
            continue;
        memmove(clamps->x + k + 1, clamps->x + k, (clamps->n - k) * sizeof *clamps->x);
        clamps->x[k] = x;
        clamps->n++;
        if (!(force >= clamps->force))
            clamps->force = force;
    }
}

static enum bt_status plan_clamps(struct bt_edges_answer *answer, struct clamps *clamps,
                                  struct bt_error *err)
{
    const struct bt_job *job = answer->job;
    struct bt_clamp_setup setup = {0};
    struct bt_clamping plan = {0};
    enum bt_status status = BT_EINPUT;

    if (job->nclamp) {
        status = bt_clamp_setup_find(job, &answer->setup, &setup, err);
        if (status == BT_OK)
            status = bt_clamping_plan(&setup.request, &plan, err);
    }
    if (status == BT_OK || status == BT_EINPUT) {
        clamps->x = bt_alloc(plan.nplace + 1, sizeof *clamps->x);
        if (!clamps->x) {
            status = no_memory(err);
        } else {
            take_places(&setup, &plan, clamps);
            status = BT_OK;
        }
    }
    /* what cannot be planned is for `glueup` to say; here one clamp will do */
    answer->clamp_assumed = clamps->n == 0;
    if (status == BT_OK && clamps->n == 0) {
        clamps->x[clamps->n++] = job->panel.length / 2;
        clamps->force = NAN;
    }
    bt_clamping_clear(&plan);
    bt_clamp_setup_clear(&setup);
    return status;
}

static double length_of(const struct bt_job *job, size_t joint)
{
    double length = fmin(job->board[joint].length, job->board[joint + 1].length);

    /* fmin passes over a NaN: a board without a length is as long as the panel */
    return isnan(length) ? job->panel.length : fmin(length, job->panel.length);
}

static enum bt_status spring_of(const struct bt_edges_answer *answer,
                                const struct bt_spring_board board[],
                                const struct clamps *clamps, size_t joint,
                                double hollow, struct bt_spring_joint *spring,
                                struct bt_error *err)
{
    const double length = length_of(answer->job, joint);
    struct bt_spring_request request = {.length = length,
                                        .a = board[joint],
                                        .b = board[joint + 1],
                                        .clamp = clamps->x,
                                        .clamp_force = clamps->force,
                                        .gap_most = answer->gap.most,
                                        .hollow = hollow};

    /* clamps beyond the ends of a short joint press nothing */
    while (request.nclamp < clamps->n && clamps->x[request.nclamp] < length)
        request.nclamp++;
    return bt_spring_joint_find(&request, spring, err);
}

/* Returns BT_EINPUT where a value is missing, with what to write. */
static enum bt_status find_boards(struct bt_edges_answer *answer,
                                  struct bt_spring_board board[], struct bt_error *err)
{
    for (size_t i = 0; i < answer->setup.nboard; i++) {
        struct bt_wood wood;
        enum bt_status status = bt_joint_wood(answer->job, i, &wood, err);

        if (status != BT_OK)
            return status;
        if (!(wood.e_along.value > 0) || !(wood.g_along.value > 0))
            return bt_error_set(err, BT_EINPUT, 0, 0,
                                "no stiffness is known for %s: write another name of "
                                "the species",
                                wood.name);
        board[i] = (struct bt_spring_board){answer->setup.strip[i].width,
                                            answer->setup.strip[i].thickness,
                                            wood.e_along.value, wood.g_along.value};
        if (i > 0) {
            answer->woods_differ |= strcmp(answer->wood, wood.name) != 0;
            continue;
        }
        answer->E = wood.e_along.value;
        answer->G = wood.g_along.value;
        memcpy(answer->wood, wood.name, sizeof answer->wood);
        memcpy(answer->E_source, wood.e_along.source, sizeof answer->E_source);
        memcpy(answer->G_source, wood.g_along.source, sizeof answer->G_source);
    }
    return BT_OK;
}

/* What both passes share: boards and clamps, then `each` joint. */
static enum bt_status with_boards(struct bt_edges_answer *answer,
                                  enum bt_status (*each)(struct bt_edges_answer *,
                                                         const struct bt_spring_board[],
                                                         const struct clamps *,
                                                         struct bt_error *),
                                  struct bt_error *err)
{
    struct bt_spring_board *board = bt_alloc(answer->setup.nboard, sizeof *board);
    struct clamps clamps = {0};
    enum bt_status status = board ? find_boards(answer, board, err) : no_memory(err);

    if (status == BT_OK)
        status = plan_clamps(answer, &clamps, err);
    if (status == BT_OK)
        status = each(answer, board, &clamps, err);
    bt_free(clamps.x);
    bt_free(board);
    return status;
}

static enum bt_status aim_each(struct bt_edges_answer *answer,
                               const struct bt_spring_board board[],
                               const struct clamps *clamps, struct bt_error *err)
{
    const size_t njoint = answer->setup.nboard - 1;

    answer->nclamp = clamps->n;
    answer->clamp_force = clamps->force;
    answer->spring = bt_alloc(njoint, sizeof *answer->spring);
    if (!answer->spring)
        return no_memory(err);
    for (size_t i = 0; i < njoint; i++) {
        struct bt_edges_spring *spring = &answer->spring[i];
        enum bt_status status =
            spring_of(answer, board, clamps, i, NAN, &spring->aim, err);

        if (status != BT_OK)
            return status;
        spring->joint = i;
        spring->length = length_of(answer->job, i);
        answer->nspring++;
    }
    return BT_OK;
}

static enum bt_status read_each(struct bt_edges_answer *answer,
                                const struct bt_spring_board board[],
                                const struct clamps *clamps, struct bt_error *err)
{
    for (size_t i = 0; i < answer->ndry; i++) {
        const struct bt_measured *hollow = &answer->dry[i].fit.hollow;
        const size_t joint = answer->dry[i].read->joint;
        enum bt_status status;

        if (joint >= answer->nspring || !hollow->seen)
            continue;
        status = spring_of(answer, board, clamps, joint, hollow->value,
                           &answer->spring[joint].dry, err);
        if (status != BT_OK)
            return status;
        answer->spring[joint].read = true;
    }
    return BT_OK;
}

enum bt_status bt_edges_springs_find(struct bt_edges_answer *answer,
                                     struct bt_error *err)
{
    struct bt_error why = {0};
    enum bt_status status;

    answer->E = answer->G = answer->clamp_force = NAN;
    if (answer->setup.nboard < 2)
        return BT_OK;
    if (answer->job->panel.length > 0)
        status = with_boards(answer, aim_each, &why);
    else
        status =
            bt_error_set(&why, BT_EINPUT, 0, 0,
                         "no length is stated: write length in [panel] of job.ini");
    if (status == BT_EINPUT) {
        memcpy(answer->spring_missing, why.message, sizeof answer->spring_missing);
        answer->nspring = 0;
        return BT_OK;
    }
    if (status != BT_OK)
        return bt_error_set(err, status, why.row, 0, "%s", why.message);
    return BT_OK;
}

enum bt_status bt_edges_springs_read(struct bt_edges_answer *answer,
                                     struct bt_error *err)
{
    if (answer->nspring == 0 || answer->ndry == 0)
        return BT_OK;
    return with_boards(answer, read_each, err);
}

double bt_edges_closes(const struct bt_edges_answer *answer, size_t joint)
{
    if (joint >= answer->nspring || isnan(answer->spring[joint].aim.closes_most))
        return NAN;
    return fmax(0, answer->spring[joint].aim.closes_most - answer->gap.most);
}
