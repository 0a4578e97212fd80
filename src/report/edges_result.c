/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/edges_result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/edges_springs.h"

struct bt_glue_gap bt_glue_gap_of(const struct bt_job *job)
{
    const struct bt_glue_setup *glue = &job->glue;

    if (!isnan(glue->gap))
        return (struct bt_glue_gap){glue->gap, "job.ini, [glue]", false};
    if (glue->kind && !isnan(glue->kind->gap_most.value))
        return (struct bt_glue_gap){glue->kind->gap_most.value,
                                    glue->kind->gap_most.source, false};
    return (struct bt_glue_gap){
        BT_ASSUMED_GLUE_GAP,
        "trade practice, from memory: no 0.1 mm feeler enters at dry fit", true};
}

static enum bt_status plan_edges(struct bt_edges_answer *answer, struct bt_error *err)
{
    const struct bt_edge_setup *setup = &answer->setup;
    enum bt_status status =
        bt_edge_setup_plan(setup, answer->job, answer->pattern, &answer->plan, err);

    if (status == BT_OK)
        status = bt_section_evaluate(setup->nboard, setup->strip, answer->plan.run,
                                     &setup->errors, &answer->section, err);
    if (status != BT_OK)
        return status;
    answer->forgotten = bt_alloc(setup->nboard, sizeof *answer->forgotten);
    if (!answer->forgotten)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    return bt_edge_plan_forgotten(setup->nboard, setup->strip, answer->plan.run,
                                  &setup->errors, answer->forgotten, err);
}

static bool against_grain(const struct bt_edge_plan *plan)
{
    for (size_t i = 0; i < plan->nconflict; i++)
        if (plan->conflict[i].kind == BT_CONFLICT_GRAIN && !plan->conflict[i].forbidden)
            return true;
    return false;
}

/* The best plan with every grain that is known obeyed, whatever the rules allow. */
static enum bt_status obey_grain(struct bt_edges_answer *answer, struct bt_error *err)
{
    struct bt_edge_setup strict = answer->setup;
    struct bt_edges_grain *grain = &answer->grain;
    struct bt_error why = {0};
    enum bt_status status;

    grain->asked = against_grain(&answer->plan);
    if (!grain->asked)
        return BT_OK;
    strict.rule = bt_alloc(strict.nboard, sizeof *strict.rule);
    if (!strict.rule)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < strict.nboard; i++) {
        strict.rule[i] = answer->setup.rule[i];
        strict.rule[i].against_grain_allowed = false;
    }
    status =
        bt_edge_setup_plan(&strict, answer->job, BT_PATTERN_BEST, &grain->plan, &why);
    if (status == BT_OK)
        status = bt_section_evaluate(strict.nboard, strict.strip, grain->plan.run,
                                     &strict.errors, &grain->section, &why);
    bt_free(strict.rule);
    grain->found = status == BT_OK;
    if (status == BT_ESINGULAR) {
        memcpy(grain->none, why.message, sizeof grain->none);
        return BT_OK;
    }
    return status == BT_OK ? BT_OK
                           : bt_error_set(err, status, why.row, 0, "%s", why.message);
}

static void judge(struct bt_edges_answer *answer)
{
    const struct bt_limits *limits = &answer->job->limits;
    const struct bt_section *section = &answer->section;
    const double limit = limits->limit[BT_FIGURE_CUP];

    answer->judged = !isnan(limit);
    if (answer->judged)
        answer->cup = bt_joint_judge(&section->cup, limit, limits->confidence);
    answer->worst_joint = section->njoint;
    for (size_t i = 0; i < section->njoint; i++) {
        const struct bt_judgement j = bt_joint_judge(
            &section->joint[i].opening, answer->gap.most, limits->confidence);

        if (i > 0 && !(j.p_within < answer->opening.p_within) &&
            !(j.p_within <= answer->opening.p_within &&
              j.value > answer->opening.value))
            continue;
        answer->worst_joint = i;
        answer->opening = j;
    }
}

/* 0 where no thickness could be known, which the dry fit then refuses. */
static double thickness_at(const struct bt_edge_setup *setup, size_t joint)
{
    if (joint + 1 >= setup->nboard)
        return 0;
    return fmin(setup->strip[joint].thickness, setup->strip[joint + 1].thickness);
}

static enum bt_status fit_dry(struct bt_edges_answer *answer, struct bt_error *err)
{
    const struct bt_job *job = answer->job;

