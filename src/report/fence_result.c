/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/fence_result.h"

#include <math.h>
#include <string.h>

static void way_clear(struct bt_fence_way *way)
{
    bt_section_clear(&way->section);
    bt_edge_plan_clear(&way->plan);
}

/* The cup that some of the errors make. */
static enum bt_status cup_of(const struct bt_edge_setup *setup,
                             const struct bt_strip strip[],
                             const struct bt_fence_way *way,
                             const struct bt_edge_errors *errors,
                             struct bt_measured *cup, struct bt_error *err)
{
    struct bt_section section = {0};
    enum bt_status status =
        bt_section_evaluate(setup->nboard, strip, way->plan.run, errors, &section, err);

    if (status == BT_OK)
        *cup = section.cup;
    bt_section_clear(&section);
    return status;
}

/* To first order the cup is linear in its causes: each alone, the others zero.  What
 * the fence makes is the rest beside the tapers, whose share needs no fence. */
static enum bt_status share_cup(const struct bt_edge_setup *setup,
                                struct bt_fence_way *way, struct bt_error *err)
{
    const struct bt_edge_errors *all = &setup->errors;
    const struct bt_edge_errors fence = {.e = all->e, .u_e = all->u_e};
    const struct bt_edge_errors taper = {.u_taper = all->u_taper};
    const struct bt_edge_errors own = {.scatter = setup->own_scatter};
    const struct bt_edge_errors twist = {.scatter = setup->twist_scatter};
    struct bt_measured of_own = {0}, of_twist = {0};
    enum bt_status status =
        cup_of(setup, setup->strip, way, &fence, &way->from_fence, err);

    if (status == BT_OK)
        status = cup_of(setup, setup->strip, way, &taper, &way->from_taper, err);
    if (status == BT_OK)
        status = cup_of(setup, setup->strip, way, &own, &of_own, err);
    if (status == BT_OK)
        status = cup_of(setup, setup->strip, way, &twist, &of_twist, err);
    way->from_fence.value -= way->from_taper.value;
    way->u_scatter = of_own.u;
    way->u_twist = of_twist.u;
    return status;
}

static enum bt_status find_way(const struct bt_fence_answer *answer,
                               enum bt_pattern pattern, struct bt_fence_way *way,
                               struct bt_error *err)
{
    const struct bt_edge_setup *setup = &answer->setup;
    enum bt_status status;

    way->pattern = pattern;
    status = bt_edge_setup_plan(setup, answer->job, pattern, &way->plan, err);
    if (status == BT_OK)
        status = bt_section_evaluate(setup->nboard, setup->strip, way->plan.run,
                                     &setup->errors, &way->section, err);
    return status == BT_OK ? share_cup(setup, way, err) : status;
}

static enum bt_status find_planned(struct bt_fence_answer *answer, struct bt_error *err)
{
    struct bt_error why = {0};
    enum bt_status status =
        find_way(answer, answer->job->fence.pattern, &answer->planned, &why);

    if (status == BT_ESINGULAR) {
        memcpy(answer->no_plan, why.message, sizeof answer->no_plan);
        return BT_OK;
    }
    return status == BT_OK ? BT_OK
                           : bt_error_set(err, status, why.row, 0, "%s", why.message);
}

static enum bt_status find_ways(struct bt_fence_answer *answer, struct bt_error *err)
{
    enum bt_status status = find_way(answer, BT_PATTERN_SAME_FACE, &answer->same, err);

    if (status == BT_OK)
        status = find_way(answer, BT_PATTERN_ALTERNATE_BOARDS, &answer->alternate, err);
    if (status == BT_OK)
        status = find_planned(answer, err);
    return status;
}

static void judge(struct bt_fence_answer *answer)
{
    const struct bt_limits *limits = &answer->job->limits;
    const struct bt_measured *cup = &answer->planned.section.cup;
    const double limit = limits->limit[BT_FIGURE_CUP];

    if (isnan(limit) || *answer->no_plan)
        return;
    answer->judged = true;
    answer->cup = bt_joint_judge(cup, limit, limits->confidence);
}

enum bt_status bt_fence_answer_find(const struct bt_job *job,
                                    struct bt_fence_answer *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    if (job->fence.ncheck == 0 && job->fence.file && *job->fence.file)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            job->fence.blank
                                ? "%s has no reading in its rows yet: fill in the gap "
                                  "or the angle of each check"
                                : "%s has a header and no rows: write a row a check, "
                                  "of kind square, doubled or angle",
                            job->fence.file);
    if (job->fence.ncheck == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no check of the fence is written down: write fence.csv, a "
                            "row a check, of kind square, doubled or angle");
    status = bt_edge_setup_find(job, &out->setup, err);
    if (status != BT_OK || bt_edge_setup_boards(&out->setup, NULL) != BT_OK)
        return status;
    out->boards_known = true;
    status = find_ways(out, err);
    if (status == BT_OK)
        judge(out);
    return status;
}

void bt_fence_answer_clear(struct bt_fence_answer *answer)
{
    if (!answer)
        return;
    way_clear(&answer->same);
    way_clear(&answer->alternate);
    way_clear(&answer->planned);
    bt_edge_setup_clear(&answer->setup);
    memset(answer, 0, sizeof *answer);
}

enum bt_verdict bt_fence_answer_verdict(const struct bt_fence_answer *answer)
{
    const struct bt_fence_result *fence = &answer->setup.fence;

    if (answer->judged && answer->cup.verdict == BT_OVER)
        return BT_OVER;
    if (fence->agree == BT_FENCE_DISAGREE)
        return BT_NOT_SEEN;
    if (answer->judged)
        return answer->cup.verdict;
    return fence->undecided ? BT_TOO_CLOSE : BT_WITHIN;
}
