/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_opening.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_cautions.h"
#include "report/text_parts.h"
#include "report/words.h"

enum { VALUE = 32 };

static const char *const corner_words[] = {"A, back left", "B, back right",
                                           "C, front right", "D, front left"};

static void add_name(struct bt_buffer *out, const char *name)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, VALUE);
}

/* ---- the opening ---- */

static void add_corner(struct bt_buffer *out, const struct bt_quad_result *q, int k)
{
    const struct bt_measured *angle = &q->figure[BT_QUAD_ANGLE + k];

    add_name(out, corner_words[k]);
    if (!angle->seen) {
        bt_buffer_text(out, "not seen\n");
        return;
    }
    bt_say_angle(out, angle->value, angle->u);
    bt_buffer_text(out, " (u ");
    bt_say_angle_u(out, angle->u);
    bt_buffer_text(out, ")\n");
}

/* `left: 7 mm over 600 mm, towards the front narrower`. */
static void add_lean(struct bt_buffer *out, const struct bt_quad_result *q, bool left,
                     enum bt_system system)
{
    const struct bt_measured *lean =
        &q->figure[left ? BT_QUAD_LEAN_LEFT : BT_QUAD_LEAN_RIGHT];
    const struct bt_measured *depth =
        &q->figure[left ? BT_QUAD_DEPTH_LEFT : BT_QUAD_DEPTH_RIGHT];

    add_name(out, left ? "left wall out of square" : "right wall out of square");
    if (!lean->seen || !depth->seen) {
        bt_buffer_text(out, "not seen\n");
        return;
    }
    bt_say_over(out, lean->value, lean->u, depth->value, system);
    if (fabs(lean->value) > lean->u)
        bt_buffer_format(out, ", towards the front %s",
                         (lean->value > 0) == left ? "narrower" : "wider");
    else
        bt_buffer_text(out, ", square as far as can be told");
    bt_buffer_text(out, "\n");
}

static void add_narrower(struct bt_buffer *out, const struct bt_quad_result *q,
                         enum bt_system system)
{
    const struct bt_measured *n = &q->figure[BT_QUAD_NARROWER];

    add_name(out, "front against back");
    if (!n->seen)
        bt_buffer_text(out, "not seen");
    else if (!(fabs(n->value) > n->u))
        bt_buffer_text(out, "as wide, as far as can be told");
    else {
        bt_say_taped(out, n, system);
        bt_buffer_text(out, n->value > 0 ? " narrower" : " wider");
    }
    bt_buffer_text(out, "\n");
}

static void add_opening(struct bt_buffer *out, const struct bt_opening_answer *a,
                        enum bt_system system)
{
    static const char *const sides[] = {"back wall, A to B", "right wall, B to C",
                                        "front, D to C", "left wall, A to D"};
    const struct bt_quad_result *q = &a->quad;

    bt_buffer_text(out, "\nThe opening\n");
    for (int wall = 0; wall < BT_WALLS; wall++) {
        add_name(out, sides[wall]);
        bt_say_taped(out, &q->figure[BT_QUAD_SIDE + wall], system);
        bt_buffer_text(out, "\n");
    }
    for (int k = 0; k < 2; k++) {
        add_name(out, k ? "diagonal BD" : "diagonal AC");
        bt_say_taped(out, &q->figure[BT_QUAD_DIAGONAL_AC + k], system);
        bt_buffer_text(out, "\n");
    }
    for (int k = 0; k < 4; k++)
        add_corner(out, q, k);
    add_lean(out, q, true, system);
    add_lean(out, q, false, system);
    add_narrower(out, q, system);
}

/* ---- whether the readings agree ---- */

static void add_suspect(struct bt_buffer *out, const struct bt_opening_answer *a,
                        const struct bt_quad_suspect *s, enum bt_system system)
{
    const struct bt_opening_reading *r = &a->job->opening.reading[s->reading];

    bt_buffer_format(out, "  opening.csv:%zu  ", r->source);
    bt_say_opening_reading(out, r, system);
    bt_buffer_column(out, VALUE + 8);
    bt_say_misfit(out, r, &a->quad.check[s->reading], system);
    bt_buffer_text(out, "; without it A ");
    if (!s->figure[BT_QUAD_ANGLE].seen) {
        bt_buffer_text(out, "is not seen\n");
        return;
    }
    bt_say_angle(out, s->figure[BT_QUAD_ANGLE].value, s->figure[BT_QUAD_ANGLE].u);
    bt_buffer_text(out, ", B ");
    bt_say_angle(out, s->figure[BT_QUAD_ANGLE + 1].value,
                 s->figure[BT_QUAD_ANGLE + 1].u);
    bt_buffer_text(out, "\n");
}

