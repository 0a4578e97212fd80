/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/json.h"

#include <math.h>

#include "report/json_doubt.h"
#include "report/json_extremes.h"
#include "report/json_value.h"
#include "report/words.h"

static bool add_panel(cJSON *root, const struct bt_panel *panel)
{
    cJSON *object = cJSON_AddObjectToObject(root, "panel");

    return bt_json_add_number(object, "length_mm", panel->length) &&
           bt_json_add_number(object, "width_mm", panel->width) &&
           bt_json_add_number(object, "thickness_mm", panel->thickness);
}

static bool add_readings(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_set *set = r->set;
    const size_t read = set->readings.scan ? set->readings.npoint : set->readings.nobs;
    cJSON *object = cJSON_AddObjectToObject(root, "readings");
    cJSON *kinds;

    if (!bt_json_add_count(object, "count", read + set->skipped) ||
        !bt_json_add_count(object, "used", r->flatness.net->nobs) ||
        !bt_json_add_count(object, "merged_points", set->merged) ||
        !bt_json_add_count(object, "lines_too_long", set->too_long))
        return false;
    kinds = cJSON_AddObjectToObject(object, "kinds");
    if (!kinds)
        return false;
    for (int k = 0; k < BT_READ_KINDS; k++)
        if (set->kinds[k] &&
            !bt_json_add_count(kinds, bt_reading_kind_name((enum bt_reading_kind)k),
                               set->kinds[k]))
            return false;
    return true;
}

/* A text that the words module writes into a buffer. */
static bool add_words(cJSON *parent, const char *key,
                      void (*words)(struct bt_buffer *, const struct bt_unseen *,
                                    const struct bt_flatness *, enum bt_system),
                      const struct bt_unseen *unseen, const struct bt_set_result *r)
{
    struct bt_buffer text = {0};
    bool added;

    words(&text, unseen, &r->flatness, r->job->system);
    added = !text.failed && bt_json_add_text(parent, key, text.text);
    bt_buffer_clear(&text);
    return added;
}

static bool add_unseen(cJSON *parent, const struct bt_set_result *r)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "unseen");

    if (!array)
        return false;
    for (size_t i = 0; i < r->flatness.nunseen; i++) {
        const struct bt_unseen *unseen = &r->flatness.unseen[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !add_words(object, "shape", bt_words_unseen, unseen, r) ||
            !add_words(object, "read_this", bt_words_read_this, unseen, r))
            return false;
    }
    return true;
}

/* The residual of a slope is no length: it has a key of its own. */
static bool add_suspect(cJSON *array, const struct bt_set_result *r,
                        const struct bt_suspect *suspect)
{
    const struct bt_set *set = r->set;
    const struct bt_source *source = bt_set_reading_source(r, suspect->obs);
    bool slope = r->flatness.used->obs[suspect->obs].kind == BT_READ_SLOPE;
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_text(object, "file", set->file[source->file]) &&
           bt_json_add_count(object, "line", source->line) &&
           bt_json_add_number(object, "residual_mm", slope ? NAN : suspect->residual) &&
           (!slope || bt_json_add_number(object, "residual_mm_per_m",
                                         1000 * suspect->residual)) &&
           bt_json_add_number(object, "score", suspect->score) &&
           bt_json_add_number(object, "chance", suspect->chance);
}

static bool add_suspects(cJSON *parent, const struct bt_set_result *r)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "suspects");

    if (!array)
        return false;
    for (size_t i = 0; i < r->flatness.nsuspect; i++)
        if (!add_suspect(array, r, &r->flatness.suspect[i]))
            return false;
    return true;
}

static bool add_loose(cJSON *parent, const struct bt_set_result *r)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "loose");

    if (!array)
        return false;
    for (size_t i = 0; i < r->flatness.nloose; i++) {
        const struct bt_source *source = &r->set->source[r->flatness.loose[i]];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "file", r->set->file[source->file]) ||
            !bt_json_add_count(object, "line", source->line))
            return false;
    }
    return true;
}

/* Of a scan: all of them counted, the first ones with their places. */
static bool add_far_off(cJSON *parent, const struct bt_set_result *r)
{
    const struct bt_far_off *far = &r->flatness.far_off;
    cJSON *array;

    if (!r->set->readings.scan)
        return true;
    array = bt_json_add_count(parent, "far_off_count", far->n)
                ? cJSON_AddArrayToObject(parent, "far_off")
                : NULL;
    if (!array)
        return false;
    for (size_t i = 0; i < far->n && i < BT_FAR_OFF_SHOWN; i++) {
        const struct bt_source source = bt_set_source(r->set, far->point[i]);
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "file", r->set->file[source.file]) ||
            !bt_json_add_count(object, "line", source.line) ||
            !bt_json_add_number(object, "residual_mm", r->flatness.z[far->point[i]]))
            return false;
    }
    return true;
}

static bool add_adjustment(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_network *net = r->flatness.net;
    cJSON *object = cJSON_AddObjectToObject(root, "adjustment");

    return bt_json_add_count(object, "points", net->npoint) &&
           bt_json_add_count(object, "unknowns", net->unknowns) &&
           bt_json_add_count(object, "rank", net->rank) &&
           bt_json_add_count(object, "dof", net->dof) &&
           bt_json_add_number(object, "sigma0", net->sigma0) &&
           bt_json_add_agreement(object, &r->flatness) && add_unseen(object, r) &&
           add_suspects(object, r) && add_loose(object, r) && add_far_off(object, r);
}

