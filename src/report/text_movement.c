/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_movement.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_parts.h"

enum { VALUE = 22 };

/* ---- pieces ---- */

void bt_movement_say(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, u, system, BT_LENGTH_RULE));
}

void bt_movement_make(struct bt_buffer *out, double mm, enum bt_system system)
{
    const double step = system == BT_SYSTEM_IN ? 25.4 / 32 : 0.5;

    bt_movement_say(out, step * ceil(mm / step - 1e-9), 0, system);
}

static void say(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    bt_movement_say(out, mm, u, system);
}

void bt_movement_name(struct bt_buffer *out, const struct bt_movement_answer *a,
                      size_t i)
{
    const char *name = a->job->fixing.fixing[i].name;

    bt_buffer_format(out, "fixing %zu", i + 1);
    if (*name) {
        bt_buffer_text(out, " (");
        bt_buffer_name(out, name);
        bt_buffer_text(out, ")");
    }
}

static void head(struct bt_buffer *out, const char *name)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, VALUE);
}

/* ---- the panel ---- */

static void add_season(struct bt_buffer *out, const struct bt_movement_answer *a,
                       const char *name, double moisture, double u,
                       const struct bt_season *season, double change, double u_change,
                       enum bt_system system)
{
    head(out, name);
    bt_buffer_format(out, "%.1f %% (u %.1f)", moisture, u);
    if (season && !isnan(season->humidity)) {
        bt_buffer_format(out, ", %.0f %% at ", season->humidity);
        bt_say_temperature(out, season->temperature, system);
    }
    bt_buffer_column(out, 56);
    say(out, a->width + change, u_change, system);
    if (u_change > 0) {
        bt_buffer_text(out, " wide");
        if (change != 0) {
            bt_buffer_text(out, ", ");
            say(out, fabs(change), u_change, system);
            bt_buffer_text(out, change > 0 ? " wider" : " narrower");
        }
    }
    bt_buffer_text(out, "\n");
}

static void add_now(struct bt_buffer *out, const struct bt_movement_answer *a)
{
    bt_buffer_column(out, VALUE);
    switch (a->now_from) {
    case BT_NOW_STATED:
        bt_buffer_text(out, "as [climate] now says\n");
        break;
    case BT_NOW_SET_MOISTURE:
    case BT_NOW_SET_AIR:
        bt_buffer_text(out, a->now_from == BT_NOW_SET_AIR
                                ? "from the air of the readings "
                                : "the moisture of the readings ");
        bt_buffer_name(out, a->now_set);
        bt_buffer_text(out, "; [climate] now overrides it\n");
        break;
    case BT_NOW_BOARDS:
        bt_buffer_text(out, "the mean of boards.csv; [climate] now overrides it\n");
        break;
    case BT_NOW_MIDDLE:
        bt_buffer_text(out, "taken, between the seasons: write now in [climate]\n");
        break;
    }
}

static void add_edge(struct bt_buffer *out, const struct bt_movement_answer *a,
                     const char *name, const struct bt_edge_room *room,
                     enum bt_system system)
{
    head(out, name);
    say(out, room->outwards, room->u_outwards, system);
    bt_buffer_text(out, " out when dampest, ");
    say(out, room->inwards, room->u_inwards, system);
    bt_buffer_text(out, " in when driest\n");
    (void)a;
}

static const char *ring_words(const struct bt_ring_angle *angle)
{
    if (angle->low < 0.1 && angle->high > 1.5)
        return "rings not known";
    return angle->angle < 0.5 ? "flat" : angle->angle > 1.1 ? "quarter" : "rift";
}

static void add_boards(struct bt_buffer *out, const struct bt_movement_answer *a,
                       enum bt_system system)
{
    for (size_t i = 0; i < a->nboard; i++) {
        bt_buffer_text(out, "  ");
        if (bt_movement_row(a, i)) {
            bt_buffer_text(out, "board ");
            bt_buffer_name(out, bt_movement_row(a, i)->name);
        } else {
            bt_buffer_text(out, "the panel");
        }
        bt_buffer_column(out, VALUE);
        say(out, a->each[i].range, a->each[i].u_range, system);
        bt_buffer_text(out, " of ");
        say(out, a->board[i].width, 0.3, system);
        bt_buffer_format(out, " (%s, ", ring_words(&a->board[i].angle));
        bt_buffer_name(out, a->wood[i].name);
        bt_buffer_text(out, ")\n");
    }
}

static void add_warnings(struct bt_buffer *out, const struct bt_movement_answer *a,
                         enum bt_system system)
{
    if (a->whole.outside)
        bt_buffer_text(out, "  Outside the range of the coefficients, 6 to 14 %: the "
                            "long form is used where the shrinkage is known.\n");
    if (a->seasons.now < a->seasons.driest || a->seasons.now > a->seasons.dampest)
        bt_buffer_format(out,
                         "  Today the wood is %s than it will ever be there: let "
                         "it come to the room first.\n",
                         a->seasons.now < a->seasons.driest ? "drier" : "damper");
    if (a->strips == BT_STRIPS_SCALED) {
        bt_buffer_text(out, "  The boards are ");
        say(out, a->boards_width, 0, system);
        bt_buffer_text(out, " together, the piece is ");
        say(out, a->width, 0, system);
        bt_buffer_text(out, ": each is taken in proportion.\n");
    }
}

