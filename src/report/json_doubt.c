/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json_doubt.h"

#include <math.h>

static const char *agreement_name(enum bt_agreement agreement)
{
    switch (agreement) {
    case BT_AGREE:
        return "agree";
    case BT_AGREE_TOO_BAD:
        return "too bad";
    case BT_AGREE_TOO_GOOD:
        return "too good";
    case BT_AGREE_UNKNOWN:
        break;
    }
    return "not known";
}

bool bt_json_add_agreement(cJSON *adjustment, const struct bt_flatness *flatness)
{
    const struct bt_form_without *without = &flatness->without;
    cJSON *object;

    if (!bt_json_add_text(adjustment, "agreement",
                          agreement_name(bt_flatness_agreement(flatness))) ||
        !bt_json_add_number(adjustment, "agreement_p", flatness->agreement))
        return false;
    if (!without->known)
        return cJSON_AddNullToObject(adjustment, "without_suspects") != NULL;
    object = cJSON_AddObjectToObject(adjustment, "without_suspects");
    return bt_json_add_measured(object, "bow_mm", &without->bow) &&
           bt_json_add_measured(object, "cup_mm", &without->cup) &&
           bt_json_add_measured(object, "twist_mm", &without->twist);
}

static const char *state_name(enum bt_weight_state state)
{
    switch (state) {
    case BT_WEIGHT_TAKEN_OFF:
        return "taken off";
    case BT_WEIGHT_MISSING:
        return "not known";
    case BT_WEIGHT_NOT_STATED:
        return "supports not stated";
    case BT_WEIGHT_NONE:
        break;
    }
    return "none";
}

static bool add_weight(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_own_weight *w = &r->weight;
    cJSON *object = cJSON_AddObjectToObject(root, "own_weight");

    return bt_json_add_text(object, "state", state_name(w->state)) &&
           bt_json_add_text(object, "missing", w->missing ? w->missing : "") &&
           bt_json_add_number(object, "deepest_mm", w->deepest) &&
           bt_json_add_number(object, "u_relative", w->u) &&
           bt_json_add_number(object, "sag_on_ends_mm", w->most) &&
           cJSON_AddBoolToObject(object, "matters", w->matters) != NULL;
}

static bool add_figures(cJSON *object, const double value[BT_DOUBTS])
{
    static const char *const keys[BT_DOUBTS] = {"cup_mm",   "bow_mm",  "twist_mm",
                                                "range_mm", "zone_mm", "local_mm"};

    for (int k = 0; k < BT_DOUBTS; k++)
        if (!bt_json_add_number(object, keys[k], value[k]))
            return false;
    return object != NULL;
}

static bool add_correction(cJSON *array, const struct bt_set_result *r,
                           const struct bt_correction *c)
{
    const bool weight = c->kind == BT_CORRECTION_WEIGHT;
    const bool named =
        c->instrument >= 0 && (size_t)c->instrument < r->job->ninstrument;
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_text(object, "kind", bt_correction_name(c->kind)) &&
           bt_json_add_text(object, "instrument",
                            named ? r->job->instrument[c->instrument].name : "") &&
           bt_json_add_number(object, weight ? "factor" : "value_mm", c->value) &&
           bt_json_add_number(object, weight ? "u_factor" : "u_mm", c->u) &&
           cJSON_AddBoolToObject(object, "seen", c->seen) != NULL &&
           add_figures(cJSON_AddObjectToObject(object, "change"), c->change) &&
           add_figures(cJSON_AddObjectToObject(object, "share"), c->share);
}

static bool add_corrections(cJSON *root, const struct bt_set_result *r)
{
    cJSON *array = cJSON_AddArrayToObject(root, "corrections");

    if (!array)
        return false;
    for (size_t c = 0; c < r->flatness.ncorrection; c++)
        if (!add_correction(array, r, &r->flatness.correction[c]))
            return false;
    return true;
}

/* Of each kind of reading what it alone leaves unsure of each figure. */
static bool add_readings(cJSON *root, const struct bt_set_result *r)
{
    cJSON *array = cJSON_AddArrayToObject(root, "u_of_readings");

    for (int kind = 0; array && kind < BT_READ_KINDS; kind++) {
        double u[BT_DOUBTS];
        cJSON *object;

        if (!r->set->kinds[kind])
            continue;
        for (int k = 0; k < BT_DOUBTS; k++)
            u[k] = r->flatness.readings_u[k][kind];
        object = bt_json_append_object(array);
        if (!object ||
            !bt_json_add_text(object, "kind",
                              bt_reading_kind_name((enum bt_reading_kind)kind)) ||
            !add_figures(object, u))
            return false;
    }
    return array != NULL;
}

bool bt_json_add_doubt(cJSON *root, const struct bt_set_result *r)
{
    return add_weight(root, r) && add_corrections(root, r) && add_readings(root, r);
}
