/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json_joint.h"

#include <math.h>
#include <stdio.h>

#include "benchtrue/base/quantity.h"
#include "report/text_cautions.h"

static const char practice[] = "common practice, no source";

bool bt_json_add_degrees(cJSON *parent, const char *key, double rad)
{
    return bt_json_add_number(parent, key, bt_unit_from_inside(rad, BT_UNIT_DEG));
}

bool bt_json_add_measured_degrees(cJSON *parent, const char *key,
                                  const struct bt_measured *m)
{
    const struct bt_measured degrees = {bt_unit_from_inside(m->value, BT_UNIT_DEG),
                                        bt_unit_from_inside(m->u, BT_UNIT_DEG),
                                        m->seen};

    return bt_json_add_measured(parent, key, &degrees);
}

bool bt_json_add_sourced(cJSON *parent, const char *key, double value,
                         const char *source_key, const char *source)
{
    if (!bt_json_add_number(parent, key, value))
        return false;
    if (!source || !*source)
        return cJSON_AddNullToObject(parent, source_key) != NULL;
    return bt_json_add_text(parent, source_key, source);
}

bool bt_json_add_errors(cJSON *root, const struct bt_edge_setup *setup)
{
    cJSON *object = cJSON_AddObjectToObject(root, "errors");

    return bt_json_add_degrees(object, "e_deg", setup->errors.e) &&
           bt_json_add_degrees(object, "u_e_deg", setup->errors.u_e) &&
           bt_json_add_text(object, "e_source",
                            setup->fence_read ? "fence.csv" : practice) &&
           bt_json_add_sourced(object, "scatter_deg",
                               bt_unit_from_inside(setup->own_scatter, BT_UNIT_DEG),
                               "scatter_source",
                               setup->scatter_assumed ? practice : "job.ini") &&
           bt_json_add_sourced(object, "twist_scatter_deg",
                               bt_unit_from_inside(setup->twist_scatter, BT_UNIT_DEG),
                               "twist_scatter_source",
                               setup->twist_scatter > 0 ? practice : NULL) &&
           bt_json_add_sourced(object, "u_taper_mm", setup->errors.u_taper,
                               "u_taper_source",
                               setup->u_taper_assumed ? practice : "job.ini");
}

bool bt_json_add_cup_limit(cJSON *root, bool judged, const struct bt_judgement *cup)
{
    cJSON *array = cJSON_AddArrayToObject(root, "limits"), *object;

    if (!array)
        return false;
    if (!judged)
        return true;
    object = bt_json_append_object(array);
    return object && bt_json_add_text(object, "name", bt_figure_name(cup->figure)) &&
           bt_json_add_number(object, "limit_mm", cup->limit) &&
           bt_json_add_number(object, "value_mm", cup->value) &&
           bt_json_add_number(object, "u_mm", cup->u) &&
           bt_json_add_number(object, "p_within", cup->p_within) &&
           bt_json_add_text(object, "verdict", bt_verdict_text(cup->verdict));
}

bool bt_json_add_glue_gap(cJSON *root, const struct bt_glue_gap *gap)
{
    cJSON *object = cJSON_AddObjectToObject(root, "glue_gap");

    return bt_json_add_sourced(object, "most_mm", gap->most, "source", gap->source);
}

bool bt_json_add_worst_opening(cJSON *root, const struct bt_edges_answer *answer)
{
    const struct bt_judgement *j = &answer->opening;
    cJSON *object;

    if (answer->worst_joint >= answer->section.njoint)
        return cJSON_AddNullToObject(root, "opening") != NULL;
    object = cJSON_AddObjectToObject(root, "opening");
    return bt_json_add_count(object, "joint", answer->worst_joint + 1) &&
           bt_json_add_number(object, "limit_mm", j->limit) &&
           bt_json_add_number(object, "value_mm", j->value) &&
           bt_json_add_number(object, "u_mm", j->u) &&
           bt_json_add_number(object, "p_within", j->p_within) &&
           bt_json_add_text(object, "verdict", bt_verdict_text(j->verdict));
}

static bool add_caution(cJSON *array, const struct bt_caution *caution,
                        const struct bt_job *job)
{
    cJSON *object = bt_json_append_object(array), *boards;

    if (!object || !bt_json_add_text(object, "text", caution->text) ||
        !bt_json_add_text(object, "source", caution->source))
        return false;
    boards = cJSON_AddArrayToObject(object, "boards");
    if (!boards)
        return false;
    for (size_t b = 0; b < job->nboard; b++) {
        if (!bt_caution_for_board(caution, job, b))
            continue;
        if (!bt_json_add_board(bt_json_append_object(boards), "board", job, b))
            return false;
    }
    return true;
}

bool bt_json_add_cautions(cJSON *root, const struct bt_job *job,
                          enum bt_caution_when when)
{
    cJSON *array = cJSON_AddArrayToObject(root, "cautions");

    if (!array)
        return false;
    for (size_t i = 0; i < bt_caution_count(); i++) {
        const struct bt_caution *caution = bt_caution_at(i);

        if (caution->when & (unsigned)when && !add_caution(array, caution, job))
            return false;
    }
    return true;
}

bool bt_json_add_board(cJSON *parent, const char *key, const struct bt_job *job,
                       size_t board)
{
    char number[32];

    if (board < job->nboard && job->board[board].name)
        return bt_json_add_text(parent, key, job->board[board].name);
    snprintf(number, sizeof number, "%zu", board + 1);
    return bt_json_add_text(parent, key, number);
}

enum bt_status bt_json_finish(cJSON *root, bool built, struct bt_buffer *out)
{
    char *text = root && built ? cJSON_Print(root) : NULL;
    const size_t before = out->length;

    if (text) {
        bt_buffer_text(out, text);
        bt_buffer_text(out, "\n");
        if (out->failed && out->text) {
            out->length = before;
            out->text[before] = '\0';
        }
    }
    cJSON_Delete(root);
    if (!text)
        return BT_ENOMEM;
    cJSON_free(text);
    return bt_buffer_status(out);
}
