/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/joint_text.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_cautions.h"
#include "report/text_parts.h"
#include "report/words.h"

enum { VALUE = 32 };

/* So many missing are a slip in the input, not a want of clamps. */
enum { MANY_CLAMPS = 100 };

/* ---- the first line ---- */

static void say_clamps(struct bt_buffer *out, const struct bt_glueup_answer *a)
{
    bt_words_count(out, a->plan.nplace, "clamp", "clamps");
    bt_buffer_text(out, " in ");
    bt_words_count(out, a->plan.nstage, "stage", "stages");
}

static void say_first_stage(struct bt_buffer *out, const struct bt_glueup_answer *a)
{
    const struct bt_clamping *plan = &a->plan;

    if (plan->nstage == 0)
        return;
    bt_buffer_format(out, plan->stage[0].count == 1 ? "glue joint" : "glue joints");
    for (size_t i = 0; i < plan->stage[0].count; i++)
        bt_buffer_format(out, "%s %zu", i ? "," : "",
                         plan->order[plan->stage[0].first + i] + 1);
    bt_buffer_text(out, plan->nstage > 1 ? " first" : "");
}

/* Whether the clamps needed, owned or not, take longer than the glue stays open. */
static bool is_late(const struct bt_glueup_answer *a)
{
    return a->plan.open_time_short || a->plan.minutes_needed > a->open_time.value;
}

/* `0.31 MPa, under the handbook's 0.69 to 1.72 MPa`. */
static void say_reached(struct bt_buffer *out, const struct bt_clamping *plan,
                        double pressure, enum bt_system system)
{
    bt_say_pressure(out, pressure, system);
    bt_buffer_format(out, ", %s the handbook's ", bt_band_word(plan, pressure));
    bt_say_pressure(out, plan->pressure_least, system);
    bt_buffer_text(out, " to ");
    bt_say_pressure(out, plan->pressure_most, system);
}

static void say_late(struct bt_buffer *out, const struct bt_glueup_answer *a,
                     enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;

    bt_buffer_text(out, ": to spread one joint and set the ");
    bt_words_count(out, plan->needed, "clamp", "clamps");
    bt_buffer_text(out, " needed takes ");
    bt_say_minutes(out, plan->minutes_needed);
    bt_buffer_text(out, ", the glue stays open ");
    bt_say_minutes(out, a->open_time.value);
    if (plan->shortfall && a->job->nclamp)
        bt_buffer_format(out, ", and %zu of them %s missing", plan->shortfall,
                         plan->shortfall == 1 ? "is" : "are");
    bt_buffer_text(out, ". Next: a slower glue, a cooler shop, a helper");
    if (plan->in_time == 0 || isnan(plan->pressure_in_time)) {
        bt_buffer_text(out, ", or fewer clamps at lower pressure");
        return;
    }
    bt_buffer_text(out, ", or fewer clamps at lower pressure: the ");
    bt_buffer_format(out, "%zu that can be set in time reach ", plan->in_time);
    say_reached(out, plan, plan->pressure_in_time, system);
    if (plan->in_time < plan->needed_spread)
        bt_buffer_text(out, ", and want wider cauls");
}

static void say_wider_cauls(struct bt_buffer *out, const struct bt_glueup_answer *a,
                            enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;

    if (!(plan->caul_spread > a->request.caul)) {
        bt_buffer_text(out, "or wider cauls, which spread each clamp further");
        return;
    }
    bt_buffer_text(out, "or cauls ");
    bt_say_rule(out, plan->caul_spread, system);
    bt_buffer_text(out, " wide, which spread each clamp further");
}

/* More than any shop has: a slip in a number, rather. */
static void say_slip(struct bt_buffer *out, const struct bt_glueup_answer *a,
                     enum bt_system system)
{
    bt_buffer_text(out, "the input looks wrong: check the thickness (");
    bt_say_rule(out, a->request.thickness, system);
    bt_buffer_text(out, "), the length (");
    bt_say_rule(out, a->request.length, system);
    bt_buffer_text(out, ") and the force of the clamps");
}

static void say_short(struct bt_buffer *out, const struct bt_glueup_answer *a,
                      enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;

    bt_buffer_format(out, ": %zu are needed for a joint, %zu are missing", plan->needed,
                     plan->shortfall);
    if (plan->nplace && !isnan(plan->pressure_reached)) {
        bt_buffer_format(out, "; the %zu there reach ", plan->nplace);
        say_reached(out, plan, plan->pressure_reached, system);
    }
    bt_buffer_text(out, ". Next: ");
    if (plan->shortfall >= MANY_CLAMPS) {
        say_slip(out, a, system);
        return;
    }
    /* a caul spreads what a clamp gives and adds nothing to it */
    bt_buffer_text(out, "borrow them, ");
    if (plan->needed_force > plan->needed_spread)
        bt_buffer_text(out, "or stronger ones: force is what is missing");
    else
        say_wider_cauls(out, a, system);
}

