/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_opening.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_parts.h"
#include "report/words.h"

void bt_say_opening_reading(struct bt_buffer *out,
                            const struct bt_opening_reading *reading,
                            enum bt_system system)
{
    char name[BT_OPENING_NAME_ROOM];

    bt_buffer_text(out, bt_opening_reading_name(name, reading));
    if (isnan(reading->at))
        return;
    bt_buffer_text(out, " at ");
    bt_say_rule(out, reading->at, system);
}

void bt_say_misfit(struct bt_buffer *out, const struct bt_opening_reading *reading,
                   const struct bt_quad_check *check, enum bt_system system)
{
    const double size = fabs(check->misfit);

    if (reading->kind == BT_OPENING_ANGLE)
        bt_say_angle(out, size, check->u_misfit);
    else
        bt_say_tape(out, size, check->u_misfit, system);
    if (reading->kind == BT_OPENING_POINT)
        bt_buffer_text(out,
                       check->misfit < 0 ? " outside its wall" : " inside its wall");
    else
        bt_buffer_text(out, check->misfit > 0 ? " too large" : " too small");
}

void bt_say_tape(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(
        out, bt_print_length(text, fabs(mm), u > 0 ? u : 0.2, system, BT_LENGTH_RULE));
}

void bt_say_taped(struct bt_buffer *out, const struct bt_measured *m,
                  enum bt_system system)
{
    if (!m->seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_say_tape(out, m->value, m->u, system);
    bt_buffer_text(out, " (u ");
    if (system == BT_SYSTEM_IN)
        bt_say_rule_u(out, m->u, system);
    else
        bt_say_length(out, m->u, m->u, system);
    bt_buffer_text(out, ")");
}

void bt_say_asks(struct bt_buffer *out, const struct bt_quad_result *quad)
{
    for (size_t i = 0; i < quad->nask; i++) {
        const struct bt_opening_reading r = {
            .kind = quad->ask[i].kind, .where = quad->ask[i].where, .at = NAN};

        bt_buffer_text(out, i == 0 ? "" : i + 1 == quad->nask ? " and " : ", ");
        bt_say_opening_reading(out, &r, BT_SYSTEM_MM);
    }
}

void bt_say_over(struct bt_buffer *out, double mm, double u, double over,
                 enum bt_system system)
{
    bt_say_tape(out, fabs(mm), u, system);
    bt_buffer_text(out, " over ");
    bt_say_rule(out, over, system);
}

/* `the readings do not agree: diagonal BD is 6 mm too large ...`. */
static void say_disagreement(struct bt_buffer *out, const struct bt_opening_answer *a,
                             enum bt_system system)
{
    const struct bt_quad_result *q = &a->quad;
    const struct bt_opening_reading *all = a->job->opening.reading;

    bt_buffer_text(out, ": ");
    if (q->nsuspect == 0) {
        bt_buffer_text(out, "no single reading explains it. Next: measure all again");
        return;
    }
    bt_say_opening_reading(out, &all[q->suspect[0].reading], system);
    bt_buffer_text(out, " is ");
    bt_say_misfit(out, &all[q->suspect[0].reading], &q->check[q->suspect[0].reading],
                  system);
    bt_buffer_text(out, " for the others");
    if (q->equal > 1) {
        bt_buffer_text(out, ", and as suspect ");
        bt_buffer_text(out, q->equal == 2 ? "is " : "are ");
        for (size_t i = 1; i < q->nsuspect; i++) {
            bt_buffer_text(out, i == 1 ? "" : i + 1 == q->equal ? " and " : ", ");
            bt_say_opening_reading(out, &all[q->suspect[i].reading], system);
        }
        if (q->equal > q->nsuspect)
            bt_buffer_format(out, " and %zu more", q->equal - q->nsuspect);
    }
    if (q->more_than_one)
        bt_buffer_text(out, "; another is wrong as well. Next: measure all again");
    else if (q->equal > 1)
        bt_buffer_text(out, ". Next: measure these again, and one length more");
    else
        bt_buffer_text(out, ". Next: measure it again");
}

/* What is left where it does not go straight. */
static void say_give(struct bt_buffer *out, const struct bt_opening_answer *a,
                     enum bt_system system)
{
    const struct bt_insert *in = &a->piece.insert;

    bt_buffer_text(out, "to go straight in it would have to give ");
    bt_say_tape(out, in->give_left, a->quad.figure[BT_QUAD_LEAN_LEFT].u, system);
    bt_buffer_text(out, " at the left and ");
    bt_say_tape(out, in->give_right, a->quad.figure[BT_QUAD_LEAN_RIGHT].u, system);
    bt_buffer_text(out, " at the right");
}

static void say_height(struct bt_buffer *out, const struct bt_opening_answer *a,
                       enum bt_system system)
{
    bt_say_rule(out, a->height_needed, system);
    bt_buffer_text(out, " of height");
    if (isnan(a->plan.headroom))
        return;
    bt_buffer_text(out, ", there is ");
    bt_say_rule(out, a->plan.headroom, system);
}

static void say_no_way(struct bt_buffer *out, const struct bt_opening_answer *a,
                       enum bt_system system)
{
    bt_buffer_text(out, ": ");
    if (a->level) {
        bt_buffer_text(out, "let in from above it needs ");
        say_height(out, a, system);
        bt_buffer_text(out, ". Next: more headroom, or make it in two pieces");
        return;
    }
    if (!a->piece.tilt_in.turns_down) {
        bt_buffer_text(out, "the front is too narrow, and tilted from above it jams "
                            "between the end walls: on the way down it is ");
        bt_say_rule(out, a->piece.tilt_in.least_length, system);
        bt_buffer_text(out, " long");
    } else {
        bt_buffer_text(out, "tilted, one end first, it needs ");
        say_height(out, a, system);
    }
    bt_buffer_text(out, "; ");
    say_give(out, a, system);
    bt_buffer_text(out, ". Next: a wider joint, or a piece in two parts");
}

static void say_fits(struct bt_buffer *out, const struct bt_opening_answer *a,
                     enum bt_system system)
{
    const struct bt_insert *in = &a->piece.insert;

