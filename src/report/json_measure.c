/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/json_joint.h"
#include "report/measure_words.h"

static bool add_panel(cJSON *root, const struct bt_measure_answer *a)
{
    cJSON *panel = cJSON_AddObjectToObject(root, "panel");

    return bt_json_add_number(panel, "length_mm", a->request.length) &&
           bt_json_add_number(panel, "width_mm", a->request.width);
}

static bool add_instruments(cJSON *root, const struct bt_measure_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "instruments");

    if (!array)
        return false;
    for (size_t k = 0; k < a->request.ninstrument; k++) {
        const struct bt_plan_instrument *i = &a->instrument[k];
        cJSON *object = bt_json_append_object(array);
        const bool slope = i->kind == BT_PLAN_LEVEL;

        if (!object ||
            !bt_json_add_text(object, "name", a->tool[k].name ? a->tool[k].name : "") ||
            !bt_json_add_text(object, "kind", bt_measure_kind_name(i->kind)) ||
            !bt_json_add_number(object, slope ? "u_mm_per_m" : "u_mm",
                                slope ? 1000 * i->u : i->u) ||
            !cJSON_AddBoolToObject(object, "u_assumed", a->tool[k].u_assumed) ||
            !bt_json_add_number(object, "reach_mm", i->reach) ||
            !cJSON_AddBoolToObject(object, "reach_assumed", a->tool[k].feet_assumed))
            return false;
    }
    return true;
}

static bool add_figures(cJSON *root, const struct bt_measure_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "figures");

    if (!array)
        return false;
    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        const struct bt_plan_expected *f = &a->plan.figure[k];
        cJSON *object;

        if (!f->wanted)
            continue;
        object = bt_json_append_object(array);
        if (!object ||
            !bt_json_add_text(object, "name",
                              bt_measure_figure_name((enum bt_plan_figure)k)) ||
            !bt_json_add_number(object, "limit_mm", a->limit[k]) ||
            !bt_json_add_number(object, "aim_mm", f->aim) ||
            !bt_json_add_number(object, "u_before_mm", f->before) ||
            !bt_json_add_number(object, "u_after_mm", f->after) ||
            !bt_json_add_number(object, "u_best_mm", f->best) ||
            !cJSON_AddBoolToObject(object, "reached", f->reached))
            return false;
    }
    return true;
}

static bool add_places(cJSON *object, const struct bt_measure_answer *a,
                       const struct bt_plan_step *step)
{
    cJSON *array = cJSON_AddArrayToObject(object, "places");

    if (!array)
        return false;
    for (size_t i = 0; i < step->n; i++) {
        const struct bt_point *p = &a->plan.place[step->first + i];
        cJSON *place = bt_json_append_object(array);

        if (!place || !bt_json_add_number(place, "x_mm", p->x) ||
            !bt_json_add_number(place, "y_mm", p->y))
            return false;
    }
    return true;
}

static bool add_step(cJSON *array, const struct bt_measure_answer *a, size_t k)
{
    const struct bt_plan_step *step = &a->plan.step[k];
    cJSON *object = bt_json_append_object(array);
    struct bt_buffer name = {0};
    bool added;

    bt_measure_step_name(a, k, &name);
    added = object && !name.failed && bt_json_add_text(object, "name", name.text) &&
            bt_json_add_text(object, "kind", bt_measure_kind_name(step->kind)) &&
            bt_json_add_count(object, "instrument", step->instrument) &&
            bt_json_add_count(object, "readings", step->nreading) &&
            add_places(object, a, step);
    bt_buffer_clear(&name);
    return added;
}

static bool add_steps(cJSON *root, const struct bt_measure_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "steps");

    if (!array)
        return false;
    for (size_t k = 0; k < a->plan.nstep; k++)
        if (!add_step(array, a, k))
            return false;
    return true;
}

static bool add_supports(cJSON *root, const struct bt_measure_answer *a)
{
    cJSON *object;

    if (!a->supports_known)
        return cJSON_AddNullToObject(root, "supports") != NULL;
    object = cJSON_AddObjectToObject(root, "supports");
    return bt_json_add_numbers(object, "x_mm", 2, a->support) &&
           bt_json_add_number(object, "sag_mm", a->sag) &&
           bt_json_add_number(object, "sag_at_ends_mm", a->sag_ends) &&
           bt_json_add_text(object, "wood", a->wood);
}

enum bt_status bt_json_measure(const struct bt_measure_answer *answer,
                               struct bt_buffer *out)
{
    static const char *const sources[] = {"typed", "limits", "assumed"};
    const struct bt_plan *plan = &answer->plan;
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root && add_panel(root, answer) &&
        bt_json_add_text(root, "set", answer->set ? answer->set->name : "") &&
        cJSON_AddBoolToObject(root, "reached", bt_measure_answer_reached(answer)) &&
        bt_json_add_text(root, "aim_source", sources[answer->aim_source]) &&
        add_instruments(root, answer) && add_figures(root, answer) &&
        add_steps(root, answer) &&
        bt_json_add_count(root, "readings", plan->nreading) &&
        bt_json_add_number(root, "cost", plan->cost) &&
        bt_json_add_count(root, "dof", plan->dof) &&
        bt_json_add_count(root, "checked", plan->checked) &&
        cJSON_AddBoolToObject(root, "sound", plan->sound) &&
        bt_json_add_count(root, "plans_tried", plan->evaluated) &&
        add_supports(root, answer);

    return bt_json_finish(root, built, out);
}
