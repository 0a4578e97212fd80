/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/report/decide_result.h"
#include "report/decide_words.h"
#include "report/json_joint.h"

/* ---- why ---- */

static bool add_points(cJSON *parent, const struct bt_cause *cause)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "evidence");

    if (!array)
        return false;
    for (size_t i = 0; i < cause->npoint; i++) {
        const struct bt_cause_point *p = &cause->point[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "of", bt_evidence_name(p->kind)) ||
            !bt_json_add_number(object, "points", p->known ? p->points : NAN) ||
            !bt_json_add_text(object, "missing",
                              p->known ? "" : bt_evidence_missing(p->kind)))
            return false;
    }
    return true;
}

static bool add_cause(cJSON *array, const struct bt_cause *cause)
{
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_text(object, "cause", bt_cause_name(cause->kind)) &&
           bt_json_add_number(object, "points", cause->known ? cause->points : NAN) &&
           bt_json_add_text(object, "sentence", bt_cause_sentence(cause->kind)) &&
           add_points(object, cause);
}

static bool add_causes(cJSON *root, const struct bt_causes *causes)
{
    cJSON *object = cJSON_AddObjectToObject(root, "why"), *array;

    if (!object || !cJSON_AddBoolToObject(object, "shown", causes->shown) ||
        !cJSON_AddBoolToObject(object, "clear", causes->clear) ||
        !bt_json_add_text(object, "test", causes->test))
        return false;
    array = cJSON_AddArrayToObject(object, "causes");
    if (!array)
        return false;
    for (size_t i = 0; i < BT_CAUSES; i++)
        if (!add_cause(array, &causes->cause[i]))
            return false;
    return true;
}

static bool add_panel_fence(cJSON *root, const struct bt_decide_answer *a)
{
    cJSON *object;

    if (!a->panel_known)
        return cJSON_AddNullToObject(root, "panel_fence") != NULL;
    object = cJSON_AddObjectToObject(root, "panel_fence");
    if (!bt_json_add_measured_degrees(object, "error_deg", &a->panel.e) ||
        !bt_json_add_number(object, "chi2", a->panel.chi2) ||
        !bt_json_add_number(object, "chi2_p", a->panel.chi2_p) ||
        !bt_json_add_count(object, "dof", a->panel.dof) ||
        !bt_json_add_number(object, "score", a->panel_score) ||
        !cJSON_AddBoolToObject(object, "same_face", a->panel.same_face))
        return false;
    if (a->panel.forgotten < a->setup.nboard)
        return bt_json_add_board(object, "forgotten", a->job, a->panel.forgotten);
    return cJSON_AddNullToObject(object, "forgotten") != NULL;
}

/* ---- what to do ---- */

static bool add_reason(cJSON *object, const struct bt_decide_answer *a,
                       const struct bt_choice *c)
{
    struct bt_buffer text = {0};
    bool done;

    bt_decide_say_reason(&text, a, c, a->job->system);
    done =
        !text.failed && bt_json_add_text(object, "reason", text.text ? text.text : "");
    bt_buffer_clear(&text);
    return done;
}

static bool add_form_left(cJSON *choice, const struct bt_choice *c)
{
    cJSON *object = cJSON_AddObjectToObject(choice, "form_left");

    return bt_json_add_text(object, "how", bt_decide_form_words(c->form)) &&
           bt_json_add_measured(object, "cup_mm", &c->cup) &&
           bt_json_add_measured(object, "bow_mm", &c->bow) &&
           bt_json_add_measured(object, "twist_mm", &c->twist);
}