static void say_too_small(struct bt_buffer *out, const struct bt_glueup_answer *a,
                          enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;

    bt_buffer_format(out, ": %zu of the %zu owned do not open the ", plan->too_short,
                     a->clamps_owned);
    bt_say_rule(out, plan->opening_needed, system);
    bt_buffer_text(out, a->request.caul > 0 ? " of the panel with its cauls"
                                            : " of the panel");
    bt_buffer_format(out,
                     "; %zu are needed for a joint, %zu are missing. Next: longer "
                     "ones, or extend the bars",
                     plan->needed, plan->shortfall);
}

static void say_over(struct bt_buffer *out, const struct bt_glueup_answer *a,
                     const struct bt_text_options *options)
{
    const struct bt_clamping *plan = &a->plan;

    if (a->too_cold) {
        bt_text_paint(out, options, BT_OVER, "Too cold");
        bt_buffer_text(out, ": the shop has ");
        bt_say_temperature(out, a->temperature, options->system);
        bt_buffer_text(out, ", the glue wants ");
        bt_say_temperature(out, a->least_temperature.value, options->system);
        bt_buffer_text(out, " or more. Next: warm shop and wood, or another glue");
    } else if (plan->too_short && plan->shortfall && plan->shortfall < MANY_CLAMPS) {
        bt_text_paint(out, options, BT_OVER, "Clamps too short");
        say_too_small(out, a, options->system);
    } else if (is_late(a) && plan->shortfall < MANY_CLAMPS) {
        bt_text_paint(out, options, BT_OVER, "Open time too short");
        say_late(out, a, options->system);
    } else {
        bt_text_paint(out, options, BT_OVER, "Clamps fall short");
        say_short(out, a, options->system);
    }
}

static void say_verdict(struct bt_buffer *out, const struct bt_glueup_answer *a,
                        const struct bt_text_options *options)
{
    const enum bt_verdict verdict = bt_glueup_answer_verdict(a);
    const bool opening =
        a->job->nclamp > 0 && !isnan(a->open_time.value) && verdict != BT_WITHIN;

    if (verdict == BT_OVER && ((a->job->nclamp && a->plan.shortfall) ||
                               a->plan.open_time_short || a->too_cold)) {
        say_over(out, a, options);
    } else if (opening) {
        bt_text_paint(out, options, verdict,
                      verdict == BT_OVER ? "Over the limit" : "Too close to call");
        bt_buffer_text(out, ": ");
        bt_say_joint(out, a->job, a->edges.worst_joint);
        bt_buffer_text(out,
                       " opens more than the glue bridges, or may. Next: benchtrue "
                       "edges, before the glue comes out");
    } else if (verdict == BT_NOT_SEEN) {
        bt_text_paint(out, options, BT_NOT_SEEN, "Not seen");
        bt_buffer_format(out, ": a joint needs %zu clamps; ", a->plan.needed);
        bt_buffer_text(out,
                       a->job->nclamp
                           ? "for how many joints the glue stays open is not known. "
                             "Next: write kind in [glue] of job.ini"
                           : "whether yours do is not known. Next: write a [clamp "
                             "NAME] section in job.ini for each kind you own");
    } else {
        bt_text_paint(out, options, BT_WITHIN, "Enough");
        bt_buffer_text(out, ": ");
        say_clamps(out, a);
        bt_buffer_text(out, ". Next: ");
        say_first_stage(out, a);
    }
    bt_buffer_text(out, ".\n");
}

/* ---- figures ---- */

static void add_name(struct bt_buffer *out, const char *name)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, VALUE);
}

static void add_from(struct bt_buffer *out, const char *source)
{
    if (source && *source) {
        bt_buffer_text(out, " (");
        bt_buffer_name(out, source);
        bt_buffer_text(out, ")");
    }
    bt_buffer_text(out, "\n");
}

static void add_force(struct bt_buffer *out, const struct bt_glueup_answer *a,
                      enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "\nPressure\n");
    if (*a->wood) {
        add_name(out, "wood");
        bt_buffer_name(out, a->wood);
        if (!isnan(a->density))
            bt_buffer_format(out, ", %s kg/m3",
                             bt_print_length_bare(text, a->density, a->density / 20,
                                                  BT_SYSTEM_MM, BT_LENGTH_FEELER));
        bt_buffer_text(out, "\n");
    }
    add_name(out, "pressure to aim for");
    bt_say_pressure(out, plan->pressure, system);
    add_from(out, a->pressure.source);
    add_name(out, "force for one joint");
    bt_say_force(out, plan->force_joint, system);
    bt_buffer_text(out, ", whatever the number of boards: joints are in series\n");
    add_name(out, "reached with these clamps");
    bt_say_force(out, plan->force_reached, system);
    if (!isnan(plan->pressure_reached) && plan->nplace) {
        bt_buffer_text(out, ", ");
        say_reached(out, plan, plan->pressure_reached, system);
    }
    bt_buffer_text(out, "\n");
}

