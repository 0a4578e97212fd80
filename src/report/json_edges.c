/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/joint_json.h"

#include <math.h>
#include <stdio.h>

#include "report/joint_words.h"
#include "report/json_joint.h"

static bool add_edge(cJSON *array, const struct bt_edges_answer *a, size_t board,
                     bool front)
{
    const struct bt_board_run *run = &a->plan.run[board];
    const enum bt_run face = front ? run->front : run->back;
    const bool left = bt_left_end_leads(front, face, a->job->fence.feed);
    const bool outer = front ? board + 1 == a->setup.nboard : board == 0;
    cJSON *object = bt_json_append_object(array);

    if (!object || !bt_json_add_board(object, "board", a->job, board) ||
        !bt_json_add_text(object, "edge", front ? "front" : "back") ||
        !bt_json_add_text(object, "mark", bt_run_name(face)) ||
        !bt_json_add_text(object, "face_to_fence",
                          face == BT_RUN_IN ? "show" : "other") ||
        !bt_json_add_text(object, "leading_end", left ? "left" : "right") ||
        !cJSON_AddBoolToObject(object, "turned", run->turned))
        return false;
    if (outer)
        return cJSON_AddNullToObject(object, "joint") != NULL;
    return bt_json_add_count(object, "joint", front ? board + 1 : board);
}

static bool add_edges(cJSON *root, const struct bt_edges_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "edges");

    if (!array)
        return false;
    for (size_t i = 0; i < a->setup.nboard; i++)
        if (!add_edge(array, a, i, false) || !add_edge(array, a, i, true))
            return false;
    return true;
}

static bool add_conflicts(cJSON *parent, const struct bt_edges_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "conflicts");

    if (!array)
        return false;
    for (size_t i = 0; i < a->plan.nconflict; i++) {
        const struct bt_edge_conflict *c = &a->plan.conflict[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_board(object, "board", a->job, c->board) ||
            !bt_json_add_text(object, "edge", c->front ? "front" : "back") ||
            !bt_json_add_text(object, "kind",
                              c->kind == BT_CONFLICT_FACE ? "face" : "grain") ||
            !cJSON_AddBoolToObject(object, "forbidden", c->forbidden))
            return false;
    }
    return true;
}

static bool add_plan(cJSON *root, const struct bt_edges_answer *a)
{
    const struct bt_edge_plan *plan = &a->plan;
    cJSON *object = cJSON_AddObjectToObject(root, "plan");

    return bt_json_add_text(object, "pattern", bt_pattern_name(a->pattern)) &&
           cJSON_AddBoolToObject(object, "proven", plan->proven) &&
           bt_json_add_number(object, "cup_bound_mm", plan->cup_bound) &&
           bt_json_add_degrees(object, "kink_bound_deg", plan->kink_bound) &&
           bt_json_add_count(object, "departures", plan->departures) &&
           bt_json_add_count(object, "nodes", plan->nodes) && add_conflicts(object, a);
}

static bool add_joints(cJSON *parent, const struct bt_section *section)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "joints");

    if (!array)
        return false;
    for (size_t i = 0; i < section->njoint; i++) {
        const struct bt_joint_kink *j = &section->joint[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_number(object, "y_mm", j->y) ||
            !bt_json_add_measured_degrees(object, "kink_deg", &j->kink) ||
            !bt_json_add_measured(object, "opening_mm", &j->opening) ||
            !bt_json_add_text(object, "opens_at", j->opens_at_show ? "show" : "other"))
            return false;
    }
    return true;
}

static bool add_corners(cJSON *parent, const struct bt_section *section)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "corners");

    if (!array)
        return false;
    for (size_t i = 0; i < section->nboard; i++) {
        const struct bt_quad *q = &section->board[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_numbers(object, "show_back_mm", 2, q->show_back) ||
            !bt_json_add_numbers(object, "show_front_mm", 2, q->show_front) ||
            !bt_json_add_numbers(object, "other_back_mm", 2, q->other_back) ||
            !bt_json_add_numbers(object, "other_front_mm", 2, q->other_front))
            return false;
    }
    return true;
}

static bool add_section(cJSON *root, const struct bt_section *section)
{
    cJSON *object = cJSON_AddObjectToObject(root, "section");

    return bt_json_add_measured(object, "cup_mm", &section->cup) &&
           bt_json_add_number(object, "cup_exact_mm", section->cup_exact) &&
           bt_json_add_number(object, "sag_mm", section->sag) &&
           bt_json_add_number(object, "width_mm", section->width) &&
           bt_json_add_number(object, "step_mm", section->step) &&
           add_joints(object, section) && add_corners(object, section);
}

