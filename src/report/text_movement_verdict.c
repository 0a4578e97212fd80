/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first line: whether the panel can move, and what to do. */
#include <math.h>

#include "report/joint_words.h"
#include "report/text_movement.h"
#include "report/text_parts.h"

static void say(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    bt_movement_say(out, mm, u, system);
}

static const char *kind_of(const struct bt_movement_answer *a, size_t i)
{
    return bt_fixing_kind_name(a->job->fixing.fixing[i].kind);
}

/* The fixing of that verdict which lacks most; n where there is none. */
static size_t worst_fixing(const struct bt_movement_answer *a, enum bt_verdict verdict)
{
    size_t worst = a->nfixing;
    double most = -INFINITY;

    for (size_t i = 0; i < a->nfixing; i++) {
        const struct bt_fixing_way *way = &a->fixing[i].way;
        const double lacks =
            verdict == BT_NOT_SEEN ? way->need : way->need - way->travel;

        if (a->fixing[i].moves != verdict || !(lacks > most))
            continue;
        most = lacks;
        worst = i;
    }
    return worst;
}

static size_t worst_hold(const struct bt_movement_answer *a, enum bt_verdict verdict)
{
    for (size_t i = 0; i < a->nfixing; i++)
        if (a->fixing[i].holds == verdict)
            return i;
    return a->nfixing;
}

static void say_remedy(struct bt_buffer *out, const struct bt_movement_answer *a,
                       size_t i, enum bt_system system)
{
    const struct bt_fixing_way *way = &a->fixing[i].way;
    const struct bt_fixing *f = &a->job->fixing.fixing[i];

    if (!isnan(f->at) && way->travel >= way->need && !way->along) {
        bt_buffer_text(out, "set its screw ");
        if (fabs(way->at_best) < 0.05)
            bt_buffer_text(out, "in the middle of its way");
        else {
            say(out, fabs(way->at_best), 0.3, system);
            bt_buffer_format(out, " towards the %s of its middle",
                             way->at_best > 0 ? "front" : "back");
        }
    } else if (way->along) {
        bt_buffer_text(out, "turn it across the grain, ");
        bt_movement_make(out, way->slot_needed, system);
        bt_buffer_text(out, " long");
    } else if (f->kind == BT_FIXING_SLOT || f->kind == BT_FIXING_ROUND_HOLE) {
        bt_buffer_text(out, f->kind == BT_FIXING_SLOT ? "lengthen it to "
                                                      : "make it a slot across, ");
        bt_movement_make(out, way->slot_needed, system);
        bt_buffer_text(out, f->kind == BT_FIXING_SLOT ? "" : " long");
    } else {
        bt_buffer_text(out, "take one that lets it go ");
        bt_movement_make(out, way->slot_needed - (isnan(f->screw) ? 0 : f->screw),
                         system);
    }
}

static void say_fixing(struct bt_buffer *out, const struct bt_movement_answer *a,
                       size_t i, enum bt_system system)
{
    const struct bt_fixing_way *way = &a->fixing[i].way;

    bt_movement_name(out, a, i);
    bt_buffer_format(out, ", a %s", kind_of(a, i));
    if (way->along)
        bt_buffer_text(out, " along the grain");
    if (isnan(way->travel)) {
        bt_buffer_text(out, ", has to let the panel go ");
        say(out, way->need, way->u_need, system);
        bt_buffer_text(out, ", and how far it lets it is not known. Next: write its ");
        bt_buffer_text(out, a->job->fixing.fixing[i].kind == BT_FIXING_SLOT
                                ? "slot and screw in fixings.csv"
                                : "travel or arm in fixings.csv");
        return;
    }
    if (way->travel >= way->need && !isnan(a->job->fixing.fixing[i].at)) {
        bt_buffer_text(out, ", gives enough, but its screw stands wrong");
    } else {
        bt_buffer_text(out, ", gives ");
        say(out, way->travel, 0, system);
        bt_buffer_text(out, " of the ");
        say(out, way->need, way->u_need, system);
        bt_buffer_text(out, " that the panel goes there");
    }
    bt_buffer_text(out, ". Next: ");
    say_remedy(out, a, i, system);
}

static void say_pair(struct bt_buffer *out, const struct bt_movement_answer *a,
                     enum bt_system system)
{
    const struct bt_fixing_pair *p = &a->pair;
    size_t far;

    bt_movement_name(out, a, p->back);
    bt_buffer_text(out, " and ");
    bt_movement_name(out, a, p->front);
    bt_buffer_text(out, " hold the panel across the grain on both sides: the wood "
                        "between them goes ");
    say(out, p->movement, p->u, system);
    bt_buffer_text(out, ", they give ");
    say(out, p->gives, 0, system);
    bt_buffer_text(out, "; it will split or buckle. Next: ");
    far = fabs(a->job->fixing.fixing[p->back].y - a->seasons.fixed) >
                  fabs(a->job->fixing.fixing[p->front].y - a->seasons.fixed)
              ? p->back
              : p->front;
    bt_movement_name(out, a, far);
    bt_buffer_text(out, ": ");
    say_remedy(out, a, far, system);
}