static bool add_plane(cJSON *root, const struct bt_flatness *flatness)
{
    cJSON *object;

    if (!flatness->plane_known)
        return cJSON_AddNullToObject(root, "plane") != NULL;
    object = cJSON_AddObjectToObject(root, "plane");
    return bt_json_add_number(object, "a_mm", flatness->plane.a) &&
           bt_json_add_number(object, "b", flatness->plane.b) &&
           bt_json_add_number(object, "c", flatness->plane.c);
}

static bool add_residual(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_residual_figures *residual = &r->flatness.residual;
    cJSON *object = cJSON_AddObjectToObject(root, "residual");

    return bt_json_add_measured(object, "peak_mm", &residual->peak) &&
           bt_json_add_measured(object, "valley_mm", &residual->valley) &&
           bt_json_add_largest(object, "range_mm", &residual->range,
                               &r->extremes.range_sure, r->job->limits.confidence) &&
           bt_json_add_measured(object, "rms_mm", &residual->rms);
}

static bool add_form(cJSON *root, const struct bt_form *form)
{
    const struct bt_rectangle *r = &form->rectangle;
    const double rectangle[4] = {r->x0, r->y0, r->x1, r->y1};
    cJSON *object = cJSON_AddObjectToObject(root, "form");

    return bt_json_add_measured(object, "bow_mm", &form->bow) &&
           bt_json_add_measured(object, "cup_mm", &form->cup) &&
           bt_json_add_measured(object, "twist_mm", &form->twist) &&
           bt_json_add_numbers(object, "rectangle_mm", 4, rectangle) &&
           bt_json_add_text(object, "method",
                            form->twist_from_readings
                                ? "fitted to the heights; twist to the winding sticks"
                                : "fitted to the heights");
}

static bool add_limits(cJSON *root, const struct bt_set_result *r)
{
    cJSON *array = cJSON_AddArrayToObject(root, "limits");

    if (!array)
        return false;
    for (size_t i = 0; i < r->njudgement; i++) {
        const struct bt_judgement *j = &r->judgement[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "name", bt_figure_name(j->figure)) ||
            !bt_json_add_number(object, "limit_mm", j->limit) ||
            !bt_json_add_number(object, "value_mm", j->value) ||
            !bt_json_add_number(object, "u_mm", j->u) ||
            !bt_json_add_number(object, "p_within", j->p_within) ||
            !bt_json_add_text(object, "verdict", bt_verdict_text(j->verdict)) ||
            !bt_json_add_number(object, "guard_band_mm", j->guard) ||
            !bt_json_add_number(object, "consumer_risk", j->risk_accepted) ||
            !bt_json_add_number(object, "producer_risk", j->risk_rejected))
            return false;
    }
    return true;
}

static void write_height(struct bt_buffer *out, const char *before, const char *key,
                         double value)
{
    char text[BT_JSON_NUMBER_ROOM];

    bt_buffer_format(out, "%s\"%s\":%s", before, key, bt_json_number(text, value));
}

/* Written as text, one place a line: a tree of a million of them fills the memory. */
static bool add_heights(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_flatness *f = &r->flatness;
    struct bt_buffer text = {0};
    bool added;

    bt_buffer_text(&text, "[");
    for (size_t i = 0; i < f->net->npoint; i++) {
        write_height(&text, i ? ",\n{" : "\n{", "x_mm", f->used->point[i].x);
        write_height(&text, ",", "y_mm", f->used->point[i].y);
        write_height(&text, ",", "z_mm", f->z[i]);
        write_height(&text, ",", "u_mm", f->u[i]);
        bt_buffer_text(&text, "}");
    }
    bt_buffer_text(&text, "]");
    added = !text.failed && cJSON_AddRawToObject(root, "heights", text.text);
    bt_buffer_clear(&text);
    return added;
}

static bool add_set(cJSON *root, const struct bt_set_result *r)
{
    return root && add_panel(root, &r->job->panel) &&
           bt_json_add_text(root, "set", r->set->name) &&
           bt_json_add_text(root, "face",
                            r->set->face == BT_FACE_TOP ? "top" : "bottom") &&
           add_readings(root, r) && add_adjustment(root, r) &&
           add_plane(root, &r->flatness) && add_residual(root, r) &&
           bt_json_add_zone(root, r) && add_form(root, &r->flatness.form) &&
           bt_json_add_straightedge(root, r) && bt_json_add_facets(root, r) &&
           add_limits(root, r) && bt_json_add_doubt(root, r) && add_heights(root, r);
}

static bool add_sets(cJSON *root, size_t n, const struct bt_set_result result[])
{
    cJSON *array = cJSON_AddArrayToObject(root, "sets");

    if (!array)
        return false;
    for (size_t i = 0; i < n; i++)
        if (!add_set(bt_json_append_object(array), &result[i]))
            return false;
    return true;
}

enum bt_status bt_json_flatness(size_t n, const struct bt_set_result result[], bool all,
                                struct bt_buffer *out)
{
    cJSON *root;
    char *text = NULL;

    if (n == 0)
        return BT_ECALL;
    root = cJSON_CreateObject();
    if (root && (all ? add_sets(root, n, result) : add_set(root, &result[0])))
        text = cJSON_Print(root);
    if (text) {
        size_t before = out->length;

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