static bool add_forgotten(cJSON *root, const struct bt_edges_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "forgotten");

    if (!array)
        return false;
    for (size_t i = 0; i < a->setup.nboard; i++) {
        const struct bt_forgotten *f = &a->forgotten[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_board(object, "board", a->job, f->board) ||
            !bt_json_add_number(object, "cup_mm", f->cup) ||
            !bt_json_add_degrees(object, "kink_deg", f->kink) ||
            !bt_json_add_number(object, "opening_mm", f->opening))
            return false;
    }
    return true;
}

static bool add_changed(cJSON *parent, const struct bt_edges_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "changed");

    if (!array)
        return false;
    for (size_t i = 0; i < a->setup.nboard; i++) {
        const struct bt_board_run *was = &a->plan.run[i], *is = &a->grain.plan.run[i];
        cJSON *object;

        if (was->back == is->back && was->front == is->front &&
            was->turned == is->turned)
            continue;
        object = bt_json_append_object(array);
        if (!object || !bt_json_add_board(object, "board", a->job, i) ||
            !bt_json_add_text(object, "back", bt_run_name(is->back)) ||
            !bt_json_add_text(object, "front", bt_run_name(is->front)) ||
            !cJSON_AddBoolToObject(object, "turned", is->turned))
            return false;
    }
    return true;
}

static bool add_grain(cJSON *root, const struct bt_edges_answer *a)
{
    const struct bt_edges_grain *grain = &a->grain;
    cJSON *object;

    if (!grain->asked)
        return cJSON_AddNullToObject(root, "grain_obeyed") != NULL;
    object = cJSON_AddObjectToObject(root, "grain_obeyed");
    if (!cJSON_AddBoolToObject(object, "found", grain->found) ||
        !bt_json_add_text(object, "none", grain->none))
        return false;
    return !grain->found ||
           (bt_json_add_measured(object, "cup_mm", &grain->section.cup) &&
            bt_json_add_number(object, "largest_opening_mm",
                               grain->section.largest_opening) &&
            add_changed(object, a));
}

static bool add_scatter(cJSON *root, const struct bt_edges_answer *a)
{
    const struct bt_scatter_result *s = &a->scatter;
    cJSON *object = cJSON_AddObjectToObject(root, "scatter");
    char seed[32];

    snprintf(seed, sizeof seed, "%llu", (unsigned long long)a->seed);
    return bt_json_add_count(object, "drawn", s->draws) &&
           cJSON_AddRawToObject(object, "seed", seed) &&
           bt_json_add_number(object, "cup_median_mm", s->cup.median) &&
           bt_json_add_number(object, "cup_p95_mm", s->cup.p95) &&
           bt_json_add_number(object, "opening_median_mm", s->opening.median) &&
           bt_json_add_number(object, "opening_p95_mm", s->opening.p95) &&
           bt_json_add_degrees(object, "kink_median_deg", s->kink.median) &&
           bt_json_add_degrees(object, "kink_p95_deg", s->kink.p95);
}

static const char *mend_word(const struct bt_dry_joint *fit)
{
    switch (fit->mend) {
    case BT_MEND_NOTHING:
        return "nothing";
    case BT_MEND_ANGLE:
        return "angle";
    case BT_MEND_HOLLOW:
        return "hollow";
    case BT_MEND_CROWN:
        return "crown";
    case BT_MEND_WIND:
        return "wind";
    case BT_MEND_READ_MORE:
        break;
    }
    return "read more";
}

static bool add_dry(cJSON *array, const struct bt_edges_dry *dry)
{
    const struct bt_dry_joint *fit = &dry->fit;
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_count(object, "joint", dry->read->joint + 1) &&
           bt_json_add_count(object, "gaps", dry->read->ngap) &&
           bt_json_add_number(object, "largest_mm", fit->largest) &&
           bt_json_add_measured_degrees(object, "angle_deg", &fit->angle) &&
           bt_json_add_measured(object, "opening_mm", &fit->opening) &&
           bt_json_add_text(object, "opens_at",
                            fit->opens_at_show ? "show" : "other") &&
           bt_json_add_measured_degrees(object, "wind_deg", &fit->wind) &&
           bt_json_add_measured(object, "hollow_mm", &fit->hollow) &&
           bt_json_add_number(object, "chi2", fit->chi2) &&
           bt_json_add_number(object, "chi2_p", fit->chi2_p) &&
           bt_json_add_count(object, "dof", fit->dof) &&
           bt_json_add_text(object, "angle_verdict",
                            bt_dry_verdict_name(fit->angle_verdict)) &&
           bt_json_add_text(object, "wind_verdict",
                            bt_dry_verdict_name(fit->wind_verdict)) &&
           bt_json_add_text(object, "straight_verdict",
                            bt_dry_verdict_name(fit->straight_verdict)) &&
           bt_json_add_text(object, "mend", mend_word(fit));
}

