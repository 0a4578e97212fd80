/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/movement_form.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* Steeper rings are as good as upright: their heart is far to the side. */
#define STEEP 1.3

static bool alike(const char *text, const char *word)
{
    for (; *text && *word; text++, word++)
        if ((*text >= 'A' && *text <= 'Z' ? *text - 'A' + 'a' : *text) != *word)
            return false;
    return *text == *word;
}

/* 1 heart up, -1 heart down, 0 not known, as it lies in the piece. */
static int heart_side(const struct bt_movement_answer *a, size_t i)
{
    const struct bt_board *row = bt_movement_row(a, i);
    const int turned = a->turned[i] ? -1 : 1;

    if (!row || !row->rings)
        return 0;
    return alike(row->rings, "bark down") ? turned
           : alike(row->rings, "bark up") ? -turned
                                          : 0;
}

/* Of a board as it lies today, `percent` later.  False where it is not known. */
static bool ring_board(const struct bt_movement_answer *a, size_t i, double percent,
                       struct bt_ring_board *out)
{
    const struct bt_board *row = bt_movement_row(a, i);
    const struct bt_wood *wood = &a->wood[i];
    const struct bt_ring_angle *angle = &a->board[i].angle;
    const double c_t = wood->c_tangential.value, c_r = wood->c_radial.value;
    double heart, thickness;

    if (!row || heart_side(a, i) == 0)
        return false;
    heart = isnan(row->heart) ? BT_HEART_TAKEN : row->heart;
    thickness = isnan(row->thickness) ? a->job->panel.thickness : row->thickness;
    *out = (struct bt_ring_board){
        .width = a->board[i].width,
        .thickness = thickness,
        .heart_x =
            angle->low == angle->high ? heart * tan(fmin(angle->angle, STEEP)) : 0,
        .heart_distance = angle->angle > STEEP ? INFINITY : heart,
        .heart_up = heart_side(a, i) > 0,
        .e_tangential = c_t * percent,
        .e_radial = (isnan(c_r) ? c_t : c_r) * percent};
    if (isinf(out->heart_distance))
        out->heart_x = 0;
    return thickness > 0 && out->heart_distance > thickness / 2 && !isnan(c_t);
}

static void find_board(struct bt_movement_answer *a, size_t i)
{
    const struct bt_seasons *s = &a->seasons;
    struct bt_ring_form *form = &a->ring[i];
    struct bt_ring_board dry, damp;
    struct bt_ring_shape shape;

    *form = (struct bt_ring_form){.dry = NAN, .damp = NAN};
    if (!ring_board(a, i, s->driest - s->now, &dry) ||
        !ring_board(a, i, s->dampest - s->now, &damp))
        return;
    if (bt_ring_shape_of(&dry, &shape, NULL) != BT_OK)
        return;
    form->dry = shape.cup;
    if (bt_ring_shape_of(&damp, &shape, NULL) != BT_OK)
        return;
    form->damp = shape.cup;
    form->known = true;
    form->heart_taken = isnan(bt_movement_row(a, i)->heart);
}

/* turn: 0 as they lie, 1 heart up and down in turn, 2 all as the first */
static bool panel_of(const struct bt_movement_answer *a, double percent, int turn,
                     struct bt_ring_board board[], struct bt_ring_panel *out)
{
    for (size_t i = 0; i < a->nboard; i++) {
        if (!ring_board(a, i, percent, &board[i]))
            return false;
        if (turn > 0)
            board[i].heart_up = board[0].heart_up != (turn == 1 && i % 2 == 1);
    }
    return bt_ring_panel_of(a->nboard, board, out, NULL, NULL, NULL) == BT_OK;
}

static enum bt_status find_panel(struct bt_movement_answer *a, struct bt_error *err)
{
    const double dry = a->seasons.driest - a->seasons.now;
    const double damp = a->seasons.dampest - a->seasons.now;
    struct bt_ring_board *board = bt_alloc(a->nboard, sizeof *board);
    struct bt_ring_forms *r = &a->rings;

    if (!board)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    r->known = panel_of(a, dry, 0, board, &r->laid_dry) &&
               panel_of(a, damp, 0, board, &r->laid_damp) &&
               panel_of(a, dry, 1, board, &r->turned_dry) &&
               panel_of(a, damp, 1, board, &r->turned_damp) &&
               panel_of(a, dry, 2, board, &r->alike_dry) &&
               panel_of(a, damp, 2, board, &r->alike_damp);
    bt_free(board);
    return BT_OK;
}

enum bt_status bt_movement_form_find(struct bt_movement_answer *answer,
                                     struct bt_error *err)
{
    struct bt_movement_answer *a = answer;
    struct bt_season_change rate;
    /* of the whole width by one percent, well inside the range */
    struct bt_seasons one = a->seasons;

    one.driest = one.now = 9;
    one.dampest = 10;
    a->thickness = a->job->panel.thickness;
    a->gradient_cup = NAN;
    a->tau = (struct bt_days){NAN, NAN, NAN, NAN};
    if (bt_seasons_width(&one, &rate, NULL) == BT_OK)
        a->gradient_cup =
            bt_gradient_cup(rate.damp / a->width, 1, a->width, a->thickness);
    bt_drying_constant(a->thickness, false, &a->tau, NULL);
    for (size_t i = 0; i < a->nboard; i++)
        find_board(a, i);
    return find_panel(a, err);
}
