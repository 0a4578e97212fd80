/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/joint_text.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_cautions.h"
#include "report/text_edges_fit.h"
#include "report/text_parts.h"
#include "report/words.h"

/* Columns of the tables. */
enum { FACE = 20, LEADS = 34, AT = 46, NOTE = 58 };
enum { KINK = 12, KINK_U = 26, OPEN = 36, OPEN_U = 66, HEIGHT = 74 };
enum { FORGOT_CUP = 14, FORGOT_OPEN = 34 };

/* ---- the first line ---- */

static void say_cup(struct bt_buffer *out, const struct bt_edges_answer *a,
                    enum bt_system system)
{
    const struct bt_measured *cup = &a->section.cup;

    bt_buffer_text(out, "the panel comes out ");
    bt_say_cup(out, cup->value, cup->u, system);
    bt_buffer_text(out, " across the width (cup)");
    if (a->judged) {
        bt_buffer_text(out, ", limit ");
        bt_say_length(out, a->cup.limit, 0, system);
    }
}

static bool dry_is(const struct bt_dry_joint *fit, enum bt_dry_verdict verdict)
{
    return fit->angle_verdict == verdict || fit->wind_verdict == verdict ||
           fit->straight_verdict == verdict;
}

/* The dry joints of which a verdict is open to doubt. */
static void say_dry(struct bt_buffer *out, const struct bt_edges_answer *a,
                    enum bt_dry_verdict verdict)
{
    const char *between = "laid together dry joint ";

    for (size_t i = 0; i < a->ndry; i++) {
        if (!dry_is(&a->dry[i].fit, verdict))
            continue;
        bt_buffer_format(out, "%s%zu", between, a->dry[i].read->joint + 1);
        between = ", ";
    }
    bt_buffer_text(out, verdict == BT_DRY_NOT_SEEN
                            ? ": whether it closes cannot be told from these readings"
                            : " may or may not close");
}

static void say_opening(struct bt_buffer *out, const struct bt_edges_answer *a,
                        enum bt_system system)
{
    const struct bt_joint_kink *joint = &a->section.joint[a->worst_joint];

    bt_say_joint(out, a->job, a->worst_joint);
    bt_buffer_text(out, " stands open by ");
    bt_say_length(out, joint->opening.value, joint->opening.u, system);
    bt_buffer_format(out, " at the %s, the glue bridges ",
                     bt_face_words(joint->opens_at_show));
    bt_say_length(out, a->gap.most, 0, system);
}

static size_t forbidden(const struct bt_edges_answer *a)
{
    size_t n = 0;

    for (size_t i = 0; i < a->plan.nconflict; i++)
        n += a->plan.conflict[i].forbidden;
    return n;
}

static bool cup_is(const struct bt_edges_answer *a, enum bt_verdict verdict)
{
    return a->judged && a->cup.verdict == verdict;
}

static bool opening_is(const struct bt_edges_answer *a, enum bt_verdict verdict)
{
    return a->worst_joint < a->section.njoint && a->opening.verdict == verdict;
}

static void say_better(struct bt_buffer *out, const struct bt_edges_answer *a)
{
    if (a->pattern != BT_PATTERN_BEST)
        bt_buffer_text(out, "try --pattern best, or set the fence and check it again");
    else
        bt_buffer_text(out, "set the fence and check it again, or free a board of its "
                            "rule");
}

static void say_over(struct bt_buffer *out, const struct bt_edges_answer *a,
                     const struct bt_text_options *options)
{
    const struct bt_edges_dry *dry = bt_edges_worst_dry(a);

    if (dry) {
        bt_text_paint(out, options, BT_OVER, "Open");
        bt_buffer_text(out, ": laid together dry ");
        bt_say_joint(out, a->job, dry->read->joint);
        bt_buffer_text(out, " does not close, the largest gap is ");
        bt_say_length(out, dry->fit.largest, 0, options->system);
        bt_buffer_text(out, ". Next: ");
        bt_say_mend(out, dry);
    } else if (forbidden(a)) {
        bt_text_paint(out, options, BT_OVER, "Not as allowed");
        bt_buffer_text(out, ": ");
        bt_words_count(out, forbidden(a), "edge", "edges");
        bt_buffer_format(out,
                         " of the pattern %s against the rules of boards.csv. "
                         "Next: ",
                         bt_pattern_name(a->pattern));
        bt_buffer_text(out, "take --pattern best, which keeps them");
    } else {
        bt_text_paint(out, options, BT_OVER, "Over the limit");
        bt_buffer_text(out, ": ");
        if (cup_is(a, BT_OVER))
            say_cup(out, a, options->system);
        else
            say_opening(out, a, options->system);
        bt_buffer_text(out, ". Next: ");
        say_better(out, a);
    }
}

