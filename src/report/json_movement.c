/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/report/movement_text.h"
#include "report/json_joint.h"

static bool add_mm(cJSON *parent, const char *key, double value, double u)
{
    const struct bt_measured m = {value, u, isfinite(value) && isfinite(u)};

    return bt_json_add_measured(parent, key, &m);
}

static const char *now_source(enum bt_now_from from)
{
    switch (from) {
    case BT_NOW_STATED:
        return "stated";
    case BT_NOW_SET_MOISTURE:
        return "moisture of the readings";
    case BT_NOW_SET_AIR:
        return "air of the readings";
    case BT_NOW_BOARDS:
        return "mean of the boards";
    case BT_NOW_MIDDLE:
        break;
    }
    return "taken between the seasons";
}

static bool add_moisture(cJSON *parent, const char *key, double value, double u)
{
    cJSON *object = cJSON_AddObjectToObject(parent, key);

    return bt_json_add_number(object, "percent", value) &&
           bt_json_add_number(object, "u_percent", u);
}

static bool add_change(cJSON *parent, const char *key, const struct bt_season_change *c)
{
    cJSON *object = cJSON_AddObjectToObject(parent, key);

    return object && add_mm(object, "driest_mm", c->dry, c->u_dry) &&
           add_mm(object, "dampest_mm", c->damp, c->u_damp) &&
           add_mm(object, "range_mm", c->range, c->u_range);
}

static bool add_seasons(cJSON *root, const struct bt_movement_answer *a)
{
    const struct bt_seasons *s = &a->seasons;
    cJSON *object = cJSON_AddObjectToObject(root, "moisture");

    return object && add_moisture(object, "driest", s->driest, s->u_driest) &&
           add_moisture(object, "dampest", s->dampest, s->u_dampest) &&
           add_moisture(object, "now", s->now, s->u_now) &&
           bt_json_add_text(object, "now_source", now_source(a->now_from)) &&
           bt_json_add_text(object, "now_set", a->now_set) &&
           cJSON_AddBoolToObject(object, "outside_coefficients", a->whole.outside) &&
           bt_json_add_text(object, "form", bt_movement_form_text(a->whole.form));
}

static bool add_boards(cJSON *root, const struct bt_movement_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "boards");

    for (size_t i = 0; array && i < a->nboard; i++) {
        cJSON *object = bt_json_append_object(array);
        const struct bt_board *row = bt_movement_row(a, i);

        if (!object || !bt_json_add_text(object, "board", row ? row->name : "") ||
            !bt_json_add_text(object, "wood", a->wood[i].name) ||
            !bt_json_add_number(object, "width_mm", a->board[i].width) ||
            !bt_json_add_degrees(object, "ring_angle_deg", a->board[i].angle.angle) ||
            !add_change(object, "change", &a->each[i]) ||
            !bt_json_add_number(object, "ring_cup_driest_mm", a->ring[i].dry) ||
            !bt_json_add_number(object, "ring_cup_dampest_mm", a->ring[i].damp))
            return false;
    }
    return array != NULL;
}

static bool add_panel(cJSON *root, const struct bt_movement_answer *a)
{
    static const char *const sizes[] = {"opening", "[layout]", "[panel]", "boards.csv"};
    static const char *const strips[] = {"none", "layout", "trimmed", "listed",
                                         "in proportion"};
    static const char *const fixed[] = {"stated", "taken, pushed home at the back wall",
                                        "taken, the middle"};

    return bt_json_add_number(root, "length_mm", a->length) &&
           bt_json_add_sourced(root, "width_mm", a->width, "width_source",
                               sizes[a->size]) &&
           bt_json_add_text(root, "strips", strips[a->strips]) &&
           bt_json_add_number(root, "trimmed_back_mm", a->trim_back) &&
           bt_json_add_number(root, "trimmed_front_mm", a->trim_front) &&
           add_change(root, "width_change", &a->whole) &&
           add_change(root, "length_change", &a->length_change) &&
           bt_json_add_sourced(root, "fixed_mm", a->seasons.fixed, "fixed_source",
                               fixed[a->fixed_why]) &&
           cJSON_AddBoolToObject(root, "pushed_home", a->home) &&
           bt_json_add_number(root, "overhang_driest_mm",
                              a->fitted ? a->fitted->overhang_driest : NAN) &&
           bt_json_add_number(root, "overhang_dampest_mm",
                              a->fitted ? a->fitted->overhang_dampest : NAN) &&
           add_change(root, "back_edge_to_front", &a->back) &&
           add_change(root, "front_edge_to_front", &a->front);
}