static bool add_dry_fits(cJSON *root, const struct bt_edges_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "dry_fit");

    if (!array)
        return false;
    for (size_t i = 0; i < a->ndry; i++)
        if (!add_dry(array, &a->dry[i]))
            return false;
    return true;
}

static bool add_dry_spring(cJSON *parent, const struct bt_edges_spring *s)
{
    cJSON *object;

    if (!s->read)
        return cJSON_AddNullToObject(parent, "dry_fit") != NULL;
    object = cJSON_AddObjectToObject(parent, "dry_fit");
    return bt_json_add_number(object, "hollow_mm", s->dry.hollow) &&
           cJSON_AddBoolToObject(object, "crown", s->dry.crown) &&
           bt_json_add_number(object, "force_middle_n", s->dry.force_middle) &&
           bt_json_add_number(object, "force_planned_n", s->dry.force_planned) &&
           bt_json_add_number(object, "gap_planned_mm", s->dry.gap_planned);
}

static bool add_spring(cJSON *array, const struct bt_edges_spring *s)
{
    const struct bt_spring_joint *aim = &s->aim;
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_count(object, "joint", s->joint + 1) &&
           bt_json_add_number(object, "length_mm", s->length) &&
           bt_json_add_number(object, "stiffness_n_per_mm", aim->stiffness) &&
           bt_json_add_number(object, "aim_mm", aim->aim) &&
           bt_json_add_number(object, "aim_least_mm", aim->aim_least) &&
           bt_json_add_number(object, "aim_most_mm", aim->aim_most) &&
           bt_json_add_number(object, "force_middle_n", aim->force_middle) &&
           bt_json_add_number(object, "gap_middle_mm", aim->gap_middle) &&
           bt_json_add_number(object, "gap_middle_at_mm", aim->gap_middle_at) &&
           bt_json_add_number(object, "force_planned_n", aim->force_planned) &&
           bt_json_add_number(object, "force_sum_n", aim->force_sum) &&
           bt_json_add_number(object, "gap_planned_mm", aim->gap_planned) &&
           bt_json_add_number(object, "gap_planned_at_mm", aim->gap_planned_at) &&
           bt_json_add_number(object, "closes_most_mm", aim->closes_most) &&
           add_dry_spring(object, s);
}

static bool add_springs(cJSON *root, const struct bt_edges_answer *a)
{
    cJSON *object = cJSON_AddObjectToObject(root, "spring"), *array;

    if (!bt_json_add_text(object, "missing", a->spring_missing) ||
        !bt_json_add_text(object, "wood", a->nspring ? a->wood : "") ||
        !bt_json_add_sourced(object, "e_along_mpa", a->E, "e_along_source",
                             a->E_source) ||
        !bt_json_add_sourced(object, "g_along_mpa", a->G, "g_along_source",
                             a->G_source) ||
        !bt_json_add_count(object, "clamps", a->nclamp) ||
        !bt_json_add_number(object, "clamp_force_n", a->clamp_force) ||
        !cJSON_AddBoolToObject(object, "clamps_assumed", a->clamp_assumed))
        return false;
    array = cJSON_AddArrayToObject(object, "joints");
    if (!array)
        return false;
    for (size_t i = 0; i < a->nspring; i++)
        if (!add_spring(array, &a->spring[i]))
            return false;
    return true;
}

enum bt_status bt_json_edges(const struct bt_edges_answer *answer,
                             struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root && bt_json_add_errors(root, &answer->setup) && add_plan(root, answer) &&
        add_edges(root, answer) && add_section(root, &answer->section) &&
        add_grain(root, answer) && add_forgotten(root, answer) &&
        add_scatter(root, answer) && bt_json_add_glue_gap(root, &answer->gap) &&
        bt_json_add_worst_opening(root, answer) && add_dry_fits(root, answer) &&
        add_springs(root, answer) &&
        bt_json_add_cup_limit(root, answer->judged, &answer->cup) &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_edges_answer_verdict(answer))) &&
        bt_json_add_cautions(root, answer->job, BT_CAUTION_EDGES);

    return bt_json_finish(root, built, out);
}