static void say_open(struct bt_buffer *out, const struct bt_edges_answer *a,
                     const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_TOO_CLOSE, "Too close to call");
    bt_buffer_text(out, ": ");
    if (cup_is(a, BT_TOO_CLOSE))
        say_cup(out, a, options->system);
    else if (opening_is(a, BT_TOO_CLOSE))
        say_opening(out, a, options->system);
    else
        say_dry(out, a, BT_DRY_TOO_CLOSE);
    if (cup_is(a, BT_TOO_CLOSE) || opening_is(a, BT_TOO_CLOSE))
        bt_buffer_text(out,
                       a->setup.fence_read
                           ? ". Next: one more check of the fence (benchtrue fence "
                             "says which), then run the edges as marked"
                           : ". Next: check the fence and write fence.csv");
    else
        bt_buffer_text(out, ". Next: read it with thinner leaves, both faces, ends and "
                            "middle");
}

static void say_verdict(struct bt_buffer *out, const struct bt_edges_answer *a,
                        const struct bt_text_options *options)
{
    switch (bt_edges_answer_verdict(a)) {
    case BT_OVER:
        say_over(out, a, options);
        break;
    case BT_NOT_SEEN:
        bt_text_paint(out, options, BT_NOT_SEEN, "Not seen");
        bt_buffer_text(out, ": ");
        say_dry(out, a, BT_DRY_NOT_SEEN);
        bt_buffer_text(out, ". Next: read both faces at both ends and in the middle");
        break;
    case BT_TOO_CLOSE:
        say_open(out, a, options);
        break;
    case BT_WITHIN:
        bt_text_paint(out, options, BT_WITHIN,
                      a->judged ? "Within the limit" : "As marked");
        bt_buffer_text(out, ": ");
        say_cup(out, a, options->system);
        bt_buffer_text(out,
                       ". Next: write the marks on the boards and run the edges in "
                       "the order below");
        break;
    }
    bt_buffer_text(out, ".\n");
}

/* ---- the marks ---- */

static void add_head(struct bt_buffer *out, const struct bt_edges_answer *a,
                     enum bt_system system)
{
    const char *title = a->job->title;

    bt_buffer_text(out, "\n");
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    bt_say_taken(out, &a->setup, system);
    bt_buffer_format(out, "Pattern:   %s", bt_pattern_name(a->pattern));
    if (a->pattern == BT_PATTERN_BEST) {
        bt_buffer_text(out,
                       a->plan.proven
                           ? ", the best that the rules allow (gains below the doubt "
                             "count as none)"
                           : ", the best found; none has a cup under ");
        if (!a->plan.proven)
            bt_say_length(out, a->plan.cup_bound, 0, system);
    }
    bt_buffer_text(out, "\n");
}

static const struct bt_edge_conflict *conflict_at(const struct bt_edges_answer *a,
                                                  size_t board, bool front)
{
    for (size_t i = 0; i < a->plan.nconflict; i++)
        if (a->plan.conflict[i].board == board && a->plan.conflict[i].front == front)
            return &a->plan.conflict[i];
    return NULL;
}

static const char *conflict_words(const struct bt_edge_conflict *conflict)
{
    if (conflict->kind == BT_CONFLICT_GRAIN)
        return "against the grain";
    return "not the face asked for";
}

static void add_edge(struct bt_buffer *out, const struct bt_edges_answer *a,
                     size_t board, bool front)
{
    const struct bt_board_run *run = &a->plan.run[board];
    const enum bt_run face = front ? run->front : run->back;
    const struct bt_edge_conflict *conflict = conflict_at(a, board, front);
    const bool outer = front ? board + 1 == a->setup.nboard : board == 0;
    const char *note = "", *doubt = "";

    bt_buffer_text(out, "  ");
    bt_say_mark(out, a->job, board, front, face);
    bt_buffer_column(out, FACE);
    bt_buffer_text(out, bt_face_words(face == BT_RUN_IN));
    bt_buffer_column(out, LEADS);
    bt_buffer_text(out, bt_left_end_leads(front, face, a->job->fence.feed)
                            ? "left end"
                            : "right end");
    bt_buffer_column(out, AT);
    if (outer)
        bt_buffer_text(out, "outside");
    else
        bt_buffer_format(out, "joint %zu", front ? board + 1 : board);
    if (run->turned && !front)
        note = "turn the board over first";
    if (conflict)
        doubt = conflict_words(conflict);
    else if (a->setup.rule[board].grain == BT_GRAIN_UNKNOWN)
        doubt = "grain not known";
    if (*note || *doubt) {
        bt_buffer_column(out, NOTE);
        bt_buffer_format(out, "%s%s%s", note, *note && *doubt ? "; " : "", doubt);
    }
    bt_buffer_text(out, "\n");
}