static bool add_way(cJSON *object, const struct bt_movement_fixing *m)
{
    const struct bt_fixing_way *way = &m->way;

    return add_mm(object, "needs_mm", way->need, way->u_need) &&
           bt_json_add_number(object, "gives_mm", way->travel) &&
           cJSON_AddBoolToObject(object, "free", isinf(way->travel) != 0) &&
           bt_json_add_number(object, "to_front_mm", way->to_front) &&
           bt_json_add_number(object, "to_back_mm", way->to_back) &&
           bt_json_add_number(object, "slot_needed_mm", way->slot_needed) &&
           bt_json_add_number(object, "set_at_mm", way->at_best) &&
           bt_json_add_number(object, "stands_at_mm", way->at) &&
           bt_json_add_number(object, "left_front_mm", way->left_front) &&
           bt_json_add_number(object, "left_back_mm", way->left_back) &&
           bt_json_add_number(object, "p_enough", way->p_enough) &&
           bt_json_add_number(object, "setback_mm", way->setback) &&
           cJSON_AddBoolToObject(object, "along_the_grain", way->along) &&
           cJSON_AddBoolToObject(object, "off_the_line", way->off_line) &&
           bt_json_add_text(object, "moves", bt_verdict_text(m->moves));
}

static bool add_hold(cJSON *object, const struct bt_movement_fixing *m)
{
    const struct bt_hold *hold = &m->hold;

    return bt_json_add_number(object, "thread_holds_n", hold->thread) &&
           bt_json_add_text(object, "thread_source", hold->thread_source) &&
           bt_json_add_number(object, "head_holds_n", hold->head) &&
           bt_json_add_text(object, "head_source", hold->head_source) &&
           bt_json_add_number(object, "load_n", hold->share) &&
           bt_json_add_text(object, "holds", bt_verdict_text(m->holds));
}

static bool add_fixings(cJSON *root, const struct bt_movement_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "fixings");

    for (size_t i = 0; array && i < a->nfixing; i++) {
        const struct bt_fixing *f = &a->job->fixing.fixing[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "name", f->name) ||
            !bt_json_add_text(object, "kind", bt_fixing_kind_name(f->kind)) ||
            !bt_json_add_number(object, "x_mm", f->x) ||
            !bt_json_add_number(object, "y_mm", f->y) ||
            !bt_json_add_text(object, "into", bt_fixing_into_name(f->into)) ||
            !add_way(object, &a->fixing[i]) || !add_hold(object, &a->fixing[i]))
            return false;
    }
    return array != NULL;
}

static bool add_pair(cJSON *root, const struct bt_movement_answer *a)
{
    const struct bt_fixing_pair *pair = &a->pair;
    cJSON *object;

    if (!pair->held)
        return cJSON_AddNullToObject(root, "held_both_sides") != NULL;
    object = cJSON_AddObjectToObject(root, "held_both_sides");
    return object && bt_json_add_count(object, "back", pair->back + 1) &&
           bt_json_add_count(object, "front", pair->front + 1) &&
           bt_json_add_number(object, "apart_mm", pair->apart) &&
           add_mm(object, "movement_mm", pair->movement, pair->u) &&
           bt_json_add_number(object, "gives_mm", pair->gives) &&
           bt_json_add_number(object, "strain", pair->strain) &&
           bt_json_add_text(object, "verdict", bt_verdict_text(a->pair_verdict));
}

