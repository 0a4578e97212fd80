/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/report/trend_text.h"
#include "report/json_value.h"

static bool add_date(cJSON *parent, const char *key, bool known, long day)
{
    char date[BT_DATE_ROOM];

    if (!known)
        return cJSON_AddNullToObject(parent, key) != NULL;
    return bt_json_add_text(parent, key, bt_date_of_day(date, day));
}

static bool add_set_name(cJSON *object, const struct bt_trend_set *set)
{
    return object && bt_json_add_text(object, "set", set->set->name) &&
           add_date(object, "date", *set->set->date != '\0', set->day);
}

static bool add_sets(cJSON *root, const struct bt_trend_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "sets");

    if (!array)
        return false;
    for (size_t i = 0; i < a->nused; i++) {
        const struct bt_trend_set *set = &a->set[a->used[i]];
        cJSON *object = bt_json_append_object(array);

        if (!add_set_name(object, set) ||
            !bt_json_add_measured(object, "cup_mm", &set->parts.form.cup) ||
            !bt_json_add_measured(object, "bow_mm", &set->parts.form.bow) ||
            !bt_json_add_measured(object, "twist_mm", &set->parts.form.twist) ||
            !bt_json_add_count(object, "suspects", set->nsuspect))
            return false;
    }
    return true;
}

static bool add_left_out(cJSON *root, const struct bt_trend_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "left_out");

    if (!array)
        return false;
    for (size_t i = 0; i < a->nset; i++) {
        const struct bt_trend_set *set = &a->set[i];
        cJSON *object;

        if (set->use == BT_TREND_USED)
            continue;
        object = bt_json_append_object(array);
        if (!add_set_name(object, set) ||
            !bt_json_add_text(object, "why", bt_trend_left_out(set)))
            return false;
    }
    return true;
}

static bool add_drying(cJSON *root, const struct bt_trend_answer *a)
{
    cJSON *object;

    if (!a->tau_known)
        return cJSON_AddNullToObject(root, "drying") != NULL;
    object = cJSON_AddObjectToObject(root, "drying");
    return object && bt_json_add_number(object, "constant_days", a->tau.middle) &&
           bt_json_add_number(object, "least_days", a->tau.least) &&
           bt_json_add_number(object, "most_days", a->tau.most);
}

static bool add_rest(cJSON *parent, const struct bt_trend_line *line)
{
    const struct bt_trend_rest *rest = &line->rest;
    const struct bt_measured tau = {rest->tau, rest->tau * sqrt(rest->covariance[2][2]),
                                    true};
    struct bt_measured left, end;
    cJSON *object;

    if (!line->fitted)
        return cJSON_AddNullToObject(parent, "rest") != NULL;
    left = bt_trend_left(rest, rest->last);
    end = bt_trend_end(rest);
    object = cJSON_AddObjectToObject(parent, "rest");
    return object && cJSON_AddBoolToObject(object, "follows", line->follows) &&
           bt_json_add_measured(object, "left_mm", &left) &&
           bt_json_add_measured(object, "end_mm", &end) &&
           bt_json_add_measured(object, "constant_days", &tau) &&
           bt_json_add_number(object, "chi2", rest->chi2) &&
           bt_json_add_count(object, "dof", rest->dof) &&
           bt_json_add_number(object, "agreement", rest->agreement) &&
           bt_json_add_text(object, "verdict", bt_verdict_text(line->at_rest));
}

static bool add_figures(cJSON *root, const struct bt_trend_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "figures");

    if (!array)
        return false;
    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &a->line[i];
        cJSON *object = bt_json_append_object(array);

        if (!object ||
            !bt_json_add_text(object, "name", bt_figure_name(line->figure)) ||
            !bt_json_add_measured(object, "change_mm", &line->change) ||
            !bt_json_add_measured(object, "total_mm", &line->total) ||
            !bt_json_add_number(object, "limit_mm", line->limit) ||
            !bt_json_add_number(object, "matters_mm", line->matters) ||
            !bt_json_add_text(object, "verdict",
                              bt_trend_verdict_text(line->verdict)) ||
            !add_rest(object, line))
            return false;
    }
    return true;
}

static bool add_next(cJSON *root, const struct bt_trend_answer *a)
{
    static const char *const why[] = {
        [BT_TREND_NEXT_NONE] = "settled",
        [BT_TREND_NEXT_REST] = "what is still to come is under u by then",
        [BT_TREND_NEXT_CONSTANT] = "a drying time constant later",
        [BT_TREND_NEXT_AGAIN] = "as long again",
        [BT_TREND_NEXT_FINER] = "read finer: waiting shows no more"};
    const bool dated = a->next != BT_TREND_NEXT_NONE && a->next != BT_TREND_NEXT_FINER;
    cJSON *object = cJSON_AddObjectToObject(root, "next");

    return object && add_date(object, "date", dated, a->next_day) &&
           bt_json_add_text(object, "why", why[a->next]);
}

static bool add_answer(cJSON *root, const struct bt_trend_answer *a)
{
    const struct bt_set *latest = a->set[a->latest].set;

    return bt_json_add_text(root, "verdict", bt_trend_verdict_text(a->verdict)) &&
           bt_json_add_text(root, "face",
                            latest->face == BT_FACE_TOP ? "top" : "bottom") &&
           bt_json_add_text(root, "from", a->set[a->before].set->name) &&
           bt_json_add_text(root, "to", latest->name) &&
           bt_json_add_number(
               root, "days", (double)(a->set[a->latest].day - a->set[a->before].day)) &&
           cJSON_AddBoolToObject(root, "same_places", a->same_places) &&
           bt_json_add_number(root, "share", a->share) && add_figures(root, a) &&
           add_next(root, a) && add_drying(root, a) && add_sets(root, a) &&
           add_left_out(root, a);
}

enum bt_status bt_json_trend(const struct bt_trend_answer *answer,
                             struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    char *text = root && add_answer(root, answer) ? cJSON_Print(root) : NULL;

    if (text) {
        const size_t before = out->length;

        bt_buffer_text(out, text);
        bt_buffer_text(out, "\n");
        if (out->failed && out->text) {
            out->length = before;
            out->text[before] = '\0';
        }
    }
    cJSON_free(text);
    cJSON_Delete(root);
    return text ? bt_buffer_status(out) : BT_ENOMEM;
}