static void add_marks(struct bt_buffer *out, const struct bt_edges_answer *a)
{
    bt_buffer_text(out, "\nAt the machine, board by board (in: the show face to the "
                        "fence, out: away from it)\n  mark");
    bt_buffer_column(out, FACE);
    bt_buffer_text(out, "to the fence");
    bt_buffer_column(out, LEADS);
    bt_buffer_text(out, "goes first");
    bt_buffer_column(out, AT);
    bt_buffer_text(out, "edge of\n");
    for (size_t i = 0; i < a->setup.nboard; i++) {
        add_edge(out, a, i, false);
        add_edge(out, a, i, true);
    }
}

/* ---- what comes out ---- */

/* Height of the show face over the line through its outer ends, as glued. */
static double height_at(const struct bt_section *section, size_t joint)
{
    const double *first = section->board[0].show_back;
    const double *last = section->board[section->nboard - 1].show_front;
    const double *here = section->board[joint].show_front;
    const double share = (here[0] - first[0]) / (last[0] - first[0]);

    return here[1] - first[1] - share * (last[1] - first[1]);
}

static void add_joint(struct bt_buffer *out, const struct bt_edges_answer *a,
                      size_t joint, enum bt_system system)
{
    const struct bt_joint_kink *j = &a->section.joint[joint];
    const double height = height_at(&a->section, joint);
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "  joint %zu", joint + 1);
    bt_buffer_column(out, KINK);
    bt_say_angle(out, j->kink.value, j->kink.u);
    bt_buffer_column(out, KINK_U);
    bt_say_angle_u(out, j->kink.u);
    bt_buffer_column(out, OPEN);
    bt_say_length(out, j->opening.value, j->opening.u, system);
    if (j->opening.value > 0)
        bt_buffer_format(out, " at the %s", bt_face_words(j->opens_at_show));
    bt_buffer_column(out, OPEN_U);
    bt_buffer_text(out, bt_print_u_bare(text, j->opening.u, system));
    bt_buffer_column(out, HEIGHT);
    bt_say_cup(out, height, a->section.cup.u, system);
    bt_buffer_text(out, "\n");
}

static void add_joints(struct bt_buffer *out, const struct bt_edges_answer *a,
                       enum bt_system system)
{
    const struct bt_section *section = &a->section;
    char text[BT_PRINT_ROOM];

    if (section->njoint) {
        bt_buffer_text(out, "\nAs it comes out of the clamps\n  joint");
        bt_buffer_column(out, KINK);
        bt_buffer_text(out, "kink");
        bt_buffer_column(out, KINK_U);
        bt_buffer_text(out, "u, deg");
        bt_buffer_column(out, OPEN);
        bt_buffer_text(out, "opening, faces held flat");
        bt_buffer_column(out, OPEN_U);
        bt_buffer_format(out, "u, %s", bt_length_unit_name(system, BT_LENGTH_FEELER));
        bt_buffer_column(out, HEIGHT);
        bt_buffer_text(out, "over the ends\n");
    }
    for (size_t i = 0; i < section->njoint; i++)
        add_joint(out, a, i, system);
    bt_buffer_text(out, "  cup");
    bt_buffer_column(out, KINK);
    bt_say_cup(out, section->cup.value, section->cup.u, system);
    bt_buffer_format(out, ", u %s", bt_print_u_bare(text, section->cup.u, system));
    if (section->step > 0) {
        bt_buffer_text(out, "; under it boards stand out by up to ");
        bt_say_length(out, section->step, 0, system);
    }
    bt_buffer_text(out, "\n");
}

static void add_scatter(struct bt_buffer *out, const struct bt_edges_answer *a,
                        enum bt_system system)
{
    const struct bt_scatter_result *s = &a->scatter;

    bt_buffer_format(out, "  Of %zu draws of the edges' errors the cup is under ",
                     s->draws);
    bt_say_length(out, s->cup.median, s->cup.median / 4, system);
    bt_buffer_text(out, " in half and under ");
    bt_say_length(out, s->cup.p95, s->cup.p95 / 4, system);
    bt_buffer_text(out, " in 95 of 100;\n  the largest opening under ");
    bt_say_length(out, s->opening.median, s->opening.median / 4, system);
    bt_buffer_text(out, " and ");
    bt_say_length(out, s->opening.p95, s->opening.p95 / 4, system);
    bt_buffer_text(out, ".\n");
}

