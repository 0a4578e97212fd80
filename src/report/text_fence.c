/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/joint_text.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_parts.h"
#include "report/text_cautions.h"
#include "report/words.h"

/* A gap up to this goes unseen in a dry joint, mm: the most that architectural work
 * allows between flat faces (Architectural Woodwork Standards, 1st ed. 2009, p. 331).
 */
static const double hard_to_see = 0.3;

/* An angle gauge whose u is above this shows tenths of a degree at best, rad. */
static const double coarse_gauge = 0.0005;

/* Columns of the tables. */
enum { VALUE = 24, U = 36, REST = 46, OPENING = 22, CUP = 52, CUP_U = 70 };

/* ---- the first line ---- */

/* `the fence is 0.15 deg out of square, open at the top`. */
static void say_error(struct bt_buffer *out, const struct bt_fence_result *fence)
{
    bt_buffer_text(out, "the fence stands ");
    bt_say_angle(out, fence->e.value, fence->e.u);
    bt_buffer_text(out, fence->e.value < 0
                            ? " out of square, leaning over the table"
                            : " out of square, leaning away from the table");
}

static void say_planned_cup(struct bt_buffer *out, const struct bt_fence_answer *a,
                            enum bt_system system)
{
    const struct bt_measured *cup = &a->planned.section.cup;

    bt_buffer_format(out, "run as planned (%s) the panel comes out ",
                     bt_pattern_name(a->planned.pattern));
    bt_say_cup(out, cup->value, cup->u, system);
    bt_buffer_text(out, " across the width (cup), limit ");
    bt_say_length(out, a->cup.limit, 0, system);
}

static void say_next_check(struct bt_buffer *out, const struct bt_fence_result *fence,
                           enum bt_system system)
{
    static const char *const checks[BT_FENCE_KINDS] = {
        [BT_FENCE_SQUARE] = "a square on the table and feelers",
        [BT_FENCE_DOUBLED] =
            "two offcuts run with one face to the fence, under a straightedge",
        [BT_FENCE_ANGLE] = "an angle gauge, read both ways round"};

    bt_buffer_text(out, checks[fence->next_kind]);
    if (!isnan(fence->next_station)) {
        bt_buffer_text(out, " at ");
        bt_say_rule(out, fence->next_station, system);
        bt_buffer_text(out, " from the infeed end");
    }
}

/* `the square at 15 in (fence.csv line 3)`. */
static void say_check(struct bt_buffer *out, const struct bt_fence_answer *a, size_t i,
                      enum bt_system system)
{
    static const char *const words[BT_FENCE_KINDS] = {
        [BT_FENCE_SQUARE] = "the square",
        [BT_FENCE_DOUBLED] = "the two offcuts",
        [BT_FENCE_ANGLE] = "the angle gauge"};
    const struct bt_fence_setup *setup = &a->job->fence;
    const struct bt_fence_check *check = &setup->check[i];

    bt_buffer_text(out, words[check->kind]);
    if (!isnan(check->station)) {
        bt_buffer_text(out, " at ");
        bt_say_rule(out, check->station, system);
    }
    bt_buffer_text(out, " (");
    bt_buffer_name(out, setup->file ? setup->file : "");
    bt_buffer_format(out, " line %zu)", check->source);
}

static void say_worst(struct bt_buffer *out, const struct bt_fence_answer *a,
                      enum bt_system system)
{
    const struct bt_fence_setup *setup = &a->job->fence;
    const size_t worst = a->setup.fence.worst;

    if (worst >= setup->ncheck) {
        bt_buffer_text(out, "take each check again");
        return;
    }
    bt_buffer_text(out, "take again ");
    say_check(out, a, worst, system);
    bt_buffer_text(out, ", which fits the others least");
}

/* Alternating whole boards does better by half or more. */
static bool alternating_helps(const struct bt_fence_answer *a)
{
    return a->boards_known && fabs(a->alternate.section.cup.value) <
                                  fabs(a->planned.section.cup.value) / 2;
}

static void say_over(struct bt_buffer *out, const struct bt_fence_answer *a,
                     const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_OVER, "Over the limit");
    bt_buffer_text(out, ": ");
    say_planned_cup(out, a, options->system);
    bt_buffer_text(out, ". Next: ");
    if (a->setup.fence.agree == BT_FENCE_DISAGREE) {
        bt_buffer_text(out, "the checks contradict each other, ");
        say_worst(out, a, options->system);
    } else if (alternating_helps(a))
        bt_buffer_text(out, "turn every other board's other face to the fence (pattern "
                            "= alternate boards), or set the fence and check again");
    else
        bt_buffer_text(out, "set the fence and check it again");
}

