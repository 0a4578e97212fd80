/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json_extremes.h"

#include <math.h>

#include "benchtrue/base/quantity.h"

static bool add_contacts(cJSON *zone, const struct bt_set_result *r)
{
    const struct bt_extremes *e = &r->extremes;
    cJSON *array = zone ? cJSON_AddArrayToObject(zone, "contacts") : NULL;

    if (!array)
        return false;
    for (int k = 0; e->zone_seen && k < e->zone.ncontact; k++) {
        const struct bt_zone_contact *contact = &e->zone.contact[k];
        const struct bt_point *p = &r->flatness.used->point[contact->point];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_number(object, "x_mm", p->x) ||
            !bt_json_add_number(object, "y_mm", p->y) ||
            !bt_json_add_text(object, "side", contact->side > 0 ? "upper" : "lower"))
            return false;
    }
    return true;
}

static const char *kind_name(enum bt_zone_kind kind)
{
    switch (kind) {
    case BT_ZONE_3_1:
        return "3-1";
    case BT_ZONE_1_3:
        return "1-3";
    case BT_ZONE_2_2:
        return "2-2";
    case BT_ZONE_FLAT:
        break;
    }
    return "flat";
}

bool bt_json_add_zone(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_extremes *e = &r->extremes;
    cJSON *zone = root ? cJSON_AddObjectToObject(root, "zone") : NULL;

    if (!bt_json_add_largest(zone, "width_mm", &e->width, &e->width_sure,
                             r->job->limits.confidence) ||
        !(e->zone_seen ? bt_json_add_numbers(zone, "normal", 3, e->zone.normal)
                       : cJSON_AddNullToObject(zone, "normal") != NULL) ||
        !add_contacts(zone, r))
        return false;
    return e->zone_seen ? bt_json_add_text(zone, "kind", kind_name(e->zone.kind))
                        : cJSON_AddNullToObject(zone, "kind") != NULL;
}

/* As it was typed: without what turning it into radians and back may have left. */
static double typed_degree(double rad)
{
    return round(bt_unit_from_inside(rad, BT_UNIT_DEG) * 1e9) / 1e9;
}

/* One direction of one span; its place is null where there is no gap. */
static bool add_edge(cJSON *array, const struct bt_set_result *r,
                     const struct bt_edge_figure *e)
{
    const bool gap = e->gap.seen && e->gap.value > 0;
    const struct bt_point *p =
        gap ? &r->flatness.used->point[e->at.worst.deepest] : NULL;
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_number(object, "span_mm", e->at.span) &&
           bt_json_add_text(object, "direction",
                            bt_edge_direction_name(e->at.direction)) &&
           (e->at.direction != BT_EDGE_OBLIQUE ||
            bt_json_add_number(object, "angle_deg", typed_degree(e->at.angle))) &&
           bt_json_add_largest(object, "gap_mm", &e->gap, &e->sure,
                               r->job->limits.confidence) &&
           bt_json_add_number(object, "x_mm", p ? p->x : NAN) &&
           bt_json_add_number(object, "y_mm", p ? p->y : NAN);
}

bool bt_json_add_straightedge(cJSON *root, const struct bt_set_result *r)
{
    cJSON *array = root ? cJSON_AddArrayToObject(root, "straightedge") : NULL;

    if (!array)
        return false;
    for (size_t i = 0; i < r->extremes.nedge; i++)
        if (!add_edge(array, r, &r->extremes.edge[i]))
            return false;
    return true;
}

bool bt_json_add_facets(cJSON *root, const struct bt_set_result *r)
{
    const struct bt_facets *facets = &r->extremes.facets;
    cJSON *object = root ? cJSON_AddObjectToObject(root, "facets") : NULL;
    cJSON *array = object ? cJSON_AddArrayToObject(object, "joints") : NULL;

    if (!array)
        return false;
    for (size_t i = 0; i < facets->njoint; i++) {
        cJSON *joint = bt_json_append_object(array);

        if (!joint || !bt_json_add_number(joint, "y_mm", facets->kink[i].y) ||
            !bt_json_add_measured(joint, "kink_deg", &facets->kink[i].degree))
            return false;
    }
    return bt_json_add_text(object, "preferred", bt_facets_text(facets->preferred));
}
