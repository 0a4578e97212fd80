/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdint.h>

#include "benchtrue/report/layout_result.h"
#include "report/json_joint.h"
#include "report/layout_words.h"

static bool add_plan(cJSON *parent, const struct bt_layout_report *r,
                     const struct bt_layout_plan *plan)
{
    cJSON *boards = parent ? cJSON_AddArrayToObject(parent, "boards") : NULL;
    const struct bt_measured width = {plan->blank, plan->blank_u, true};

    if (!boards)
        return false;
    for (size_t k = 0; k < plan->n; k++) {
        cJSON *object = bt_json_append_object(boards);

        if (!bt_json_add_board(object, "board", r->job, plan->board[k]) ||
            !cJSON_AddBoolToObject(object, "turned", plan->turned[k]) ||
            !bt_json_add_number(object, "starts_mm", plan->start[k]))
            return false;
    }
    return bt_json_add_measured(parent, "blank_width_mm", &width) &&
           bt_json_add_number(parent, "trim_back_mm", plan->trim_back) &&
           bt_json_add_number(parent, "trim_front_mm", plan->trim_front) &&
           bt_json_add_number(parent, "first_strip_mm", plan->first) &&
           bt_json_add_number(parent, "last_strip_mm", plan->last) &&
           bt_json_add_number(parent, "narrowest_mm", plan->narrowest) &&
           bt_json_add_number(parent, "wood_mm2", plan->wood) &&
           bt_json_add_number(parent, "waste_mm2", plan->waste) &&
           bt_json_add_count(parent, "turned", plan->nturned) &&
           cJSON_AddBoolToObject(parent, "proven", plan->proven) &&
           bt_json_add_count(parent, "states", plan->steps);
}

static bool add_laid(cJSON *root, const char *key, const struct bt_layout_report *r,
                     const struct bt_laid *laid)
{
    cJSON *object;

    if (!laid->plan.found)
        return cJSON_AddNullToObject(root, key) != NULL;
    object = cJSON_AddObjectToObject(root, key);
    return add_plan(object, r, &laid->plan) &&
           bt_json_add_degrees(object, "turn_deg", laid->turn) &&
           bt_json_add_number(object, "corner_a_x_mm", laid->at.x) &&
           bt_json_add_number(object, "corner_a_y_mm", laid->at.y) &&
           bt_json_add_number(object, "blank_length_mm", laid->blank_length) &&
           bt_json_add_number(object, "trim_ends_mm", laid->end_left) &&
           bt_json_add_numbers(object, "joints_left_mm", laid->plan.n - 1,
                               laid->left + 1) &&
           bt_json_add_numbers(object, "joints_right_mm", laid->plan.n - 1,
                               laid->right + 1);
}

static bool add_rule(cJSON *object, const struct bt_layout_report *r,
                     enum bt_layout_rule rule, size_t clear)
{
    if (!bt_json_add_text(object, "rule", bt_layout_rule_name(rule)))
        return false;
    return rule != BT_RULE_CLEAR ||
           (bt_json_add_number(object, "clear_mm", r->clear[clear].y) &&
            bt_json_add_number(object, "within_mm", r->clear[clear].within) &&
            bt_json_add_text(object, "cutout",
                             r->clear_cutout[clear] == SIZE_MAX
                                 ? ""
                                 : r->job->layout.cutout[r->clear_cutout[clear]].name));
}

static bool add_others(cJSON *root, const struct bt_layout_report *r)
{
    cJSON *array = root ? cJSON_AddArrayToObject(root, "others") : NULL;

    if (!array)
        return false;
    for (size_t i = 0; i < r->answer.nother; i++) {
        const struct bt_layout_other *other = &r->answer.other[i];
        cJSON *object = bt_json_append_object(array);

        if (!bt_json_add_text(object, "way", bt_layout_way_name(other->way)) ||
            (other->way == BT_WAY_WITHOUT &&
             !add_rule(object, r, other->rule, other->clear)) ||
            !add_plan(object, r, &other->plan))
            return false;
    }
    return true;
}