static void add_number(struct bt_buffer *out, const struct bt_glueup_answer *a,
                       enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;

    bt_buffer_text(out, "\nClamps\n");
    add_name(out, "needed");
    bt_buffer_format(out, "%zu: %zu by the 45 degree spread, ", plan->needed,
                     plan->needed_spread);
    if (plan->too_short && plan->too_short == a->clamps_owned)
        bt_buffer_text(out, "by force not known: none of yours takes the panel\n");
    else if (isnan(plan->spacing_force))
        bt_buffer_text(out, "by force not known (write force in [clamp NAME])\n");
    else
        bt_buffer_format(out, "%zu by force\n", plan->needed_force);
    add_name(out, "owned");
    bt_buffer_format(out, "%zu", a->clamps_owned);
    if (plan->too_short) {
        bt_buffer_format(out, ", of which %zu %s too short for ", plan->too_short,
                         plan->too_short == 1 ? "is" : "are");
        bt_say_rule(out, plan->opening_needed, system);
    }
    bt_buffer_text(out, plan->shortfall && plan->nplace
                            ? ", fewer than needed: the places below are for those\n"
                            : "\n");
    add_name(out, "spacing");
    if (plan->nplace) {
        bt_say_rule(out, plan->spacing, system);
        bt_buffer_text(out, ", ");
    }
    bt_buffer_text(out, "at most ");
    bt_say_rule(out, plan->spacing_spread, system);
    bt_buffer_text(out, " by the spread");
    if (plan->nplace) {
        bt_buffer_text(out, "; outer ones ");
        bt_say_rule(out, plan->end_distance, system);
        bt_buffer_text(out, " from the ends");
    }
    bt_buffer_text(out, "\n");
    if (plan->caul_spread > a->request.caul) {
        bt_buffer_column(out, VALUE);
        bt_buffer_text(out, "too wide for the 45 degree spread: cauls ");
        bt_say_rule(out, plan->caul_spread, system);
        bt_buffer_text(out, " wide or more cure it\n");
    }
    add_name(out, "cauls");
    if (a->job->glue.caul > 0) {
        bt_buffer_text(out, "along both outer edges, ");
        bt_say_rule(out, a->job->glue.caul, system);
        bt_buffer_text(out, " wide\n");
    } else {
        bt_buffer_text(out,
                       "none stated: pads under the jaws at least, or [glue] caul\n");
    }
}

static void add_places(struct bt_buffer *out, const struct bt_glueup_answer *a,
                       enum bt_system system)
{
    for (size_t i = 0; i < a->plan.nplace; i++) {
        const struct bt_clamp_place *place = &a->plan.place[i];

        bt_buffer_format(out, "  %zu", i + 1);
        bt_buffer_column(out, 6);
        bt_buffer_text(out, "at ");
        bt_say_rule(out, place->x, system);
        bt_buffer_column(out, 22);
        bt_buffer_text(out, place->above ? "above" : "below");
        bt_buffer_column(out, VALUE);
        if (place->kind < a->job->nclamp)
            bt_buffer_name(out, a->job->clamp[place->kind].name);
        bt_buffer_text(out, "\n");
    }
}

static void add_cup(struct bt_buffer *out, const struct bt_glueup_answer *a,
                    enum bt_system system)
{
    const struct bt_clamping *plan = &a->plan;

    if (!(plan->moment > 0) || isnan(plan->cup_clamped))
        return;
    bt_buffer_text(out, "  The screws pull off the middle of the thickness: all on one "
                        "side they would cup the panel by ");
    bt_say_length(out, fabs(plan->cup_clamped), fabs(plan->cup_clamped) / 10, system);
    bt_buffer_text(out, "\n  while clamped; alternating above and below leaves ");
    bt_say_length(out, fabs(plan->cup_alternating), fabs(plan->cup_alternating) / 10,
                  system);
    bt_buffer_text(out, ".  Lay a straightedge across before you leave it.\n");
}

/* ---- stages ---- */

static void add_stage(struct bt_buffer *out, const struct bt_glueup_answer *a, size_t i)
{
    const struct bt_stage *stage = &a->plan.stage[i];

    bt_buffer_format(out, "  %zu  %s", i + 1, stage->count == 1 ? "joint" : "joints");
    for (size_t k = 0; k < stage->count; k++)
        bt_buffer_format(out, "%s %zu", k ? "," : "",
                         a->plan.order[stage->first + k] + 1);
    bt_buffer_column(out, VALUE);
    bt_say_minutes(out, stage->minutes);
    bt_buffer_text(out, " from the first glue to the last clamp");
    if (stage->assemblies > 1)
        bt_buffer_format(out, ", %zu assemblies side by side", stage->assemblies);
    bt_buffer_text(out, "\n");
}