/* Whose size the piece has, and what of the boards lies in it. */
static void add_piece(struct bt_buffer *out, const struct bt_movement_answer *a,
                      enum bt_system system)
{
    static const char *const sizes[] = {"as the opening asks for, see `opening`",
                                        "as [layout] says", "as [panel] says",
                                        "the boards together"};

    head(out, "finished piece");
    if (!isnan(a->length)) {
        bt_say_rule(out, a->length, system);
        bt_buffer_text(out, " by ");
    }
    bt_say_rule(out, a->width, system);
    bt_buffer_format(out, " across the grain, %s\n", sizes[a->size]);
    if (a->strips == BT_STRIPS_PLAN) {
        bt_buffer_column(out, VALUE);
        bt_buffer_text(out, "its strips as `layout` lays and trims them\n");
    }
    if (a->strips != BT_STRIPS_TRIMMED)
        return;
    bt_buffer_column(out, VALUE);
    bt_buffer_text(out, a->job->nset ? "its boards as listed (it was read, so it is "
                                       "glued), trimmed by "
                                     : "its boards as listed, trimmed by ");
    say(out, a->trim_back, 0.3, system);
    bt_buffer_text(out, " at the back and ");
    say(out, a->trim_front, 0.3, system);
    bt_buffer_text(out, a->job->layout.trim == BT_TRIM_ANY
                            ? " at the front (taken, evenly: [layout] trim)\n"
                            : " at the front, as [layout] trim says\n");
}

static void add_fixed(struct bt_buffer *out, const struct bt_movement_answer *a,
                      enum bt_system system)
{
    head(out, "fixed line");
    if (a->fixed_why == BT_FIXED_AT_HOME) {
        bt_buffer_text(out, "the back edge (taken, since it is pushed home against the "
                            "back wall: [fixing] fixed)\n");
        return;
    }
    say(out, a->seasons.fixed, 0, system);
    bt_buffer_text(out, a->fixed_why == BT_FIXED_AT_MIDDLE
                            ? " from the back edge (taken: [fixing] fixed)\n"
                            : " from the back edge\n");
}

static void add_panel(struct bt_buffer *out, const struct bt_movement_answer *a,
                      const struct bt_text_options *options)
{
    const struct bt_seasons *s = &a->seasons;
    const struct bt_climate *c = &a->job->climate;
    const enum bt_system system = options->system;

    bt_buffer_text(out, "\nThrough the year\n");
    add_piece(out, a, system);
    add_season(out, a, "driest", s->driest, s->u_driest, &c->driest, a->whole.dry,
               a->whole.u_dry, system);
    add_season(out, a, "today", s->now, s->u_now,
               a->now_from == BT_NOW_STATED ? &c->now : NULL, 0, 0, system);
    add_now(out, a);
    add_season(out, a, "dampest", s->dampest, s->u_dampest, &c->dampest, a->whole.damp,
               a->whole.u_damp, system);
    head(out, "change of width");
    say(out, a->whole.range, a->whole.u_range, system);
    bt_buffer_text(out, " (u ");
    say(out, a->whole.u_range, a->whole.u_range / 3, system);
    bt_buffer_text(out, ", of which the wood's scatter ");
    say(out, a->whole.scatter, a->whole.scatter / 3, system);
    bt_buffer_format(out, "), %s\n", bt_movement_form_text(a->whole.form));
    add_fixed(out, a, system);
    add_edge(out, a, "back edge", &a->ends.back, system);
    add_edge(out, a, "front edge", &a->ends.front, system);
    add_warnings(out, a, system);
    if (options->details)
        add_boards(out, a, system);
}

/* ---- ends ---- */

static void add_end(struct bt_buffer *out, const struct bt_movement_answer *a,
                    const char *name, const struct bt_edge_room *room,
                    const struct bt_text_options *options)
{
    const struct bt_fixing_setup *setup = &a->job->fixing;
    const enum bt_system system = options->system;

    head(out, name);
    bt_buffer_text(out, "leave ");
    bt_movement_make(out, room->room_needed, system);
    bt_buffer_text(out, setup->ends == BT_ENDS_FRAME
                            ? " in the groove beyond the edge today"
                            : " beyond the outer tongues and pins today");
    if (!isnan(room->p_room)) {
        bt_buffer_text(out, "; there is ");
        say(out, setup->ends_play, 0, system);
        bt_buffer_text(out, ": ");
        bt_text_paint(out, options,
                      room->p_room >= a->confidence       ? BT_WITHIN
                      : room->p_room <= 1 - a->confidence ? BT_OVER
                                                          : BT_TOO_CLOSE,
                      room->p_room >= a->confidence       ? "enough"
                      : room->p_room <= 1 - a->confidence ? "too little"
                                                          : "too close to call");
    }
    bt_buffer_text(out, "\n");
    if (isnan(room->depth_needed))
        return;
    bt_buffer_column(out, VALUE);
    bt_buffer_text(out, "groove ");
    bt_movement_make(out, room->depth_needed, system);
    bt_buffer_text(out, " deep, so that the edge stays in it when driest\n");
}