static void add_agreement(struct bt_buffer *out, const struct bt_opening_answer *a,
                          const struct bt_text_options *options)
{
    const struct bt_quad_result *q = &a->quad;
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "\nReadings\n");
    add_name(out, "used");
    bt_buffer_format(out, "%zu of %zu", q->used, a->job->opening.nreading);
    if (q->used < a->job->opening.nreading)
        bt_buffer_text(out, ", the others for the shape of the walls");
    bt_buffer_text(out, "\n");
    add_name(out, "agree");
    if (q->dof == 0)
        bt_buffer_text(out, "nothing checks them: one length more would\n");
    else
        bt_buffer_format(out, "%s\n",
                         q->contradiction ? "no, not by what you state of them"
                                          : "yes");
    for (size_t i = 0; i < q->nsuspect; i++)
        add_suspect(out, a, &q->suspect[i], options->system);
    if (q->nask && !a->has_piece) {
        add_name(out, "would determine the rest");
        bt_say_asks(out, q);
        bt_buffer_text(out, "\n");
    }
    if (!options->details)
        return;
    add_name(out, "unknowns, rank, dof");
    bt_buffer_format(out, "%zu, %zu, %zu\n", q->unknowns, q->rank, q->dof);
    if (q->dof == 0)
        return;
    add_name(out, "sigma0");
    bt_buffer_text(out, bt_print_length_bare(text, q->sigma0, 0.01, BT_SYSTEM_MM,
                                             BT_LENGTH_FEELER));
    bt_buffer_text(out, "; as bad by luck: ");
    bt_buffer_text(out, bt_print_share(text, q->p));
    bt_buffer_text(out, "\n");
}

/* ---- walls ---- */

static void add_wall(struct bt_buffer *out, const struct bt_opening_answer *a,
                     enum bt_wall wall, const struct bt_text_options *options)
{
    const enum bt_system system = options->system;
    const struct bt_wall_profile *p = &a->profile[wall];
    const bool scribed = a->has_piece && a->piece.gap[wall].scribed;

    bt_buffer_format(out, "  %s", bt_wall_name(wall));
    bt_buffer_column(out, 10);
    if (!p->zone.seen) {
        bt_buffer_format(out, "not seen: %s\n",
                         p->n ? "read its offsets at three places or more"
                              : "lay a batten along it and read the offsets at three "
                                "places or more");
        return;
    }
    bt_buffer_text(out, "a straight edge leaves ");
    bt_say_taped(out, &p->zone, system);
    bt_buffer_text(out, " at best; pushed home ");
    bt_say_taped(out, &p->home, system);
    bt_buffer_text(out, ", at ");
    bt_say_rule(out, p->station[p->widest].at, system);
    bt_buffer_text(out, "\n");
    if (!scribed && !options->details)
        return;
    bt_buffer_column(out, 10);
    bt_buffer_text(out, "scribe off");
    for (size_t i = 0; i < p->n; i++) {
        bt_buffer_text(out, i ? ", " : " ");
        bt_say_tape(out, p->station[i].scribe, p->station[i].u, system);
        bt_buffer_text(out, " at ");
        bt_say_rule(out, p->station[i].at, system);
    }
    bt_buffer_text(out, "\n");
}

static void add_walls(struct bt_buffer *out, const struct bt_opening_answer *a,
                      const struct bt_text_options *options)
{
    static const enum bt_wall order[] = {BT_WALL_BACK, BT_WALL_LEFT, BT_WALL_RIGHT,
                                         BT_WALL_FRONT};

    bt_buffer_text(out, "\nWalls\n");
    for (int k = 0; k < BT_WALLS; k++)
        if (order[k] != BT_WALL_FRONT || a->plan.front_wall)
            add_wall(out, a, order[k], options);
}

/* ---- gaps ---- */

static void say_spacers(struct bt_buffer *out, const struct bt_opening_answer *a,
                        double gap, enum bt_system system)
{
    const struct bt_job *job = a->job;
    double mm;
    size_t n;

    if (a->plan.spacer < 0)
        return;
    n = bt_spacers(gap, job->feeler[a->plan.spacer].mm, &mm);
    if (n == 0)
        return;
    bt_buffer_format(out, " = %zu ", n);
    bt_buffer_name(out, job->feeler[a->plan.spacer].name);
    bt_buffer_text(out, " (");
    bt_say_length(out, mm, 0, system);
    bt_buffer_text(out, ")");
}

static void add_gap(struct bt_buffer *out, const struct bt_opening_answer *a,
                    enum bt_wall wall, enum bt_system system)
{
    const struct bt_clearance *c = &a->piece.gap[wall];