static void add_time(struct bt_buffer *out, const char *name,
                     const struct bt_sourced *time, double minutes)
{
    add_name(out, name);
    if (isnan(time->value)) {
        bt_buffer_text(out, "not known\n");
        return;
    }
    bt_say_minutes(out, time->value * minutes);
    add_from(out, time->source);
}

static void add_times(struct bt_buffer *out, const struct bt_glueup_answer *a,
                      enum bt_system system)
{
    bt_buffer_text(out, "\nTime\n");
    add_name(out, "glue");
    bt_buffer_text(out, a->job->glue.kind ? a->job->glue.kind->name
                                          : "not stated ([glue] kind)");
    bt_buffer_text(out, ", shop at ");
    bt_say_temperature(out, a->temperature, system);
    bt_buffer_text(out,
                   a->temperature_assumed ? " (taken: [glue] temperature)\n" : "\n");
    add_time(out, "stays open", &a->open_time, 1);
    add_name(out, "for a joint, for a clamp");
    bt_say_minutes(out, a->spread_time);
    bt_buffer_text(out, ", ");
    bt_say_minutes(out, a->place_time);
    bt_buffer_text(out,
                   a->spread_assumed || a->place_assumed
                       ? " (taken; common practice, no source: [glue] spread_time, "
                         "place_time)\n"
                       : "\n");
    if (is_late(a)) {
        add_name(out, "for a joint, all its clamps");
        bt_say_minutes(out, a->plan.minutes_needed);
        bt_buffer_format(out, " with the %zu needed; %zu can be set in time\n",
                         a->plan.needed, a->plan.in_time);
    }
    add_time(out, "clamps may come off after", &a->clamp_time, 1);
    add_time(out, "no stress, no machining for", &a->full_time, 60);
    add_time(out, "surface it not before", &a->surface_days, 24 * 60);
    if (!isnan(a->surface_days.value))
        bt_buffer_text(out, "  Planed sooner the joints, still swollen by the glue's "
                            "water, sink into grooves later.\n");
}

static void add_gap(struct bt_buffer *out, const struct bt_glueup_answer *a,
                    const struct bt_text_options *options)
{
    const struct bt_edges_answer *edges = &a->edges;
    const struct bt_joint_kink *joint;

    add_name(out, "gap that the glue bridges");
    bt_say_length(out, edges->gap.most, 0, options->system);
    add_from(out, edges->gap.source);
    if (edges->worst_joint >= edges->section.njoint)
        return;
    joint = &edges->section.joint[edges->worst_joint];
    add_name(out, "largest opening");
    bt_say_measured(out, &joint->opening, options->system);
    bt_buffer_format(out, " at joint %zu, edges run %s: ", edges->worst_joint + 1,
                     bt_pattern_name(edges->pattern));
    bt_text_paint(out, options, edges->opening.verdict,
                  bt_verdict_text(edges->opening.verdict));
    bt_buffer_text(out, "\n");
}

/* From here on the panel bows under the clamps whatever their places. */
static void add_buckling(struct bt_buffer *out, const struct bt_glueup_answer *a)
{
    char text[BT_PRINT_ROOM];

    if (!(a->plan.buckling >= 0.5))
        return;
    bt_buffer_format(out,
                     "  The force is %s times what bows a flat panel of this width and "
                     "thickness out between its edges:\n  ",
                     bt_print_length_bare(text, a->plan.buckling, a->plan.buckling / 10,
                                          BT_SYSTEM_MM, BT_LENGTH_FEELER));
    bt_buffer_text(out, "clamp cauls across both faces first, or glue it in halves.\n");
}

enum bt_status bt_text_glueup(const struct bt_glueup_answer *answer,
                              const struct bt_text_options *options,
                              struct bt_buffer *out)
{
    const enum bt_system system = options->system;
    const char *title = answer->job->title;

    say_verdict(out, answer, options);
    bt_buffer_text(out, "\n");
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    add_force(out, answer, system);
    add_number(out, answer, system);
    add_places(out, answer, system);
    add_cup(out, answer, system);
    add_buckling(out, answer);
    bt_buffer_text(out, "\nStages\n");
    for (size_t i = 0; i < answer->plan.nstage; i++)
        add_stage(out, answer, i);
    add_times(out, answer, system);
    add_gap(out, answer, options);
    bt_text_notes(out, answer->job);
    bt_text_cautions(out, answer->job, BT_CAUTION_GLUEUP);
    return bt_buffer_status(out);
}
