/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/json_joint.h"
#include "report/text_opening.h"

static const char *const corners[] = {"A", "B", "C", "D"};

static const char *fault_word(enum bt_opening_fault fault)
{
    static const char *const words[] = {"fits",
                                        "not seen",
                                        "readings disagree",
                                        "no way in",
                                        "headroom not stated",
                                        "joint too small",
                                        "scribe over",
                                        "panel too small"};

    return words[fault];
}

static const char *turning_word(enum bt_turning turning)
{
    static const char *const words[] = {"not needed", "found", "not found",
                                        "impossible"};

    return words[turning];
}

/* ---- the opening ---- */

static bool add_point(cJSON *array, const struct bt_point *p)
{
    cJSON *object = bt_json_append_object(array);

    return object && bt_json_add_number(object, "x_mm", p->x) &&
           bt_json_add_number(object, "y_mm", p->y);
}

static bool add_points(cJSON *parent, const char *key, size_t n,
                       const struct bt_point p[])
{
    cJSON *array = cJSON_AddArrayToObject(parent, key);

    if (!array)
        return false;
    for (size_t i = 0; i < n; i++)
        if (!add_point(array, &p[i]))
            return false;
    return true;
}

static bool add_figures(cJSON *parent, const struct bt_measured figure[])
{
    static const char *const sides[] = {"back_mm", "right_mm", "front_mm", "left_mm"};
    static const char *const angles[] = {"angle_a_deg", "angle_b_deg", "angle_c_deg",
                                         "angle_d_deg"};

    for (int k = 0; k < 4; k++)
        if (!bt_json_add_measured(parent, sides[k], &figure[BT_QUAD_SIDE + k]))
            return false;
    for (int k = 0; k < 4; k++)
        if (!bt_json_add_measured_degrees(parent, angles[k],
                                          &figure[BT_QUAD_ANGLE + k]))
            return false;
    return bt_json_add_measured(parent, "diagonal_ac_mm",
                                &figure[BT_QUAD_DIAGONAL_AC]) &&
           bt_json_add_measured(parent, "diagonal_bd_mm",
                                &figure[BT_QUAD_DIAGONAL_BD]) &&
           bt_json_add_measured(parent, "lean_left_mm", &figure[BT_QUAD_LEAN_LEFT]) &&
           bt_json_add_measured(parent, "lean_right_mm", &figure[BT_QUAD_LEAN_RIGHT]) &&
           bt_json_add_measured(parent, "front_narrower_mm",
                                &figure[BT_QUAD_NARROWER]) &&
           bt_json_add_measured(parent, "depth_left_mm", &figure[BT_QUAD_DEPTH_LEFT]) &&
           bt_json_add_measured(parent, "depth_right_mm", &figure[BT_QUAD_DEPTH_RIGHT]);
}

static bool add_opening(cJSON *root, const struct bt_opening_answer *a)
{
    cJSON *object = cJSON_AddObjectToObject(root, "opening");

    return object && add_figures(object, a->quad.figure) &&
           add_points(object, "corners", a->has_piece ? 4 : 0, a->quad.corner);
}

/* ---- readings ---- */

static bool add_name(cJSON *object, const struct bt_opening_reading *r)
{
    char name[BT_OPENING_NAME_ROOM];

    return bt_json_add_count(object, "line", r->source) &&
           bt_json_add_text(object, "reading", bt_opening_reading_name(name, r)) &&
           bt_json_add_number(object, "at_mm", r->at);
}

static bool add_misfit(cJSON *object, const struct bt_opening_reading *r,
                       const struct bt_quad_check *c)
{
    if (r->kind == BT_OPENING_ANGLE)
        return bt_json_add_degrees(object, "residual_deg", c->residual) &&
               bt_json_add_degrees(object, "misfit_deg", c->misfit) &&
               bt_json_add_degrees(object, "u_misfit_deg", c->u_misfit);
    return bt_json_add_number(object, "residual_mm", c->residual) &&
           bt_json_add_number(object, "misfit_mm", c->misfit) &&
           bt_json_add_number(object, "u_misfit_mm", c->u_misfit);
}

static bool add_readings(cJSON *parent, const struct bt_opening_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "readings");

    if (!array)
        return false;
    for (size_t i = 0; i < a->job->opening.nreading; i++) {
        const struct bt_opening_reading *r = &a->job->opening.reading[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !add_name(object, r) ||
            !add_misfit(object, r, &a->quad.check[i]) ||
            !bt_json_add_number(object, "redundancy", a->quad.check[i].redundancy))
            return false;
    }
    return true;
}

static bool add_suspects(cJSON *parent, const struct bt_opening_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "suspects");

    if (!array)
        return false;
    for (size_t i = 0; i < a->quad.nsuspect; i++) {
        const struct bt_quad_suspect *s = &a->quad.suspect[i];
        cJSON *object = bt_json_append_object(array), *without;

        if (!object || !add_name(object, &a->job->opening.reading[s->reading]))
            return false;
        without = cJSON_AddObjectToObject(object, "without_it");
        if (!without || !add_figures(without, s->figure))
            return false;
    }
    return true;
}

