/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/decide_words.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/words.h"

const char *bt_decide_risk(const struct bt_decide_answer *a, enum bt_choice_kind kind)
{
    switch (kind) {
    case BT_CHOICE_LEAVE:
        if (a->trend_known && a->trend.verdict == BT_TREND_MOVED)
            return "it still moves: it may yet go over a limit";
        return "none, as long as the air stays as it is";
    case BT_CHOICE_WAIT:
        return "time; it may come to rest over a limit all the same";
    case BT_CHOICE_PULL:
        return "wood creeps: in time it keeps part of the form and the screws lose "
               "part "
               "of their force; screws need slots across the grain, or it splits";
    case BT_CHOICE_HIGH_SPOTS:
        return "the thickness is no longer even; between the places read it may stand "
               "higher: read it again before the last shavings";
    case BT_CHOICE_FLATTEN:
        return "much off one face and little off the other can set it moving again: "
               "read it after some days, before the last pass";
    case BT_CHOICE_ELSEWHERE:
        return "other air on the way and there sets it moving; much off one face and "
               "little off the other can, too";
    case BT_CHOICE_REGLUE:
        return "width is gone for good, and if the fence or the way of running the "
               "boards stays as it was, so does the shape";
    case BT_CHOICES:
        break;
    }
    return "";
}

const char *bt_decide_form_words(enum bt_choice_form form)
{
    switch (form) {
    case BT_FORM_AS_READ:
        return "as it was read";
    case BT_FORM_AT_REST:
        return "where it comes to rest by its trend";
    case BT_FORM_PLANED:
        return "of the face planed down to the level";
    case BT_FORM_MACHINE:
        return "as flat as the machine cuts, which nothing here says";
    case BT_FORM_FIXINGS:
        return "of what is pulled the most between and beyond the fixings, on rails "
               "that stay flat; the rest as it was read";
    case BT_FORM_UNKNOWN:
        break;
    }
    return "";
}

const char *bt_decide_rank_words(const struct bt_choice *c)
{
    if (c->state != BT_CHOICE_POSSIBLE)
        return "";
    switch (c->rank) {
    case BT_RANK_NOTHING_TO_DO:
        return "every limit holds";
    case BT_RANK_MOVES:
        return "it still moves: what is cut now is wrong later";
    case BT_RANK_NO_WOOD_OFF:
        return "it takes off no wood and can be undone";
    case BT_RANK_UNSURE:
        return "before any wood comes off: nothing says yet that it rests";
    case BT_RANK_LEAST_OFF:
        return "among what takes off wood, by how much comes off, then by the time";
    case BT_RANK_LAST:
        return "every joint ripped is made anew, and then it is flattened all the same";
    }
    return "";
}

void bt_decide_say_size(struct bt_buffer *out, const struct bt_measured *left,
                        enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out,
                   bt_print_length(text, left->value, left->u, system, BT_LENGTH_RULE));
}

double bt_decide_map_u(const struct bt_decide_answer *a)
{
    const double chalk = 0.05; /* mm; nobody planes to a finer mark */

    return fmax(chalk, a->map_of == BT_CHOICE_HIGH_SPOTS ? a->choices.spots.u
                                                         : a->choices.pair.top.u);
}

/* A length as it was stated. */
static void say_stated(struct bt_buffer *out, double mm, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, 0, system, BT_LENGTH_RULE));
}

static void say_thin(struct bt_buffer *out, const struct bt_decide_answer *a,
                     const struct bt_choice *c, enum bt_system system)
{
    bt_buffer_text(out, "it would leave ");
    bt_decide_say_size(out, &c->thickness, system);
    bt_buffer_text(out, " of thickness");
    if (!isnan(a->job->plan.least_thickness)) {
        bt_buffer_text(out, ", and ");
        say_stated(out, a->job->plan.least_thickness, system);
        bt_buffer_text(out, " at least must be left after 2 u");
    }
}

static void say_narrow(struct bt_buffer *out, const struct bt_decide_answer *a,
                       const struct bt_choice *c, enum bt_system system)
{
    bt_buffer_text(out, "it would leave ");
    bt_decide_say_size(out, &c->width, system);
    bt_buffer_text(out, " of width");
    if (!isnan(a->job->plan.least_width)) {
        bt_buffer_text(out, ", and ");
        say_stated(out, a->job->plan.least_width, system);
        bt_buffer_text(out, " at least is needed");
    }
}