    bt_buffer_format(out, "  %s", bt_wall_name(wall));
    bt_buffer_column(out, 10);
    if (c->taken > 0)
        bt_say_tape(out, c->taken, 0, system);
    else
        bt_buffer_text(out, "pushed home");
    say_spacers(out, a, c->taken, system);
    if (c->assumed)
        bt_buffer_text(out, " (taken; common practice, no source: [opening] joint)");
    if (c->widest > c->taken) {
        bt_buffer_text(out, ", at the widest place ");
        bt_say_tape(out, c->widest, a->profile[wall].home.u, system);
    }
    if (c->scribed)
        bt_buffer_text(out, ", scribed to the wall");
    if ((wall == BT_WALL_FRONT || wall == BT_WALL_BACK) && c->movement > 0) {
        bt_buffer_text(out, "; the wood closes ");
        bt_say_tape(out, c->movement, a->whole.u_damp, system);
        if (c->sealant > 0) {
            bt_buffer_text(out, " of it, the sealant needs ");
            bt_say_tape(out, c->sealant, c->sealant / 10, system);
        }
    }
    bt_buffer_text(out, "\n");
}

/* `4 mm wider`; wood damper than it will ever be gets narrower all year. */
static void say_change(struct bt_buffer *out, double mm, double u,
                       enum bt_system system)
{
    bt_say_tape(out, fabs(mm), u, system);
    bt_buffer_text(out, mm < 0 ? " narrower" : " wider");
}

static void add_movement(struct bt_buffer *out, const struct bt_opening_answer *a,
                         enum bt_system system)
{
    if (!a->movement_known) {
        bt_buffer_text(out,
                       "  How the wood moves is not known: write species in [panel] "
                       "and driest, dampest in [climate].\n");
        return;
    }
    bt_buffer_text(out, "  Across the grain, from back to front, ");
    bt_buffer_name(out, a->wood);
    bt_buffer_text(out, " gets ");
    say_change(out, a->whole.damp, a->whole.u_damp, system);
    bt_buffer_text(out, " at its dampest and ");
    say_change(out, a->whole.dry, a->whole.u_dry, system);
    bt_buffer_format(out, " at its driest%s.\n",
                     a->now_from == BT_NOW_MIDDLE
                         ? " (cut half-way between: [climate] now is not stated)"
                         : "");
    bt_buffer_text(out,
                   "  Along the grain it does not move; a slanted end slides along "
                   "its wall (benchtrue movement says how far).\n");
    bt_buffer_text(out, a->fixed > 0 ? "  The line " : "  The back edge stays");
    if (a->fixed > 0) {
        bt_say_rule(out, a->fixed, system);
        bt_buffer_text(out, " from the back edge stays");
    }
    bt_buffer_text(out, a->fixed_why == BT_FIXED_AS_STATED ? " ([fixing] fixed)"
                        : a->fixed_why == BT_FIXED_AT_HOME
                            ? " (taken: it is pushed home; [fixing] fixed overrides it)"
                            : " (taken, the middle: [fixing] fixed)");
    if (a->plan.front_wall || !(a->piece.overhang > 0)) {
        bt_buffer_text(out, ".\n");
        return;
    }
    bt_buffer_text(out, ", so the overhang goes from ");
    bt_say_rule(out, a->piece.overhang_driest, system);
    bt_buffer_text(out, " to ");
    bt_say_rule(out, a->piece.overhang_dampest, system);
    bt_buffer_text(out, ".\n");
}

static void add_gaps(struct bt_buffer *out, const struct bt_opening_answer *a,
                     enum bt_system system)
{
    bt_buffer_text(out, "\nGaps\n");
    add_gap(out, a, BT_WALL_BACK, system);
    add_gap(out, a, BT_WALL_LEFT, system);
    add_gap(out, a, BT_WALL_RIGHT, system);
    if (a->plan.front_wall)
        add_gap(out, a, BT_WALL_FRONT, system);
    add_movement(out, a, system);
}

/* ---- the way in ---- */

static void add_straight(struct bt_buffer *out, const struct bt_opening_answer *a,
                         enum bt_system system)
{
    const struct bt_insert *in = &a->piece.insert;