static void add_ends(struct bt_buffer *out, const struct bt_movement_answer *a,
                     const struct bt_text_options *options)
{
    const enum bt_system system = options->system;

    if (a->job->fixing.ends == BT_ENDS_NONE)
        return;
    bt_buffer_text(out, a->job->fixing.ends == BT_ENDS_FRAME ? "\nFrame\n"
                                                             : "\nBreadboard ends\n");
    add_end(out, a, "back edge", &a->ends.back, options);
    add_end(out, a, "front edge", &a->ends.front, options);
    if (a->job->fixing.ends == BT_ENDS_FRAME)
        return;
    head(out, "flush today");
    bt_buffer_text(out, "then the panel stands proud of them by ");
    say(out, fmax(a->ends.back.outwards, a->ends.front.outwards),
        a->ends.front.u_outwards, system);
    bt_buffer_text(out, " when dampest and is short by ");
    say(out, fmax(a->ends.back.inwards, a->ends.front.inwards), a->ends.front.u_inwards,
        system);
    bt_buffer_text(out,
                   " when driest\n  Glue and one tight pin at the fixed line only; "
                   "slots across for the other pins.\n");
}

/* ---- walls ---- */

static void add_wall(struct bt_buffer *out, const struct bt_movement_answer *a,
                     int wall, const struct bt_text_options *options)
{
    const struct bt_seal *s = &a->seal[wall];
    const enum bt_system system = options->system;

    head(out, bt_wall_name((enum bt_wall)wall));
    say(out, s->joint, 0, system);
    bt_buffer_text(out, " today, ");
    say(out, s->narrowest, s->u_narrowest, system);
    bt_buffer_text(out, " to ");
    say(out, s->widest, s->u_widest, system);
    if (!isnan(s->takes)) {
        bt_buffer_format(
            out, "; sealant pressed %.0f %%, stretched %.0f %%, takes %.3g %%, ",
            s->pressed * 100, s->stretched * 100, s->takes * 100);
        bt_buffer_text(out, "needs ");
        bt_movement_make(out, s->joint_needed, system);
    }
    bt_buffer_text(out, ": ");
    bt_text_paint(out, options, a->seal_verdict[wall],
                  bt_verdict_text(a->seal_verdict[wall]));
    bt_buffer_text(out, "\n");
}

static void add_overhang(struct bt_buffer *out, const struct bt_movement_answer *a,
                         enum bt_system system)
{
    if (!a->fitted || !(a->fitted->overhang > 0) || isnan(a->fitted->overhang_driest))
        return;
    head(out, "overhang");
    bt_say_rule(out, a->fitted->overhang, system);
    bt_buffer_text(out, " today, ");
    bt_say_rule(out, a->fitted->overhang_driest, system);
    bt_buffer_text(out, " to ");
    bt_say_rule(out, a->fitted->overhang_dampest, system);
    bt_buffer_text(out, "\n");
}

static void add_walls(struct bt_buffer *out, const struct bt_movement_answer *a,
                      const struct bt_text_options *options)
{
    bool any = false, sealed = false;

    if (a->home) {
        bt_buffer_text(out, "\nJoints to the walls\n");
        head(out, bt_wall_name(BT_WALL_BACK));
        bt_buffer_text(out, "none: pushed home ([opening] back_joint)\n");
        any = true;
    }
    for (int wall = 0; wall < BT_WALLS; wall++) {
        if (!a->wall[wall])
            continue;
        if (!any)
            bt_buffer_text(out, "\nJoints to the walls\n");
        any = true;
        sealed |= !isnan(a->seal[wall].takes);
        add_wall(out, a, wall, options);
    }
    add_overhang(out, a, options->system);
    if (sealed)
        bt_buffer_text(out, "  Classes 7.5, 12.5, 20 and 25 of ISO 11600:2002 are how "
                            "far a sealant may be stretched or pressed, in percent\n"
                            "  of the joint. Lay it over a strip that does not stick, "
                            "so that it holds at two sides only.\n");
}

enum bt_status bt_text_movement(const struct bt_movement_answer *answer,
                                const struct bt_text_options *options,
                                struct bt_buffer *out)
{
    const struct bt_job *job = answer->job;

    bt_movement_verdict(out, answer, options);
    if (job->title && *job->title) {
        bt_buffer_text(out, "\n");
        bt_buffer_name(out, job->title);
        bt_buffer_text(out, "\n");
    }
    add_panel(out, answer, options);
    bt_movement_fixings(out, answer, options);
    add_ends(out, answer, options);
    add_walls(out, answer, options);
    bt_movement_form(out, answer, options);
    bt_movement_advice(out, answer);
    return bt_buffer_status(out);
}