    bt_buffer_text(out, ": ");
    if (a->level) {
        bt_buffer_text(out, "it is let in from above, level");
    } else if (in->straight) {
        bt_buffer_text(out, "it goes straight in");
    } else if (!isnan(in->nearest)) {
        bt_buffer_text(out, "it goes in slanting, ");
        bt_say_angle(out, in->nearest, 0);
        bt_buffer_format(out, " to the %s of straight on the way out",
                         in->nearest > 0 ? "right" : "left");
    } else if (in->turning == BT_TURN_FOUND) {
        bt_buffer_text(out, "it goes in turned by ");
        bt_say_angle(out, in->turn, 0);
        bt_buffer_format(out, " about corner %c", "ABCD"[in->pivot]);
    } else {
        bt_buffer_text(out, "not straight, but tilted, one end first; it needs ");
        say_height(out, a, system);
    }
    bt_buffer_text(out, ". Next: cut it in the order below");
}

static void say_panel(struct bt_buffer *out, const struct bt_opening_answer *a,
                      enum bt_system system)
{
    bt_buffer_text(out, ": the panel is ");
    if (a->panel_short > 0) {
        bt_say_rule(out, a->panel_short, system);
        bt_buffer_text(out, " too short");
    }
    if (a->panel_narrow > 0) {
        bt_buffer_text(out, a->panel_short > 0 ? " and " : "");
        bt_say_rule(out, a->panel_narrow, system);
        bt_buffer_text(out, " too narrow");
    }
    bt_buffer_text(out, " for the piece. Next: a larger panel, or wider joints");
}

static void say_small_joint(struct bt_buffer *out, const struct bt_opening_answer *a,
                            enum bt_system system)
{
    const bool back = a->piece.gap[BT_WALL_BACK].too_small;
    const enum bt_wall wall = back ? BT_WALL_BACK : BT_WALL_FRONT;

    bt_buffer_format(out, ": at the %s the wood and its sealant need ",
                     back ? "back" : "front");
    bt_say_tape(out, a->piece.gap[wall].taken, 0.5, system);
    bt_buffer_format(out,
                     ". Next: widen it in [opening] %s, or use a sealant that moves "
                     "more",
                     back ? "back_joint" : "joint");
}

void bt_text_opening_verdict(struct bt_buffer *out, const struct bt_opening_answer *a,
                             const struct bt_text_options *options)
{
    const enum bt_system system = options->system;
    const enum bt_verdict verdict = bt_opening_answer_verdict(a);

    switch (a->fault) {
    case BT_OPENING_UNSEEN:
        bt_text_paint(out, options, verdict, "Not seen");
        bt_buffer_text(out, ": what was measured leaves the shape of the opening free. "
                            "Next: measure ");
        bt_say_asks(out, &a->quad);
        break;
    case BT_OPENING_DISAGREES:
        bt_text_paint(out, options, verdict, "The readings do not agree");
        say_disagreement(out, a, system);
        break;
    case BT_OPENING_NO_WAY_IN:
        bt_text_paint(out, options, verdict, "It does not go in");
        say_no_way(out, a, system);
        break;
    case BT_OPENING_PANEL:
        bt_text_paint(out, options, verdict, "Too small");
        say_panel(out, a, system);
        break;
    case BT_OPENING_SMALL_JOINT:
        bt_text_paint(out, options, verdict, "The joint is too small");
        say_small_joint(out, a, system);
        break;
    case BT_OPENING_SCRIBE:
        bt_text_paint(out, options, verdict, "More to scribe than you allow");
        bt_buffer_text(out, ": see the walls below. Next: allow more in [opening] "
                            "scribe, straighten the wall, or cover the gap");
        break;
    case BT_OPENING_HEADROOM:
        bt_text_paint(out, options, verdict, "Not known whether it goes in");
        bt_buffer_text(out, ": not straight; ");
        if (isnan(a->height_needed)) {
            bt_buffer_text(out, "tilted needs the thickness. Next: write thickness in "
                                "[panel]");
            break;
        }
        bt_buffer_text(out, "tilted, one end first, it needs ");
        say_height(out, a, system);
        bt_buffer_text(out, ". Next: write headroom in [opening]");
        break;
    default:
        bt_text_paint(out, options, verdict, "It fits");
        say_fits(out, a, system);
        break;
    }
    bt_buffer_text(out, ".\n");
}