static bool add_asks(cJSON *parent, const struct bt_quad_result *q)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "measure");

    if (!array)
        return false;
    for (size_t i = 0; i < q->nask; i++) {
        const struct bt_opening_reading r = {.kind = q->ask[i].kind,
                                             .where = q->ask[i].where};
        char name[BT_OPENING_NAME_ROOM];
        cJSON *item = cJSON_CreateString(bt_opening_reading_name(name, &r));

        if (!item)
            return false;
        cJSON_AddItemToArray(array, item);
    }
    return true;
}

static bool add_adjustment(cJSON *root, const struct bt_opening_answer *a)
{
    const struct bt_quad_result *q = &a->quad;
    cJSON *object = cJSON_AddObjectToObject(root, "adjustment");

    return bt_json_add_count(object, "used", q->used) &&
           bt_json_add_count(object, "unknowns", q->unknowns) &&
           bt_json_add_count(object, "rank", q->rank) &&
           bt_json_add_count(object, "dof", q->dof) &&
           bt_json_add_number(object, "sigma0", q->sigma0) &&
           bt_json_add_number(object, "p", q->p) &&
           cJSON_AddBoolToObject(object, "contradiction", q->contradiction) &&
           cJSON_AddBoolToObject(object, "more_than_one", q->more_than_one) &&
           bt_json_add_count(object, "equally_suspect", q->equal) &&
           add_readings(object, a) && add_suspects(object, a) && add_asks(object, q);
}

/* ---- walls ---- */

static bool add_stations(cJSON *parent, const struct bt_wall_profile *p)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "stations");

    if (!array)
        return false;
    for (size_t i = 0; i < p->n; i++) {
        const struct bt_wall_station *s = &p->station[i];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_number(object, "at_mm", s->at) ||
            !bt_json_add_number(object, "offset_mm", s->offset) ||
            !bt_json_add_number(object, "u_mm", s->u) ||
            !bt_json_add_number(object, "home_gap_mm", s->home) ||
            !bt_json_add_number(object, "scribe_mm", s->scribe))
            return false;
    }
    return true;
}

static bool add_walls(cJSON *root, const struct bt_opening_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "walls");

    if (!array)
        return false;
    for (int wall = 0; wall < BT_WALLS; wall++) {
        const struct bt_wall_profile *p = &a->profile[wall];
        cJSON *object = bt_json_append_object(array);

        if (!object ||
            !bt_json_add_text(object, "wall", bt_wall_name((enum bt_wall)wall)) ||
            !bt_json_add_measured(object, "least_gap_mm", &p->zone) ||
            !bt_json_add_measured(object, "home_gap_mm", &p->home) ||
            !add_stations(object, p))
            return false;
    }
    return true;
}

/* ---- the piece ---- */

static bool add_gaps(cJSON *parent, const struct bt_opening_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "gaps");

    if (!array)
        return false;
    for (int wall = 0; wall < BT_WALLS; wall++) {
        const struct bt_clearance *c = &a->piece.gap[wall];
        const double spacer =
            a->plan.spacer >= 0 ? a->job->feeler[a->plan.spacer].mm : NAN;
        cJSON *object;
        double mm;
        size_t n;

        if (wall == BT_WALL_FRONT && !a->plan.front_wall)
            continue;
        object = bt_json_append_object(array);
        n = bt_spacers(c->taken, spacer, &mm);
        if (!object ||
            !bt_json_add_text(object, "wall", bt_wall_name((enum bt_wall)wall)) ||
            !bt_json_add_number(object, "gap_mm", c->taken) ||
            !bt_json_add_number(object, "stated_mm", c->wanted) ||
            !cJSON_AddBoolToObject(object, "assumed", c->assumed) ||
            !bt_json_add_number(object, "movement_mm", c->movement) ||
            !bt_json_add_number(object, "sealant_least_mm", c->sealant) ||
            !bt_json_add_number(object, "widest_mm", c->widest) ||
            !cJSON_AddBoolToObject(object, "scribed", c->scribed) ||
            !bt_json_add_count(object, "spacers", n))
            return false;
    }
    return true;
}

static bool add_cuts(cJSON *parent, const struct bt_piece *p)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "cuts");

    if (!array)
        return false;
    for (int k = 0; k < 4; k++) {
        const struct bt_cut *c = &p->cut[k];
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_text(object, "edge", bt_wall_name(c->edge)) ||
            !bt_json_add_degrees(object, "angle_deg", c->angle) ||
            !bt_json_add_degrees(object, "u_deg", c->u) ||
            !bt_json_add_number(object, "offset_mm", c->offset) ||
            !bt_json_add_number(object, "over_mm", c->over) ||
            !bt_json_add_number(object, "from_mm", c->from) ||
            !bt_json_add_number(object, "to_mm", c->to) ||
            !bt_json_add_number(object, "scribe_mm", c->scribe_most))
            return false;
    }
    return true;
}