static void say_open(struct bt_buffer *out, const struct bt_fence_answer *a,
                     const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_TOO_CLOSE, "Too close to call");
    bt_buffer_text(out, ": ");
    if (a->judged) {
        say_planned_cup(out, a, options->system);
    } else {
        bt_buffer_text(out, "the checks cannot tell this fence from a square one, ");
        bt_say_angle(out, a->setup.fence.e.value, a->setup.fence.e.u);
        bt_buffer_text(out, " with u ");
        bt_say_angle_u(out, a->setup.fence.e.u);
    }
    bt_buffer_text(out, ". Next: one more check, ");
    say_next_check(out, &a->setup.fence, options->system);
}

static void say_within(struct bt_buffer *out, const struct bt_fence_answer *a,
                       const struct bt_text_options *options)
{
    const struct bt_fence_result *fence = &a->setup.fence;

    if (a->judged) {
        bt_text_paint(out, options, BT_WITHIN, "Within the limit");
        bt_buffer_text(out, ": ");
        if (fence->undecided)
            bt_buffer_text(out, "square or not cannot be told");
        else
            say_error(out, fence);
        bt_buffer_text(out, ", and ");
        say_planned_cup(out, a, options->system);
        bt_buffer_text(out, ". Next: benchtrue edges, for the mark of each edge");
        return;
    }
    bt_text_paint(out, options, BT_TOO_CLOSE, "Out of square");
    bt_buffer_text(out, ": ");
    say_error(out, fence);
    bt_buffer_text(out,
                   a->boards_known
                       ? ". Next: benchtrue edges, for the mark of each edge"
                       : ". Next: set it, or list the boards in boards.csv to see what "
                         "it makes of the panel");
}

static void say_verdict(struct bt_buffer *out, const struct bt_fence_answer *a,
                        const struct bt_text_options *options)
{
    switch (bt_fence_answer_verdict(a)) {
    case BT_OVER:
        say_over(out, a, options);
        break;
    case BT_NOT_SEEN:
        bt_text_paint(out, options, BT_NOT_SEEN, "Not seen");
        bt_buffer_text(out, ": ");
        say_error(out, &a->setup.fence);
        bt_buffer_text(out, ", u ");
        bt_say_angle_u(out, a->setup.fence.e.u);
        bt_buffer_text(out, ", but the checks contradict each other. Next: ");
        say_worst(out, a, options->system);
        break;
    case BT_TOO_CLOSE:
        say_open(out, a, options);
        break;
    case BT_WITHIN:
        say_within(out, a, options);
        break;
    }
    bt_buffer_text(out, ".\n");
}

/* ---- what was read ---- */

static const char *agreement_words(const struct bt_fence_result *fence)
{
    switch (fence->agree) {
    case BT_FENCE_AGREE:
        return "the checks agree as well as their uncertainty says";
    case BT_FENCE_DISAGREE:
        return "the checks differ from each other more than their uncertainty says; u "
               "is enlarged for it";
    case BT_FENCE_UNCHECKED:
        break;
    }
    return "not known: no check tests another, so a slip would not show";
}

static void add_read(struct bt_buffer *out, const struct bt_fence_answer *a,
                     enum bt_system system)
{
    const struct bt_fence_result *fence = &a->setup.fence;
    const char *title = a->job->title;
    const char *between = ": ";

    bt_buffer_text(out, "\n");
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    bt_buffer_text(out, "Read:      ");
    bt_words_count(out, a->job->fence.ncheck, "check", "checks");
    for (int k = 0; k < BT_FENCE_KINDS; k++) {
        if (!fence->kind[k].count)
            continue;
        bt_buffer_format(out, "%s%zu %s", between, fence->kind[k].count,
                         bt_fence_kind_name((enum bt_fence_kind)k));
        between = ", ";
    }
    bt_buffer_text(out, "\nTheir u:   ");
    bt_text_u_origins(out, a->job->fence.u_origin);
    bt_buffer_format(out, "\nAgreement: %s\n", agreement_words(fence));
    if (fence->worst < a->job->fence.ncheck && fence->agree == BT_FENCE_DISAGREE) {
        bt_buffer_text(out, "           ");
        say_worst(out, a, system);
        bt_buffer_text(out, "\n");
    }
}