static void say_hold(struct bt_buffer *out, const struct bt_movement_answer *a,
                     size_t i, enum bt_system system)
{
    const struct bt_hold *hold = &a->fixing[i].hold;

    bt_movement_name(out, a, i);
    if (isnan(hold->both)) {
        bt_buffer_text(out,
                       ": what it holds is not known. Next: write screw and thread "
                       "in fixings.csv");
        return;
    }
    bt_buffer_text(out, " holds ");
    bt_say_force(out, hold->both, system);
    bt_buffer_text(out, " for good, its share of the load is ");
    bt_say_force(out, hold->share, system);
    bt_buffer_text(out, hold->head < hold->thread
                            ? ": the head pulls through. Next: a washer, or more screws"
                            : ". Next: more screws, or longer or thicker ones");
}

static void say_ends(struct bt_buffer *out, const struct bt_movement_answer *a,
                     enum bt_system system)
{
    const bool back = a->ends.back.room_needed > a->ends.front.room_needed;
    const struct bt_edge_room *room = back ? &a->ends.back : &a->ends.front;
    const bool frame = a->job->fixing.ends == BT_ENDS_FRAME;

    bt_buffer_format(out, "the %s edge goes out by ", back ? "back" : "front");
    say(out, room->outwards, room->u_outwards, system);
    bt_buffer_text(out, " and in by ");
    say(out, room->inwards, room->u_inwards, system);
    bt_buffer_text(out, ". Next: leave ");
    bt_movement_make(out, room->room_needed, system);
    if (frame) {
        bt_buffer_text(out, " beyond it in a groove of ");
        bt_movement_make(out, room->depth_needed, system);
    } else {
        bt_buffer_text(out, " beyond the outer tongues and pins");
    }
    if (isnan(a->job->fixing.ends_play) || (frame && isnan(a->job->fixing.ends_width)))
        bt_buffer_text(out, frame ? ", and write ends_width and ends_play in [fixing]"
                                  : ", and write ends_play in [fixing]");
}

static void say_wall(struct bt_buffer *out, const struct bt_movement_answer *a,
                     int wall, enum bt_system system)
{
    const struct bt_seal *s = &a->seal[wall];

    bt_buffer_format(out, "the joint to the %s wall, ",
                     bt_wall_name((enum bt_wall)wall));
    say(out, s->joint, 0, system);
    bt_buffer_text(out, " today, becomes ");
    say(out, s->narrowest, s->u_narrowest, system);
    bt_buffer_text(out, " to ");
    say(out, s->widest, s->u_widest, system);
    if (isnan(s->takes)) {
        bt_buffer_text(out, ". Next: leave more room there");
        return;
    }
    bt_buffer_format(out, ", more than a sealant of %.3g %% takes. Next: a joint of ",
                     s->takes * 100);
    bt_movement_make(out, s->joint_needed, system);
    bt_buffer_text(out, ", or a sealant of a higher class");
}

/* What is wrong, worst first. */
static void say_wrong(struct bt_buffer *out, const struct bt_movement_answer *a,
                      enum bt_verdict verdict, enum bt_system system)
{
    const size_t moves = worst_fixing(a, verdict), holds = worst_hold(a, verdict);
    int wall = 0;

    while (wall < BT_WALLS && a->seal_verdict[wall] != verdict)
        wall++;
    if (a->pair.held && a->pair_verdict == verdict)
        say_pair(out, a, system);
    else if (moves < a->nfixing)
        say_fixing(out, a, moves, system);
    else if (holds < a->nfixing)
        say_hold(out, a, holds, system);
    else if (a->ends_verdict == verdict)
        say_ends(out, a, system);
    else if (wall < BT_WALLS)
        say_wall(out, a, wall, system);
}

static void say_width(struct bt_buffer *out, const struct bt_movement_answer *a,
                      enum bt_system system)
{
    bt_buffer_text(out, "the width goes ");
    say(out, a->whole.range, a->whole.u_range, system);
    bt_buffer_text(out, " between driest and dampest");
}

void bt_movement_verdict(struct bt_buffer *out, const struct bt_movement_answer *a,
                         const struct bt_text_options *options)
{
    static const char *const words[] = {"It can move", "It cannot move as it has to",
                                        "Too close to call", "Not seen"};
    const enum bt_verdict verdict = bt_movement_answer_verdict(a);

    if (!bt_movement_answer_judges(a)) {
        bt_text_paint(out, options, BT_NOT_SEEN, "It moves");
        bt_buffer_text(out, ": ");
        say_width(out, a, options->system);
        bt_buffer_text(out, ". Next: write each screw into fixings.csv, x,y,kind.\n");
        return;
    }
    bt_text_paint(out, options, verdict, words[verdict]);
    bt_buffer_text(out, ": ");
    if (verdict == BT_WITHIN) {
        say_width(out, a, options->system);
        bt_buffer_text(
            out, a->nfixing == 0 ? ". Next: write each screw into fixings.csv, x,y,kind"
                 : !a->anchored  ? ". Next: one fixing at the line that is to stay, or "
                                   "it wanders"
                                 : ". Next: set the screws as told below, and drive "
                                   "them so that they can slide");
    } else {
        say_wrong(out, a, verdict, options->system);
    }
    bt_buffer_text(out, ".\n");
}