static bool add_edge(cJSON *parent, const char *key, const struct bt_edge_room *room)
{
    cJSON *object = cJSON_AddObjectToObject(parent, key);

    return object && add_mm(object, "out_mm", room->outwards, room->u_outwards) &&
           add_mm(object, "in_mm", room->inwards, room->u_inwards) &&
           bt_json_add_number(object, "room_needed_mm", room->room_needed) &&
           bt_json_add_number(object, "groove_needed_mm", room->depth_needed) &&
           bt_json_add_number(object, "p_room", room->p_room) &&
           bt_json_add_number(object, "p_holds", room->p_holds);
}

static bool add_ends(cJSON *root, const struct bt_movement_answer *a)
{
    static const char *const kinds[] = {"none", "breadboard", "frame"};
    cJSON *object = cJSON_AddObjectToObject(root, "ends");

    return object && bt_json_add_text(object, "kind", kinds[a->job->fixing.ends]) &&
           add_edge(object, "back", &a->ends.back) &&
           add_edge(object, "front", &a->ends.front) &&
           bt_json_add_text(object, "verdict", bt_verdict_text(a->ends_verdict));
}

static bool add_walls(cJSON *root, const struct bt_movement_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "walls");

    for (int wall = 0; array && wall < BT_WALLS; wall++) {
        const struct bt_seal *s = &a->seal[wall];
        cJSON *object;

        if (!a->wall[wall])
            continue;
        object = bt_json_append_object(array);
        if (!object ||
            !bt_json_add_text(object, "wall", bt_wall_name((enum bt_wall)wall)) ||
            !bt_json_add_number(object, "joint_mm", s->joint) ||
            !add_mm(object, "narrowest_mm", s->narrowest, s->u_narrowest) ||
            !add_mm(object, "widest_mm", s->widest, s->u_widest) ||
            !bt_json_add_number(object, "pressed", s->pressed) ||
            !bt_json_add_number(object, "stretched", s->stretched) ||
            !bt_json_add_number(object, "takes", s->takes) ||
            !bt_json_add_number(object, "joint_needed_mm", s->joint_needed) ||
            !bt_json_add_text(object, "verdict",
                              bt_verdict_text(a->seal_verdict[wall])))
            return false;
    }
    return array != NULL;
}

static bool add_cups(cJSON *parent, const char *key, bool known,
                     const struct bt_ring_panel *dry, const struct bt_ring_panel *damp)
{
    cJSON *object = cJSON_AddObjectToObject(parent, key);

    return bt_json_add_number(object, "driest_mm", known ? dry->cup : NAN) &&
           bt_json_add_number(object, "dampest_mm", known ? damp->cup : NAN) &&
           bt_json_add_number(object, "one_board_mm",
                              known ? fmax(dry->ripple, damp->ripple) : NAN);
}

static bool add_form(cJSON *root, const struct bt_movement_answer *a)
{
    const struct bt_ring_forms *r = &a->rings;
    cJSON *object = cJSON_AddObjectToObject(root, "form_through_the_year");

    return object &&
           add_cups(object, "as_laid", r->known, &r->laid_dry, &r->laid_damp) &&
           add_cups(object, "in_turn", r->known, &r->turned_dry, &r->turned_damp) &&
           add_cups(object, "all_alike", r->known, &r->alike_dry, &r->alike_damp) &&
           bt_json_add_number(object, "cup_of_one_percent_mm", a->gradient_cup) &&
           bt_json_add_number(object, "follows_in_least_d", a->tau.least) &&
           bt_json_add_number(object, "follows_in_most_d", a->tau.most);
}

enum bt_status bt_json_movement(const struct bt_movement_answer *answer,
                                struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_movement_answer_verdict(answer))) &&
        cJSON_AddBoolToObject(root, "judged", bt_movement_answer_judges(answer)) &&
        bt_json_add_number(root, "confidence", answer->confidence) &&
        add_seasons(root, answer) && add_panel(root, answer) &&
        add_boards(root, answer) && add_fixings(root, answer) &&
        cJSON_AddBoolToObject(root, "anchored", answer->anchored) &&
        add_pair(root, answer) && add_ends(root, answer) && add_walls(root, answer) &&
        add_form(root, answer);

    return bt_json_finish(root, built, out);
}