static void say_screws(struct bt_buffer *out, const struct bt_choice *c,
                       enum bt_system system)
{
    bt_buffer_text(out, "it takes ");
    bt_say_force(out, c->force.value, system);
    bt_buffer_text(out, " on a screw, u ");
    bt_say_force(out, c->force.u, system);
    bt_buffer_text(out, ", and one holds ");
    bt_say_force(out, c->force_holds, system);
    bt_buffer_text(out, " for good");
}

static void say_wood(struct bt_buffer *out, const struct bt_choice *c,
                     enum bt_system system)
{
    bt_buffer_text(out, "the wood may split: ");
    bt_say_pressure(out, c->stress.value, system);
    bt_buffer_text(out, " across the grain, u ");
    bt_say_pressure(out, c->stress.u, system);
    bt_buffer_text(out, ", and it bears ");
    bt_say_pressure(out, c->stress_holds, system);
    bt_buffer_text(out, " for good");
}

static void say_wide(struct bt_buffer *out, const struct bt_decide_answer *a,
                     enum bt_system system)
{
    bt_buffer_text(out, "the panel is wider than your machine takes, ");
    say_stated(out, a->job->plan.machine_width, system);
}

static void say_no_surface(struct bt_buffer *out, const struct bt_decide_answer *a,
                           enum bt_system system)
{
    bt_buffer_text(out, "the heights of the face are not known everywhere: read ");
    bt_words_read_face(out, &a->result.flatness, system);
    bt_buffer_text(out, " (benchtrue measure plans it)");
}

/* Reasons without a number. */
static const char *plain(enum bt_choice_reason reason)
{
    switch (reason) {
    case BT_REASON_LIMIT_OVER:
        return "a limit is over";
    case BT_REASON_LIMIT_OPEN:
        return "a limit is too close to call or its figure is not seen: benchtrue "
               "measure says what to read next";
    case BT_REASON_NO_LIMITS:
        return "nothing says how flat it has to be: state [limits] in job.ini";
    case BT_REASON_HOLDS:
        return "every limit holds as it is";
    case BT_REASON_MOVING:
        return "it still moves: no wood comes off before it rests";
    case BT_REASON_SETTLED:
        return "it has settled: waiting shows nothing new";
    case BT_REASON_NO_LEVEL:
        return "no level is found at which the figures that are limited would hold";
    case BT_REASON_NO_THICKNESS:
        return "the thickness is not known: state it in [panel] of job.ini";
    case BT_REASON_NO_LEAST_THICKNESS:
        return "nothing says how thin it may become: state least_thickness in [plan] "
               "of "
               "job.ini";
    case BT_REASON_NO_MACHINE:
        return "nothing says how wide a panel your machine takes: state machine_width "
               "in [plan] of job.ini";
    case BT_REASON_NOT_A_BEND:
        return "what is wrong is neither cup, bow nor twist, which fixings could take "
               "out";
    case BT_REASON_NO_WOOD:
        return "how stiff it is is not known: state species in [panel] of job.ini";
    case BT_REASON_NO_SCREWS:
        return "what a screw holds is not known: state screw_diameter and screw_thread "
               "in [plan] of job.ini";
    case BT_REASON_NO_JOINTS:
        return "there are no joints in boards.csv or job.ini";
    case BT_REASON_SMOOTH:
        return "it is bent in a smooth arc: the joints are not at fault";
    case BT_REASON_JOINTS_UNSURE:
        return "nothing says that the joints are at fault: read more places across the "
               "width, on both sides of each joint";
    case BT_REASON_NO_WIDTH:
        return "the width is not known: state it in [panel] of job.ini";
    case BT_REASON_NO_LEAST_WIDTH:
        return "nothing says how narrow it may become: state least_width in [plan] of "
               "job.ini";
    default:
        return "";
    }
}

void bt_decide_say_reason(struct bt_buffer *out, const struct bt_decide_answer *a,
                          const struct bt_choice *c, enum bt_system system)
{
    if (c->reason == BT_REASON_TOO_THIN)
        say_thin(out, a, c, system);
    else if (c->reason == BT_REASON_TOO_NARROW)
        say_narrow(out, a, c, system);
    else if (c->reason == BT_REASON_SCREWS_TOO_WEAK)
        say_screws(out, c, system);
    else if (c->reason == BT_REASON_WOOD_TOO_WEAK)
        say_wood(out, c, system);
    else if (c->reason == BT_REASON_TOO_WIDE)
        say_wide(out, a, system);
    else if (c->reason == BT_REASON_NO_SURFACE)
        say_no_surface(out, a, system);
    else
        bt_buffer_text(out, plain(c->reason));
}