    add_name(out, "straight in");
    if (in->straight) {
        bt_buffer_text(out, "yes, at right angles to the back wall\n");
        return;
    }
    bt_buffer_text(out, "no");
    if (in->give_left > 0 || in->give_right > 0) {
        bt_buffer_text(out, ": it would have to give ");
        bt_say_tape(out, in->give_left, a->quad.figure[BT_QUAD_LEAN_LEFT].u, system);
        bt_buffer_text(out, " at the left, ");
        bt_say_tape(out, in->give_right, a->quad.figure[BT_QUAD_LEAN_RIGHT].u, system);
        bt_buffer_text(out, " at the right; the largest that goes in is ");
        bt_say_rule(out, a->piece.length_back - in->give_left - in->give_right, system);
        bt_buffer_text(out, " long at the back");
    }
    bt_buffer_text(out, "\n");
    add_name(out, "straight, slanting");
    if (isnan(in->nearest)) {
        bt_buffer_text(out, "no, in no direction\n");
        return;
    }
    bt_buffer_text(out, "yes, ");
    bt_say_angle(out, in->nearest, 0);
    bt_buffer_format(out, " to the %s on the way out\n",
                     in->nearest > 0 ? "right" : "left");
}

static void add_turning(struct bt_buffer *out, const struct bt_insert *in,
                        enum bt_system system)
{
    if (in->turning == BT_TURN_NOT_NEEDED)
        return;
    add_name(out, "turned, lying flat");
    if (in->turning == BT_TURN_FOUND) {
        bt_buffer_text(out, "yes: on the way out turn it ");
        bt_say_angle(out, in->turn, 0);
        bt_buffer_format(out, " %s about corner %c, then draw it out ",
                         in->turn > 0 ? "clockwise" : "anticlockwise",
                         "ABCD"[in->pivot]);
        bt_say_angle(out, in->then, 0);
        bt_buffer_format(out, " to the %s of straight\n",
                         in->then > 0 ? "right" : "left");
    } else if (in->turning == BT_TURN_IMPOSSIBLE) {
        bt_buffer_text(out, "impossible: however it is turned it is ");
        bt_say_rule(out, in->least_width, system);
        bt_buffer_text(out, " wide or more, and the front lets through ");
        if (isnan(in->gap))
            bt_buffer_text(out, "nothing");
        else
            bt_say_rule(out, in->gap, system);
        bt_buffer_text(out, "\n");
    } else {
        bt_buffer_text(out,
                       "no way found: about each corner, both ways, it jams after ");
        bt_say_angle(out, in->turned_most, 0);
        bt_buffer_text(out, "; sliding first and then turning was not tried\n");
    }
}

static void add_tilt(struct bt_buffer *out, const struct bt_opening_answer *a,
                     enum bt_system system)
{
    const struct bt_tilt *t = &a->piece.tilt_in;

    if (!a->tilts)
        return;
    add_name(out, "tilted, one end first");
    if (!a->piece.tilt_known) {
        bt_buffer_text(out, "not known: write thickness in [panel]\n");
        return;
    }
    if (!t->possible && isnan(t->height)) {
        bt_buffer_text(out, "no: the front is narrower than the piece is thick\n");
        return;
    }
    bt_buffer_text(out, "at ");
    bt_say_angle(out, t->angle, 0.005);
    bt_buffer_text(out, ", the high end ");
    bt_say_rule(out, t->rise, system);
    bt_buffer_text(out, " up; it needs ");
    bt_say_rule(out, t->height, system);
    bt_buffer_text(out, " of height in all\n");
    add_name(out, "");
    bt_buffer_text(out, "on the way down its diagonal is ");
    bt_say_length(out, t->least_length - a->piece.longest, 0.05, system);
    bt_buffer_format(out,
                     " longer than itself: it %s between the end walls, if they are "
                     "plumb\n",
                     t->turns_down ? "passes" : "jams");
}

static void add_way_in(struct bt_buffer *out, const struct bt_opening_answer *a,
                       enum bt_system system)
{
    bt_buffer_text(out, "\nThe way in\n");
    if (a->level) {
        add_name(out, "from above, level");
        if (isnan(a->height_needed))
            bt_buffer_text(out, "needs its thickness of height ([panel] thickness)\n");
        else {
            bt_buffer_text(out, "needs ");
            bt_say_rule(out, a->height_needed, system);
            bt_buffer_text(out, " of height, if the walls are plumb\n");
        }
        return;
    }
    add_straight(out, a, system);
    add_turning(out, &a->piece.insert, system);
    add_tilt(out, a, system);
}

enum bt_status bt_text_opening(const struct bt_opening_answer *answer,
                               const struct bt_text_options *options,
                               struct bt_buffer *out)
{
    const enum bt_system system = options->system;
    const char *title = answer->job->title;

    bt_text_opening_verdict(out, answer, options);
    bt_buffer_text(out, "\n");
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    add_opening(out, answer, system);
    add_agreement(out, answer, options);
    add_walls(out, answer, options);
    if (answer->has_piece) {
        add_gaps(out, answer, system);
        bt_text_opening_cuts(out, answer, system);
        add_way_in(out, answer, system);
        bt_text_cautions(out, answer->job, BT_CAUTION_CUT);
    }
    return bt_buffer_status(out);
}
