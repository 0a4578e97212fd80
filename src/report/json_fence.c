/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/joint_json.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/json_joint.h"

static const char *agree_words(const struct bt_fence_result *fence)
{
    switch (fence->agree) {
    case BT_FENCE_AGREE:
        return "agree";
    case BT_FENCE_DISAGREE:
        return "disagree";
    case BT_FENCE_UNCHECKED:
        break;
    }
    return "unchecked";
}

static bool add_stations(cJSON *parent, const struct bt_fence_result *fence)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "stations");

    if (!array)
        return false;
    for (size_t i = 0; i < fence->nstation; i++) {
        const struct bt_fence_station *s = &fence->station[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_number(object, "station_mm", s->station) ||
            !bt_json_add_count(object, "count", s->count) ||
            !bt_json_add_measured_degrees(object, "e_deg", &s->e))
            return false;
    }
    return true;
}

static bool add_kinds(cJSON *parent, const struct bt_fence_result *fence)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "kinds");

    if (!array)
        return false;
    for (int k = 0; k < BT_FENCE_KINDS; k++) {
        cJSON *object;

        if (!fence->kind[k].count)
            continue;
        object = bt_json_append_object(array);
        if (!object ||
            !bt_json_add_text(object, "kind",
                              bt_fence_kind_name((enum bt_fence_kind)k)) ||
            !bt_json_add_count(object, "count", fence->kind[k].count) ||
            !bt_json_add_measured_degrees(object, "e_deg", &fence->kind[k].e))
            return false;
    }
    return true;
}

static bool add_gauges(cJSON *parent, const struct bt_fence_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "gauges");

    if (!array)
        return false;
    for (size_t i = 0; i < a->job->fence.ncheck; i++) {
        const struct bt_fence_check *check = &a->job->fence.check[i];
        double zero, most;
        cJSON *object;

        if (!bt_gauge_zero(check, &zero, &most))
            continue;
        object = bt_json_append_object(array);
        if (!object || !bt_json_add_count(object, "line", check->source) ||
            !bt_json_add_degrees(object, "zero_deg", zero) ||
            !bt_json_add_degrees(object, "most_deg", most))
            return false;
    }
    return true;
}

static bool add_worst(cJSON *parent, const struct bt_fence_answer *a)
{
    const struct bt_fence_result *fence = &a->setup.fence;
    cJSON *object;

    if (fence->worst >= a->job->fence.ncheck)
        return cJSON_AddNullToObject(parent, "worst") != NULL;
    object = cJSON_AddObjectToObject(parent, "worst");
    return bt_json_add_text(object, "file",
                            a->job->fence.file ? a->job->fence.file : "") &&
           bt_json_add_count(object, "line",
                             a->job->fence.check[fence->worst].source) &&
           bt_json_add_number(object, "score", fence->worst_score);
}

static bool add_next(cJSON *parent, const struct bt_fence_result *fence)
{
    cJSON *object = cJSON_AddObjectToObject(parent, "next");

    return bt_json_add_text(object, "kind", bt_fence_kind_name(fence->next_kind)) &&
           bt_json_add_number(object, "station_mm", fence->next_station) &&
           bt_json_add_degrees(object, "u_deg", fence->next_u);
}

static bool add_fence(cJSON *root, const struct bt_fence_answer *a)
{
    const struct bt_fence_result *fence = &a->setup.fence;
    const struct bt_measured slope = {1000 * fence->slope.value, 1000 * fence->slope.u,
                                      fence->slope.seen};
    cJSON *object = cJSON_AddObjectToObject(root, "fence");

    return bt_json_add_count(object, "checks", a->job->fence.ncheck) &&
           bt_json_add_measured_degrees(object, "e_deg", &fence->e) &&
           bt_json_add_measured_degrees(object, "slope_deg_per_m", &slope) &&
           bt_json_add_measured_degrees(object, "twist_deg", &fence->twist) &&
           bt_json_add_degrees(object, "scatter_deg", fence->scatter) &&
           bt_json_add_text(object, "agreement", agree_words(fence)) &&
           bt_json_add_number(object, "chi2", fence->chi2) &&
           bt_json_add_number(object, "chi2_p", fence->chi2_p) &&
           bt_json_add_count(object, "dof", fence->dof) &&
           cJSON_AddBoolToObject(object, "undecided", fence->undecided) &&
           add_worst(object, a) && add_gauges(object, a) &&
           add_stations(object, fence) && add_kinds(object, fence) &&
           add_next(object, fence);
}

static bool add_way(cJSON *array, const struct bt_fence_way *way, bool planned)
{
    const struct bt_section *section = &way->section;
    cJSON *object = bt_json_append_object(array);

    return object &&
           bt_json_add_text(object, "pattern", bt_pattern_name(way->pattern)) &&
           cJSON_AddBoolToObject(object, "planned", planned) &&
           bt_json_add_measured(object, "cup_mm", &section->cup) &&
           bt_json_add_number(object, "largest_opening_mm", section->largest_opening) &&
           bt_json_add_degrees(object, "largest_kink_deg", section->largest_kink) &&
           bt_json_add_measured(object, "from_fence_mm", &way->from_fence) &&
           bt_json_add_measured(object, "from_taper_mm", &way->from_taper) &&
           bt_json_add_number(object, "u_scatter_mm", way->u_scatter) &&
           bt_json_add_number(object, "u_twist_mm", way->u_twist);
}

static bool add_ways(cJSON *root, const struct bt_fence_answer *a)
{
    const enum bt_pattern planned = a->planned.pattern;
    cJSON *array = cJSON_AddArrayToObject(root, "ways");

    if (!array)
        return false;
    if (!a->boards_known)
        return true;
    return add_way(array, &a->same, planned == BT_PATTERN_SAME_FACE) &&
           add_way(array, &a->alternate, planned == BT_PATTERN_ALTERNATE_BOARDS) &&
           (*a->no_plan || planned == BT_PATTERN_SAME_FACE ||
            planned == BT_PATTERN_ALTERNATE_BOARDS ||
            add_way(array, &a->planned, true));
}

enum bt_status bt_json_fence(const struct bt_fence_answer *answer,
                             struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root && add_fence(root, answer) && bt_json_add_errors(root, &answer->setup) &&
        add_ways(root, answer) && bt_json_add_text(root, "no_plan", answer->no_plan) &&
        bt_json_add_cup_limit(root, answer->judged, &answer->cup) &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_fence_answer_verdict(answer))) &&
        bt_json_add_cautions(root, answer->job, BT_CAUTION_FENCE);

    return bt_json_finish(root, built, out);
}