static void add_forgotten(struct bt_buffer *out, const struct bt_edges_answer *a,
                          enum bt_system system)
{
    const double u = a->section.cup.u;
    /* in the doubt that the largest opening of the plan has */
    const double u_opening = a->worst_joint < a->section.njoint ? a->opening.u : 0;

    bt_buffer_text(out, "\nIf one board is run with the other face, worst first\n  "
                        "board");
    bt_buffer_column(out, FORGOT_CUP);
    bt_buffer_text(out, "cup");
    bt_buffer_column(out, FORGOT_OPEN);
    bt_buffer_text(out, "largest opening\n");
    for (size_t i = 0; i < a->setup.nboard; i++) {
        const struct bt_forgotten *f = &a->forgotten[i];

        bt_buffer_text(out, "  ");
        bt_say_board(out, a->job, f->board);
        bt_buffer_column(out, FORGOT_CUP);
        bt_say_cup(out, f->cup, u, system);
        bt_buffer_column(out, FORGOT_OPEN);
        bt_say_length(out, f->opening, u_opening, system);
        bt_buffer_text(out, "\n");
    }
}

static bool runs_alike(const struct bt_board_run *a, const struct bt_board_run *b)
{
    return a->back == b->back && a->front == b->front && a->turned == b->turned;
}

/* What it would cost to obey every grain that is known. */
static void add_grain(struct bt_buffer *out, const struct bt_edges_answer *a,
                      enum bt_system system)
{
    const struct bt_edges_grain *grain = &a->grain;
    const struct bt_measured *cup = &grain->section.cup;
    const char *between = "run the other way: ";

    if (!grain->asked)
        return;
    if (!grain->found) {
        bt_buffer_text(out, "  - no plan obeys every grain that is known: ");
        bt_buffer_name(out, grain->none);
        bt_buffer_text(out, "\n");
        return;
    }
    bt_buffer_text(out, "  - with every known grain obeyed: cup ");
    bt_say_cup(out, cup->value, cup->u, system);
    bt_buffer_text(out, " instead of ");
    bt_say_cup(out, a->section.cup.value, a->section.cup.u, system);
    bt_buffer_text(out, ", largest opening ");
    bt_say_length(out, grain->section.largest_opening, a->opening.u, system);
    bt_buffer_text(out, " instead of ");
    bt_say_length(out, a->section.largest_opening, a->opening.u, system);
    bt_buffer_text(out, "; ");
    for (size_t i = 0; i < a->setup.nboard; i++) {
        if (runs_alike(&grain->plan.run[i], &a->plan.run[i]))
            continue;
        bt_buffer_text(out, between);
        bt_say_board(out, a->job, i);
        between = ", ";
    }
    bt_buffer_text(out, "\n");
}

static void add_conflicts(struct bt_buffer *out, const struct bt_edges_answer *a,
                          enum bt_system system)
{
    if (a->plan.nconflict == 0)
        return;
    bt_buffer_text(out, "\nTo look out for\n");
    for (size_t i = 0; i < a->plan.nconflict; i++) {
        const struct bt_edge_conflict *c = &a->plan.conflict[i];
        const struct bt_board_run *run = &a->plan.run[c->board];

        bt_buffer_text(out, "  - ");
        bt_say_mark(out, a->job, c->board, c->front, c->front ? run->front : run->back);
        bt_buffer_text(out, ": ");
        bt_buffer_format(out, "%s%s\n", conflict_words(c),
                         c->forbidden ? ", which boards.csv does not allow"
                         : c->kind == BT_CONFLICT_GRAIN
                             ? ": light cuts and sharp knives, or it tears"
                             : "");
    }
    add_grain(out, a, system);
}

enum bt_status bt_text_edges_plan(const struct bt_edges_answer *answer,
                                  const struct bt_text_options *options,
                                  struct bt_buffer *out)
{
    const enum bt_system system = options->system;

    say_verdict(out, answer, options);
    add_head(out, answer, system);
    add_marks(out, answer);
    add_conflicts(out, answer, system);
    add_joints(out, answer, system);
    add_scatter(out, answer, system);
    add_forgotten(out, answer, system);
    bt_text_dry_fits(out, answer, options);
    bt_text_springs(out, answer, system);
    if (options->details && answer->pattern == BT_PATTERN_BEST)
        bt_buffer_format(out, "\nSearch: %zu nodes, %s\n", answer->plan.nodes,
                         answer->plan.proven ? "proven" : "not proven");
    bt_text_notes(out, answer->job);
    bt_text_cautions(out, answer->job, BT_CAUTION_EDGES);
    return bt_buffer_status(out);
}
