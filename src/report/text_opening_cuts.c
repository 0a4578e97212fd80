/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/joint_words.h"
#include "report/text_opening.h"

static void add_end(struct bt_buffer *out, const struct bt_cut *c,
                    enum bt_system system)
{
    const bool left = c->edge == BT_WALL_LEFT;

    bt_buffer_format(out, "%s end: ", left ? "left" : "right");
    bt_say_angle(out, c->angle, c->u);
    bt_buffer_text(out, " to the back edge, ");
    bt_say_over(out, c->offset, c->u * c->over, c->over, system);
    if (fabs(c->offset) > c->u * c->over)
        bt_buffer_format(out, ", towards the front %s",
                         (c->offset > 0) == left ? "narrower" : "wider");
    bt_buffer_text(out, left ? "; mark A where it meets the back edge"
                             : "; it meets the back edge ");
    if (!left) {
        bt_say_rule(out, c->from, system);
        bt_buffer_text(out, " from A");
    }
}

/* `back`: the cut of the back edge; what is left there for scribing is still on when
 * the front is measured from it. */
static void add_front(struct bt_buffer *out, const struct bt_cut *c,
                      const struct bt_cut *back, enum bt_system system)
{
    const double more = back->scribed ? back->scribe_most : 0;

    bt_buffer_text(out, "front edge: ");
    bt_say_rule(out, c->from + more, system);
    bt_buffer_text(out, back->scribed
                            ? " from the back edge as jointed at the left end, "
                            : " from the back edge at the left end, ");
    bt_say_rule(out, c->to + more, system);
    bt_buffer_text(out, " at the right; it takes off what the cross-cuts tore out");
    if (back->scribed) {
        bt_buffer_text(out, "; once that is scribed, ");
        bt_say_rule(out, c->from, system);
        bt_buffer_text(out, " and ");
        bt_say_rule(out, c->to, system);
    }
}

void bt_say_cut(struct bt_buffer *out, const struct bt_piece *piece, int k,
                enum bt_system system)
{
    const struct bt_cut *c = &piece->cut[k];

    if (c->edge == BT_WALL_BACK)
        bt_buffer_text(out, "back edge: joint it straight; all else is measured from "
                            "it");
    else if (c->edge == BT_WALL_FRONT)
        add_front(out, c, &piece->cut[0], system);
    else
        add_end(out, c, system);
    if (c->scribed) {
        bt_buffer_text(out, "; leave ");
        bt_say_tape(out, c->scribe_most, c->scribe_most / 10, system);
        bt_buffer_text(out, " more and scribe it last");
    }
}

void bt_text_opening_cuts(struct bt_buffer *out, const struct bt_opening_answer *a,
                          enum bt_system system)
{
    bt_buffer_text(out, "\nCuts, in this order\n");
    for (int k = 0; k < 4; k++) {
        bt_buffer_format(out, "  %d  ", k + 1);
        bt_say_cut(out, &a->piece, k, system);
        bt_buffer_text(out, "\n");
    }
    bt_buffer_text(out, "  The piece is ");
    bt_say_rule(out, a->piece.length_back, system);
    bt_buffer_text(out, " long at the back, ");
    bt_say_rule(out, a->piece.length_front, system);
    bt_buffer_text(out, " at the front.\n");
}