/* ---- the fence ---- */

static void add_row(struct bt_buffer *out, const struct bt_measured *m, bool sign,
                    const char *more, const char *less)
{
    bt_buffer_column(out, VALUE);
    if (!m->seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_say_angle(out, m->value, m->u);
    bt_buffer_column(out, U);
    bt_say_angle_u(out, m->u);
    bt_buffer_column(out, REST);
    if (sign)
        bt_buffer_text(out, m->value < 0 ? less : more);
}

static void add_stations(struct bt_buffer *out, const struct bt_fence_result *fence,
                         enum bt_system system)
{
    for (size_t i = 0; i < fence->nstation; i++) {
        const struct bt_fence_station *s = &fence->station[i];

        bt_buffer_text(out, "  ");
        if (isnan(s->station)) {
            bt_buffer_text(out, "without a station");
        } else {
            bt_buffer_text(out, "at ");
            bt_say_rule(out, s->station, system);
        }
        add_row(out, &s->e, true, "more than square, ", "less than square, ");
        bt_words_count(out, s->count, "check", "checks");
        bt_buffer_text(out, "\n");
    }
}

static void add_kinds(struct bt_buffer *out, const struct bt_fence_result *fence)
{
    for (int k = 0; k < BT_FENCE_KINDS; k++) {
        if (!fence->kind[k].count)
            continue;
        bt_buffer_format(out, "  by %s alone",
                         bt_fence_kind_name((enum bt_fence_kind)k));
        add_row(out, &fence->kind[k].e, true, "more than square", "less than square");
        bt_buffer_text(out, "\n");
    }
}

static void add_twist(struct bt_buffer *out, const struct bt_fence_answer *a,
                      enum bt_system system)
{
    const struct bt_fence_result *fence = &a->setup.fence;

    bt_buffer_text(out, "  twist, end to end");
    add_row(out, &fence->twist, true, "the outfeed end leans away more",
            "the infeed end leans away more");
    if (fence->twist.seen && fence->slope_dof == 0)
        bt_buffer_text(out, " (nothing checks it)");
    if (!fence->twist.seen) {
        bt_buffer_text(out, ": read a square at both ends of the fence");
        if (!isnan(a->job->fence.length)) {
            bt_buffer_text(out, ", 0 and ");
            bt_say_rule(out, a->job->fence.length, system);
        }
    }
    bt_buffer_text(out, "\n");
}

static void add_fence(struct bt_buffer *out, const struct bt_fence_answer *a,
                      const struct bt_text_options *options)
{
    const struct bt_fence_result *fence = &a->setup.fence;
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "\n  fence");
    bt_buffer_column(out, VALUE);
    bt_buffer_text(out, "out of square");
    bt_buffer_column(out, U + 2);
    bt_buffer_text(out, "u, deg\n");
    bt_buffer_text(out, "  at the cutter");
    add_row(out, &fence->e, true, "more than square: light at the top of a square",
            "less than square: light at the foot of a square");
    bt_buffer_text(out, "\n");
    add_twist(out, a, options->system);
    add_stations(out, fence, options->system);
    add_kinds(out, fence);
    if (options->details) {
        bt_buffer_text(out, "  between stations");
        bt_buffer_column(out, VALUE);
        if (isnan(fence->scatter))
            bt_buffer_text(out, "not seen");
        else
            bt_say_angle(out, fence->scatter, 0);
        bt_buffer_text(out, "\n  degrees of freedom");
        bt_buffer_column(out, VALUE);
        bt_buffer_format(out, "%zu\n  chance of a worse agreement", fence->dof);
        bt_buffer_text(out, "  ");
        bt_buffer_text(out, isnan(fence->chi2_p) ? "none"
                                                 : bt_print_share(text, fence->chi2_p));
        bt_buffer_text(out, "\n");
    }
}

/* ---- what it means ---- */

/* NULL where there is no joint. */
static const struct bt_joint_kink *largest_of(const struct bt_section *section)
{
    const struct bt_joint_kink *largest = NULL;

    for (size_t i = 0; i < section->njoint; i++)
        if (!largest || section->joint[i].opening.value > largest->opening.value)
            largest = &section->joint[i];
    return largest;
}

static void add_opening(struct bt_buffer *out, const struct bt_section *section,
                        enum bt_system system)
{
    const struct bt_joint_kink *largest = largest_of(section);