static bool add_blocks(cJSON *root, const struct bt_layout_report *r)
{
    cJSON *array = root ? cJSON_AddArrayToObject(root, "rules") : NULL;

    if (!array)
        return false;
    for (size_t i = 0; i < r->answer.nblock; i++) {
        const struct bt_layout_block *block = &r->answer.block[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !add_rule(object, r, block->rule, block->clear) ||
            !cJSON_AddBoolToObject(object, "impossible_alone", block->alone) ||
            !cJSON_AddBoolToObject(object, "helps", block->relaxed) ||
            (block->relaxed && !add_plan(object, r, &block->plan)))
            return false;
    }
    return true;
}

static bool add_faults(cJSON *object, unsigned faults)
{
    static const char *const names[] = {"outside", "near_edge", "on_joint",
                                        "near_cutout", "near_fixing"};
    cJSON *array = object ? cJSON_AddArrayToObject(object, "faults") : NULL;

    if (!array)
        return false;
    for (int k = 0; k < 5; k++) {
        cJSON *item;

        if (!(faults >> k & 1))
            continue;
        item = cJSON_CreateString(names[k]);
        if (!item)
            return false;
        cJSON_AddItemToArray(array, item);
    }
    return true;
}

static bool add_cutouts(cJSON *root, const struct bt_layout_report *r)
{
    cJSON *array = root ? cJSON_AddArrayToObject(root, "cutouts") : NULL;

    if (!array)
        return false;
    for (size_t i = 0; i < r->job->layout.ncutout; i++) {
        const struct bt_cutout_check *c = &r->cut[i];
        cJSON *object = bt_json_append_object(array);

        if (!bt_json_add_text(object, "name", r->job->layout.cutout[i].name) ||
            !bt_json_add_number(object, "x0_mm", c->low.x) ||
            !bt_json_add_number(object, "y0_mm", c->low.y) ||
            !bt_json_add_number(object, "x1_mm", c->high.x) ||
            !bt_json_add_number(object, "y1_mm", c->high.y) ||
            !bt_json_add_number(object, "edge_mm", c->edge) ||
            !bt_json_add_text(object, "edge", bt_side_words(c->edge_side)) ||
            !bt_json_add_number(object, "joint_mm", c->joint) ||
            !bt_json_add_number(object, "cutout_mm", c->other) ||
            !bt_json_add_number(object, "fixing_mm", c->fixing) ||
            !cJSON_AddBoolToObject(object, "sharp_corners", c->sharp) ||
            !add_faults(object, c->faults))
            return false;
    }
    return true;
}

static const char *source(bool assumed)
{
    return assumed ? "common practice, no source" : "job.ini, [layout]";
}

static bool add_taken(cJSON *root, const struct bt_layout_report *r)
{
    cJSON *object = cJSON_AddObjectToObject(root, "taken");

    return bt_json_add_sourced(object, "narrowest_mm", r->narrowest, "narrowest_source",
                               source(r->narrowest_assumed)) &&
           bt_json_add_sourced(object, "width_u_mm", r->width_u, "width_u_source",
                               source(r->width_u_assumed)) &&
           bt_json_add_sourced(object, "beside_mm", r->beside, "beside_source",
                               source(r->beside_assumed)) &&
           bt_json_add_sourced(object, "clearance_mm", r->clearance, "clearance_source",
                               source(r->clearance_assumed)) &&
           bt_json_add_number(object, "jointing_mm", r->request.jointing);
}

static bool add_piece(cJSON *root, const struct bt_layout_report *r)
{
    cJSON *object = cJSON_AddObjectToObject(root, "piece");

    return bt_json_add_number(object, "length_mm", r->high.x - r->low.x) &&
           bt_json_add_number(object, "width_mm", r->high.y - r->low.y) &&
           cJSON_AddBoolToObject(object, "rectangle", !r->shaped);
}

enum bt_status bt_json_layout(const struct bt_layout_report *r, struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_layout_report_verdict(r))) &&
        add_piece(root, r) && add_laid(root, "best", r, &r->best) &&
        add_laid(root, "outline_turned", r, &r->turned) && add_others(root, r) &&
        bt_json_add_number(root, "missing_mm", r->answer.missing) &&
        bt_json_add_count(root, "boards_too_short", r->answer.too_short) &&
        add_blocks(root, r) && add_cutouts(root, r) && add_taken(root, r) &&
        bt_json_add_cautions(root, r->job, BT_CAUTION_CUT);

    return bt_json_finish(root, built, out);
}