    answer->dry = bt_alloc(job->ndry_fit, sizeof *answer->dry);
    if (!answer->dry)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < job->ndry_fit; i++) {
        const struct bt_dry_fit *read = &job->dry_fit[i];
        const struct bt_dry_joint_request request = {
            .ngap = read->ngap,
            .gap = read->gap,
            .length = read->length,
            .thickness = thickness_at(&answer->setup, read->joint),
            .gap_most = answer->gap.most,
            .closes = bt_edges_closes(answer, read->joint),
            .confidence = job->limits.confidence};
        struct bt_error why = {0};
        enum bt_status status;

        if (read->ngap == 0)
            continue;
        status = bt_dry_joint_fit(&request, &answer->dry[answer->ndry].fit, &why);
        if (status != BT_OK)
            return bt_error_set(err, status, why.row, 0, "the dry fit of joint %zu: %s",
                                read->joint + 1, why.message);
        answer->dry[answer->ndry++].read = read;
    }
    return BT_OK;
}

enum bt_status bt_edges_answer_find(const struct bt_job *job,
                                    const struct bt_edges_request *request,
                                    struct bt_edges_answer *out, struct bt_error *err)
{
    const struct bt_edges_request usual = {BT_PATTERNS, 0, 0};
    const struct bt_edges_request *asked = request ? request : &usual;
    const size_t draws = asked->draws ? asked->draws : BT_EDGES_DRAWS;
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    out->pattern = asked->pattern == BT_PATTERNS ? job->fence.pattern : asked->pattern;
    out->seed = asked->seed;
    out->gap = bt_glue_gap_of(job);
    status = bt_edge_setup_find(job, &out->setup, err);
    if (status == BT_OK)
        status = bt_edge_setup_boards(&out->setup, err);
    if (status == BT_OK)
        status = plan_edges(out, err);
    if (status == BT_OK)
        status = obey_grain(out, err);
    if (status == BT_OK)
        status =
            bt_scatter_draw(out->setup.nboard, out->setup.strip, out->plan.run,
                            &out->setup.errors, draws, out->seed, &out->scatter, err);
    if (status == BT_OK)
        status = bt_edges_springs_find(out, err);
    if (status == BT_OK)
        status = fit_dry(out, err);
    if (status == BT_OK)
        status = bt_edges_springs_read(out, err);
    if (status == BT_OK)
        judge(out);
    return status;
}

void bt_edges_answer_clear(struct bt_edges_answer *answer)
{
    if (!answer)
        return;
    bt_free(answer->spring);
    bt_free(answer->dry);
    bt_free(answer->forgotten);
    bt_section_clear(&answer->grain.section);
    bt_edge_plan_clear(&answer->grain.plan);
    bt_section_clear(&answer->section);
    bt_edge_plan_clear(&answer->plan);
    bt_edge_setup_clear(&answer->setup);
    memset(answer, 0, sizeof *answer);
}

static enum bt_verdict of_dry(enum bt_dry_verdict verdict)
{
    switch (verdict) {
    case BT_DRY_CLOSES:
        return BT_WITHIN;
    case BT_DRY_OPEN:
        return BT_OVER;
    case BT_DRY_TOO_CLOSE:
        return BT_TOO_CLOSE;
    case BT_DRY_NOT_SEEN:
        break;
    }
    return BT_NOT_SEEN;
}

static int weight(enum bt_verdict verdict)
{
    static const int weights[] = {
        [BT_WITHIN] = 0, [BT_TOO_CLOSE] = 1, [BT_NOT_SEEN] = 2, [BT_OVER] = 3};

    return weights[verdict];
}

static enum bt_verdict worse(enum bt_verdict a, enum bt_verdict b)
{
    return weight(b) > weight(a) ? b : a;
}

enum bt_verdict bt_edges_answer_verdict(const struct bt_edges_answer *answer)
{
    enum bt_verdict worst = BT_WITHIN;

    if (answer->judged)
        worst = answer->cup.verdict;
    if (answer->worst_joint < answer->section.njoint)
        worst = worse(worst, answer->opening.verdict);
    for (size_t i = 0; i < answer->ndry; i++) {
        const struct bt_dry_joint *fit = &answer->dry[i].fit;

        worst = worse(worst, of_dry(fit->angle_verdict));
        worst = worse(worst, of_dry(fit->wind_verdict));
        worst = worse(worst, of_dry(fit->straight_verdict));
    }
    for (size_t i = 0; i < answer->plan.nconflict; i++)
        if (answer->plan.conflict[i].forbidden)
            worst = BT_OVER;
    return worst;
}