static bool add_choice(cJSON *array, const struct bt_decide_answer *a,
                       const struct bt_choice *c)
{
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_text(object, "choice", bt_choice_name(c->kind)) &&
           bt_json_add_text(object, "state", bt_choice_state_name(c->state)) &&
           add_reason(object, a, c) &&
           bt_json_add_text(object, "rank_reason", bt_decide_rank_words(c)) &&
           bt_json_add_measured(object, "thickness_mm", &c->thickness) &&
           bt_json_add_measured(object, "width_mm", &c->width) &&
           bt_json_add_measured(object, "removed_mm", &c->removed) &&
           bt_json_add_number(object, "removed_other_mm", c->removed_other) &&
           bt_json_add_number(object, "volume_mm3", c->volume) &&
           bt_json_add_number(object, "passes", c->passes) &&
           bt_json_add_measured(object, "force_n", &c->force) &&
           bt_json_add_number(object, "force_holds_n", c->force_holds) &&
           bt_json_add_measured(object, "stress_mpa", &c->stress) &&
           bt_json_add_number(object, "stress_holds_mpa", c->stress_holds) &&
           bt_json_add_number(object, "time_min", c->minutes) &&
           add_form_left(object, c) &&
           bt_json_add_text(object, "risk", bt_decide_risk(a, c->kind));
}

static bool add_choices(cJSON *root, const struct bt_decide_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "choices");

    if (!array)
        return false;
    for (size_t i = 0; i < BT_CHOICES; i++)
        if (!add_choice(array, a, &a->choices.choice[i]))
            return false;
    return true;
}

/* ---- the map ---- */

static bool add_cells(cJSON *parent, const struct bt_chalk *chalk)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "cells");

    if (!array)
        return false;
    for (size_t i = 0; i < chalk->columns * chalk->rows; i++) {
        const struct bt_chalk_cell *cell = &chalk->cell[i];
        const struct bt_rectangle sides = bt_chalk_sides(chalk, i);
        const double rectangle[] = {sides.x0, sides.y0, sides.x1, sides.y1};
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "name", cell->name) ||
            !bt_json_add_numbers(object, "rectangle_mm", 4, rectangle) ||
            !bt_json_add_number(object, "depth_mm", cell->depth) ||
            !bt_json_add_number(object, "mean_mm", cell->mean))
            return false;
    }
    return true;
}

static bool add_spots(cJSON *parent, const struct bt_decide_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "order");

    if (!array)
        return false;
    for (size_t i = 0; i < a->nspot; i++) {
        cJSON *object = bt_json_append_object(array);

        if (!object ||
            !bt_json_add_text(object, "cell", a->chalk.cell[a->spot[i].cell].name) ||
            !bt_json_add_number(object, "depth_mm", a->spot[i].depth) ||
            !bt_json_add_number(object, "volume_mm3", a->spot[i].volume))
            return false;
    }
    return true;
}

static bool add_map(cJSON *root, const struct bt_decide_answer *a)
{
    cJSON *object;

    if (!a->map_known)
        return cJSON_AddNullToObject(root, "removal_map") != NULL;
    object = cJSON_AddObjectToObject(root, "removal_map");
    return bt_json_add_text(object, "choice", bt_choice_name(a->map_of)) &&
           add_cells(object, &a->chalk) && add_spots(object, a);
}

static bool add_movement(cJSON *root, const struct bt_decide_answer *a)
{
    char date[BT_DATE_ROOM];

    return bt_json_add_text(root, "moving",
                            a->trend_known ? bt_trend_verdict_text(a->trend.verdict)
                                           : "not known") &&
           bt_json_add_text(root, "look_again",
                            a->next_known ? bt_date_of_day(date, a->next_day) : "");
}

static const char *verdict_word(enum bt_verdict verdict)
{
    return verdict == BT_WITHIN ? "leave it"
           : verdict == BT_OVER ? "to be done"
                                : "cannot tell";
}

enum bt_status bt_json_decide(const struct bt_decide_answer *answer,
                              struct bt_buffer *out)
{
    const struct bt_choice *best = bt_choices_best(&answer->choices);
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root &&
        bt_json_add_text(root, "verdict",
                         verdict_word(bt_decide_answer_verdict(answer))) &&
        bt_json_add_text(root, "best", best ? bt_choice_name(best->kind) : "") &&
        bt_json_add_text(root, "set", answer->set->name) &&
        bt_json_add_text(root, "date", answer->set->date) &&
        add_causes(root, &answer->causes) && add_panel_fence(root, answer) &&
        add_movement(root, answer) && add_choices(root, answer) &&
        add_map(root, answer) &&
        bt_json_add_cautions(root, answer->job, BT_CAUTION_DECIDE);

    return bt_json_finish(root, built, out);
}