    if (!largest) {
        bt_buffer_text(out, "no joint");
        return;
    }
    bt_say_length(out, largest->opening.value, largest->opening.u, system);
    if (largest->opening.value > 0)
        bt_buffer_format(out, " at the %s", bt_face_words(largest->opens_at_show));
}

static void add_way(struct bt_buffer *out, const struct bt_fence_way *way,
                    const char *name, enum bt_system system)
{
    const struct bt_measured *cup = &way->section.cup;
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, OPENING);
    add_opening(out, &way->section, system);
    bt_buffer_column(out, CUP);
    bt_say_cup(out, cup->value, cup->u, system);
    bt_buffer_column(out, CUP_U);
    bt_buffer_format(out, "%s\n", bt_print_u_bare(text, cup->u, system));
}

static void add_ways(struct bt_buffer *out, const struct bt_fence_answer *a,
                     const struct bt_text_options *options)
{
    const enum bt_system system = options->system;
    const enum bt_pattern planned = a->planned.pattern;

    bt_buffer_text(out, "\nWhat it makes of ");
    bt_words_count(out, a->setup.nboard, "board", "boards");
    bt_buffer_text(out, ", ");
    bt_say_rule(out, a->same.section.width, system);
    bt_buffer_text(out, " wide together\n  face to the fence");
    bt_buffer_column(out, OPENING);
    bt_buffer_text(out, "largest opening of a joint");
    bt_buffer_column(out, CUP);
    bt_buffer_text(out, "cup");
    bt_buffer_column(out, CUP_U);
    bt_buffer_format(out, "u, %s\n", bt_length_unit_name(system, BT_LENGTH_FEELER));
    add_way(out, &a->same, "same face", system);
    add_way(out, &a->alternate, "alternate boards", system);
    if (!*a->no_plan && planned != BT_PATTERN_SAME_FACE &&
        planned != BT_PATTERN_ALTERNATE_BOARDS)
        add_way(out, &a->planned,
                planned == BT_PATTERN_BEST ? "best, as planned" : "in and out, planned",
                system);
}

/* The sentence that fence is there for, with this job's numbers. */
static void add_sentence(struct bt_buffer *out, const struct bt_fence_answer *a,
                         enum bt_system system)
{
    const struct bt_section *same = &a->same.section;
    const struct bt_joint_kink *largest = largest_of(same);

    if (!largest)
        return;
    if (fabs(same->cup.value) < 2 * same->cup.u) {
        bt_buffer_text(out, "  Run with the same face to the fence the error of every "
                            "edge adds up; here it is no more than its doubt.\n");
        return;
    }
    bt_buffer_text(out, largest->opening.value <= hard_to_see
                            ? "  An opening too small to see in one joint is a cupped "
                              "top: "
                            : "  What opens one joint cups the whole top: ");
    bt_buffer_text(out, "with the same face to the fence no joint opens more than ");
    bt_say_length(out, largest->opening.value, largest->opening.u, system);
    bt_buffer_text(out, ", and the top comes out ");
    bt_say_cup(out, same->cup.value, same->cup.u, system);
    bt_buffer_text(out, ".\n");
}

static void add_share(struct bt_buffer *out, const char *name, double u, double value,
                      enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "    %s", name);
    bt_buffer_column(out, CUP);
    if (isnan(value))
        bt_buffer_text(out, "-");
    else
        bt_say_cup(out, value, u, system);
    bt_buffer_column(out, CUP_U);
    bt_buffer_format(out, "%s\n", bt_print_u_bare(text, u, system));
}

static void add_shares(struct bt_buffer *out, const struct bt_fence_answer *a,
                       enum bt_system system)
{
    const struct bt_fence_way *way = &a->alternate;

    bt_buffer_text(out, "  Of the cup with alternate boards\n");
    add_share(out, "the fence itself, cancelled but for this", way->from_fence.u,
              way->from_fence.value, system);
    add_share(out, "scatter from edge to edge", way->u_scatter, NAN, system);
    add_share(out, "the fence's twist along its length", way->u_twist, NAN, system);
    add_share(out, "taper of the boards", way->from_taper.u, way->from_taper.value,
              system);
    bt_buffer_text(out, "  The last three do not cancel however the faces go.\n");
}

/* ---- warnings ---- */

/* mm of cup for one rad of the fence, with the same face to it. */
static double gain(const struct bt_fence_answer *a)
{
    return a->setup.errors.u_e > 0 ? a->same.from_fence.u / a->setup.errors.u_e : 0;
}