static bool add_free(cJSON *parent, const struct bt_insert *in)
{
    cJSON *array = cJSON_AddArrayToObject(parent, "free_directions");

    if (!array)
        return false;
    for (size_t i = 0; i < in->nfree; i++) {
        cJSON *object = bt_json_append_object(array);

        if (!object || !bt_json_add_degrees(object, "from_deg", in->free[i].from) ||
            !bt_json_add_degrees(object, "to_deg", in->free[i].to))
            return false;
    }
    return true;
}

static bool add_tilt(cJSON *parent, const struct bt_opening_answer *a)
{
    const struct bt_tilt *t = &a->piece.tilt_in;
    cJSON *object;

    if (!a->tilts || !a->piece.tilt_known)
        return cJSON_AddNullToObject(parent, "tilt") != NULL;
    object = cJSON_AddObjectToObject(parent, "tilt");
    return cJSON_AddBoolToObject(object, "possible", t->possible) &&
           bt_json_add_degrees(object, "angle_deg", t->angle) &&
           bt_json_add_number(object, "height_mm", t->height) &&
           bt_json_add_number(object, "rise_mm", t->rise) &&
           bt_json_add_number(object, "diagonal_mm", t->least_length);
}

static bool add_way_in(cJSON *root, const struct bt_opening_answer *a)
{
    const struct bt_insert *in = &a->piece.insert;
    const bool turned = in->turning == BT_TURN_FOUND;
    cJSON *object = cJSON_AddObjectToObject(root, "way_in");

    return cJSON_AddBoolToObject(object, "straight", in->straight) &&
           bt_json_add_degrees(object, "nearest_deg", in->nearest) &&
           add_free(object, in) &&
           bt_json_add_number(object, "give_left_mm", in->give_left) &&
           bt_json_add_number(object, "give_right_mm", in->give_right) &&
           bt_json_add_text(object, "turning", turning_word(in->turning)) &&
           bt_json_add_text(object, "turn_about", turned ? corners[in->pivot] : "") &&
           bt_json_add_degrees(object, "turn_deg", in->turn) &&
           bt_json_add_degrees(object, "then_deg", in->then) &&
           bt_json_add_degrees(object, "turned_most_deg", in->turned_most) &&
           cJSON_AddBoolToObject(object, "from_above_level", a->level) &&
           add_tilt(object, a) &&
           bt_json_add_number(object, "height_needed_mm", a->height_needed) &&
           bt_json_add_number(object, "headroom_mm", a->plan.headroom);
}

static bool add_piece(cJSON *root, const struct bt_opening_answer *a)
{
    const struct bt_piece *p = &a->piece;
    cJSON *object;

    if (!a->has_piece)
        return cJSON_AddNullToObject(root, "piece") != NULL &&
               cJSON_AddNullToObject(root, "way_in") != NULL;
    object = cJSON_AddObjectToObject(root, "piece");
    return object && add_points(object, "outline", p->outline.n, p->outline.p) &&
           bt_json_add_number(object, "length_mm", p->length) &&
           bt_json_add_number(object, "width_mm", p->width) &&
           bt_json_add_number(object, "length_back_mm", p->length_back) &&
           bt_json_add_number(object, "length_front_mm", p->length_front) &&
           bt_json_add_number(object, "overhang_mm", p->overhang) &&
           bt_json_add_number(object, "panel_short_mm", a->panel_short) &&
           bt_json_add_number(object, "panel_narrow_mm", a->panel_narrow) &&
           add_gaps(object, a) && add_cuts(object, p) && add_way_in(root, a);
}

static bool add_movement(cJSON *root, const struct bt_opening_answer *a)
{
    cJSON *object;

    if (!a->movement_known)
        return cJSON_AddNullToObject(root, "movement") != NULL;
    object = cJSON_AddObjectToObject(root, "movement");
    return bt_json_add_text(object, "wood", a->wood) &&
           bt_json_add_number(object, "dampest_mm", a->whole.damp) &&
           bt_json_add_number(object, "u_dampest_mm", a->whole.u_damp) &&
           bt_json_add_number(object, "driest_mm", a->whole.dry) &&
           bt_json_add_number(object, "u_driest_mm", a->whole.u_dry) &&
           bt_json_add_number(object, "fixed_mm", a->fixed) &&
           bt_json_add_number(object, "overhang_driest_mm", a->piece.overhang_driest) &&
           bt_json_add_number(object, "overhang_dampest_mm",
                              a->piece.overhang_dampest) &&
           cJSON_AddBoolToObject(object, "now_taken", a->now_from == BT_NOW_MIDDLE);
}

enum bt_status bt_json_opening(const struct bt_opening_answer *answer,
                               struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_opening_answer_verdict(answer))) &&
        bt_json_add_text(root, "because", fault_word(answer->fault)) &&
        add_opening(root, answer) && add_adjustment(root, answer) &&
        add_walls(root, answer) && add_movement(root, answer) &&
        add_piece(root, answer) &&
        bt_json_add_cautions(root, answer->job, BT_CAUTION_CUT);

    return bt_json_finish(root, built, out);
}
