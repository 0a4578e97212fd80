/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/joint_json.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/json_joint.h"

static const char practice[] = "common practice, no source";
static const char stated[] = "job.ini, [glue]";

static bool add_pressure(cJSON *root, const struct bt_glueup_answer *a)
{
    const struct bt_clamping *plan = &a->plan;
    cJSON *object = cJSON_AddObjectToObject(root, "pressure");

    return bt_json_add_text(object, "wood", a->wood) &&
           bt_json_add_sourced(object, "density_kg_per_m3", a->density,
                               "density_source", a->density_source) &&
           bt_json_add_sourced(object, "aim_mpa", plan->pressure, "source",
                               a->pressure.source) &&
           bt_json_add_number(object, "least_mpa", plan->pressure_least) &&
           bt_json_add_number(object, "most_mpa", plan->pressure_most) &&
           bt_json_add_number(object, "reached_mpa", plan->pressure_reached) &&
           bt_json_add_text(object, "reached_band",
                            isnan(plan->pressure_reached)
                                ? ""
                                : bt_band_word(plan, plan->pressure_reached)) &&
           bt_json_add_number(object, "in_time_mpa", plan->pressure_in_time) &&
           bt_json_add_number(object, "force_joint_n", plan->force_joint) &&
           bt_json_add_number(object, "force_reached_n", plan->force_reached);
}

static bool add_places(cJSON *parent, const struct bt_glueup_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "places");

    if (!array)
        return false;
    for (size_t i = 0; i < a->plan.nplace; i++) {
        const struct bt_clamp_place *place = &a->plan.place[i];
        const char *name =
            place->kind < a->job->nclamp ? a->job->clamp[place->kind].name : "";
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_number(object, "x_mm", place->x) ||
            !bt_json_add_text(object, "kind", name) ||
            !bt_json_add_text(object, "side", place->above ? "above" : "below"))
            return false;
    }
    return true;
}

static bool add_clamps(cJSON *root, const struct bt_glueup_answer *a)
{
    const struct bt_clamping *plan = &a->plan;
    cJSON *object = cJSON_AddObjectToObject(root, "clamps");

    return bt_json_add_count(object, "owned", a->clamps_owned) &&
           bt_json_add_count(object, "needed", plan->needed) &&
           bt_json_add_count(object, "needed_spread", plan->needed_spread) &&
           bt_json_add_count(object, "needed_force", plan->needed_force) &&
           bt_json_add_count(object, "shortfall", plan->shortfall) &&
           bt_json_add_count(object, "in_time", plan->in_time) &&
           bt_json_add_count(object, "too_short", plan->too_short) &&
           bt_json_add_number(object, "opening_needed_mm", plan->opening_needed) &&
           bt_json_add_number(object, "caul_spread_mm", plan->caul_spread) &&
           bt_json_add_number(object, "spacing_mm", plan->spacing) &&
           bt_json_add_number(object, "spacing_spread_mm", plan->spacing_spread) &&
           bt_json_add_text(object, "spacing_spread_source",
                            "45 degree spread of a clamp's force; common practice, no "
                            "source") &&
           bt_json_add_number(object, "spacing_force_mm", plan->spacing_force) &&
           bt_json_add_number(object, "end_distance_mm", plan->end_distance) &&
           add_places(object, a) &&
           bt_json_add_number(object, "moment_n", plan->moment) &&
           bt_json_add_number(object, "cup_one_side_mm", plan->cup_clamped) &&
           bt_json_add_number(object, "cup_alternating_mm", plan->cup_alternating) &&
           bt_json_add_number(object, "buckling", plan->buckling);
}

static bool add_stage_joints(cJSON *object, const struct bt_glueup_answer *a,
                             const struct bt_stage *stage)
{
    cJSON *array = cJSON_AddArrayToObject(object, "joints");

    if (!array)
        return false;
    for (size_t k = 0; k < stage->count; k++) {
        cJSON *item = cJSON_CreateNumber((double)(a->plan.order[stage->first + k] + 1));

        if (!item)
            return false;
        cJSON_AddItemToArray(array, item);
    }
    return true;
}

static bool add_stages(cJSON *root, const struct bt_glueup_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "stages");

    if (!array)
        return false;
    for (size_t i = 0; i < a->plan.nstage; i++) {
        const struct bt_stage *stage = &a->plan.stage[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !add_stage_joints(object, a, stage) ||
            !bt_json_add_number(object, "time_min", stage->minutes) ||
            !bt_json_add_count(object, "assemblies", stage->assemblies))
            return false;
    }
    return true;
}

static bool add_glue(cJSON *root, const struct bt_glueup_answer *a)
{
    cJSON *object = cJSON_AddObjectToObject(root, "glue");

    return bt_json_add_text(object, "kind",
                            a->job->glue.kind ? a->job->glue.kind->name : "") &&
           bt_json_add_sourced(object, "shop_c", a->temperature, "shop_source",
                               a->temperature_assumed ? practice : stated) &&
           bt_json_add_sourced(object, "least_c", a->least_temperature.value,
                               "least_source", a->least_temperature.source) &&
           cJSON_AddBoolToObject(object, "too_cold", a->too_cold) &&
           bt_json_add_sourced(object, "open_min", a->open_time.value, "open_source",
                               a->open_time.source) &&
           cJSON_AddBoolToObject(object, "open_too_short", a->plan.open_time_short) &&
           bt_json_add_number(object, "needed_min", a->plan.minutes_needed) &&
           bt_json_add_sourced(object, "spread_min", a->spread_time, "spread_source",
                               a->spread_assumed ? practice : stated) &&
           bt_json_add_sourced(object, "place_min", a->place_time, "place_source",
                               a->place_assumed ? practice : stated) &&
           bt_json_add_sourced(object, "clamp_min", a->clamp_time.value, "clamp_source",
                               a->clamp_time.source) &&
           bt_json_add_sourced(object, "full_h", a->full_time.value, "full_source",
                               a->full_time.source) &&
           bt_json_add_sourced(object, "surface_d", a->surface_days.value,
                               "surface_source", a->surface_days.source);
}

enum bt_status bt_json_glueup(const struct bt_glueup_answer *answer,
                              struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root && add_pressure(root, answer) && add_clamps(root, answer) &&
        add_stages(root, answer) && add_glue(root, answer) &&
        bt_json_add_glue_gap(root, &answer->edges.gap) &&
        bt_json_add_worst_opening(root, &answer->edges) &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_glueup_answer_verdict(answer))) &&
        bt_json_add_cautions(root, answer->job, BT_CAUTION_GLUEUP);

    return bt_json_finish(root, built, out);
}