static void add_gauge_warning(struct bt_buffer *out, const struct bt_fence_answer *a,
                              enum bt_system system)
{
    const struct bt_fence_kind_mean *gauge = &a->setup.fence.kind[BT_FENCE_ANGLE];

    if (!gauge->count || !gauge->e.seen || !(gauge->e.u > coarse_gauge))
        return;
    bt_buffer_text(out,
                   "  - An angle gauge that shows tenths of a degree is no proof of "
                   "square: here it is good to ");
    bt_say_angle(out, 2 * gauge->e.u, gauge->e.u / 2);
    bt_buffer_text(out, " (2 u)");
    if (a->boards_known && gain(a) > 0) {
        bt_buffer_text(out, ", and with the same face to the fence that is a cup of ");
        bt_say_length(out, 2 * gauge->e.u * gain(a), gauge->e.u * gain(a) / 2, system);
    }
    bt_buffer_text(out, ".\n");
}

/* Turned end for end its own error cancels; one so large is a slip in a reading. */
static void add_gauge_zeros(struct bt_buffer *out, const struct bt_fence_answer *a,
                            enum bt_system system)
{
    for (size_t i = 0; i < a->job->fence.ncheck; i++) {
        const struct bt_fence_check *check = &a->job->fence.check[i];
        double zero, most;

        if (!bt_gauge_zero(check, &zero, &most) || !(fabs(zero) > most))
            continue;
        bt_buffer_text(out, "  - The readings of ");
        say_check(out, a, i, system);
        bt_buffer_text(out, " do not go together: ");
        bt_say_angle(out, check->reading, check->u_reading);
        bt_buffer_text(out, " and, turned, ");
        bt_say_angle(out, check->turned, check->u_reading);
        bt_buffer_text(out, ".  Its own zero would be off by ");
        bt_say_angle(out, zero, check->u_reading);
        bt_buffer_text(out, ", which is more than ");
        bt_say_angle(out, most, most / 10);
        bt_buffer_text(out, " (2 u of what is known of it).  Read it again.\n");
    }
}

static void add_warnings(struct bt_buffer *out, const struct bt_fence_answer *a,
                         enum bt_system system)
{
    const struct bt_fence_result *fence = &a->setup.fence;

    bt_buffer_text(out, "\nWhat to know\n");
    if (fence->undecided) {
        bt_buffer_text(out, "  - These checks cannot decide whether the fence is "
                            "square: ");
        bt_say_angle(out, fence->e.value, fence->e.u);
        bt_buffer_text(out, " is less than 2 u = ");
        bt_say_angle(out, 2 * fence->e.u, fence->e.u / 2);
        bt_buffer_text(out, ".\n");
    }
    add_gauge_warning(out, a, system);
    add_gauge_zeros(out, a, system);
    bt_buffer_text(out, "  - What would tell most: ");
    say_next_check(out, fence, system);
    bt_buffer_text(out, "; u then ");
    bt_say_angle_u(out, fence->next_u);
    bt_buffer_text(out, " deg, now ");
    bt_say_angle_u(out, fence->e.u);
    bt_buffer_text(out, ".\n");
    if (*a->no_plan) {
        bt_buffer_text(out, "  - The boards cannot be run as planned: ");
        bt_buffer_name(out, a->no_plan);
        bt_buffer_text(out, ".\n");
    }
    if (!a->boards_known)
        bt_buffer_text(out, "  - What it makes of the panel is not computed: write "
                            "width and thickness of each board in boards.csv.\n");
}

enum bt_status bt_text_fence(const struct bt_fence_answer *answer,
                             const struct bt_text_options *options,
                             struct bt_buffer *out)
{
    const enum bt_system system = options->system;

    say_verdict(out, answer, options);
    add_read(out, answer, system);
    add_fence(out, answer, options);
    if (answer->boards_known) {
        add_ways(out, answer, options);
        add_sentence(out, answer, system);
        add_shares(out, answer, system);
        bt_buffer_text(out, "\n");
        bt_say_scatter(out, &answer->setup, system);
    }
    bt_buffer_text(out, "  u: standard uncertainty; the truth lies within 2 u about 95 "
                        "times in 100\n");
    add_warnings(out, answer, system);
    bt_text_notes(out, answer->job);
    bt_text_cautions(out, answer->job, BT_CAUTION_FENCE);
    return bt_buffer_status(out);
}
