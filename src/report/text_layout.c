/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/report/layout_result.h"
#include "report/joint_words.h"
#include "report/layout_words.h"
#include "report/text_cautions.h"
#include "report/text_parts.h"
#include "report/words.h"

enum { VALUE = 26 };

static const char practice[] = " (common practice, no source)";

/* A width of a strip: to the digits that its u carries. */
static void say_sure(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, u, system, BT_LENGTH_RULE));
}

/* Of one board as it was read, of several their sum. */
static double u_of(const struct bt_layout_report *r, size_t boards)
{
    return fmax(r->width_u, 0.05) * sqrt((double)(boards ? boards : 1));
}

static size_t worst_cutout(const struct bt_layout_report *r)
{
    size_t i = 0;

    while (i < r->job->layout.ncutout && !r->cut[i].faults)
        i++;
    return i;
}

static enum bt_cutout_fault first_fault(unsigned faults)
{
    return (enum bt_cutout_fault)(faults & (~faults + 1));
}

/* ---- the first line ---- */

static void say_missing(struct bt_buffer *out, const struct bt_layout_report *r,
                        const struct bt_text_options *options)
{
    const size_t n = r->request.nboard - r->answer.too_short;

    bt_text_paint(out, options, BT_OVER, "Too narrow");
    if (n == 0) {
        bt_buffer_text(out, ": every board is shorter than the ");
        bt_say_rule(out, r->request.length, options->system);
        bt_buffer_text(out, " that are needed. Next: longer boards");
        return;
    }
    bt_buffer_text(out, ": ");
    bt_words_count(out, n, "board", "boards");
    bt_buffer_text(out, n == 1 ? " makes " : " together make ");
    say_sure(out, r->request.width - r->answer.missing, u_of(r, n), options->system);
    bt_buffer_text(out, ", the piece is ");
    bt_say_rule(out, r->request.width, options->system);
    bt_buffer_text(out, " wide: ");
    say_sure(out, r->answer.missing, u_of(r, n), options->system);
    bt_buffer_text(out, " are missing");
    if (r->answer.too_short) {
        bt_buffer_text(out, " (");
        bt_words_count(out, r->answer.too_short, "board is", "boards are");
        bt_buffer_text(out, " too short)");
    }
    bt_buffer_text(out, ". Next: another board, or a narrower piece");
}

/* The rule whose loss leaves the least waste; nblock where none helps alone. */
static size_t best_block(const struct bt_layout_answer *a)
{
    size_t best = a->nblock;

    for (size_t i = 0; i < a->nblock; i++)
        if (a->block[i].relaxed &&
            (best == a->nblock || a->block[i].plan.waste < a->block[best].plan.waste))
            best = i;
    return best;
}

static void say_blocked(struct bt_buffer *out, const struct bt_layout_report *r,
                        const struct bt_text_options *options)
{
    const struct bt_layout_answer *a = &r->answer;
    const size_t best = best_block(a);
    size_t alone = 0;

    while (alone < a->nblock && !a->block[alone].alone)
        alone++;
    bt_text_paint(out, options, a->best.proven ? BT_OVER : BT_NOT_SEEN,
                  a->best.proven ? "No layout" : "None found");
    if (best < a->nblock) {
        bt_buffer_text(out, a->best.proven ? " keeps every rule; without `"
                                           : ", though not all were tried; without `");
        bt_say_layout_rule(out, r, a->block[best].rule, a->block[best].clear,
                           options->system);
        bt_buffer_text(out, "` there is one. Next: choose what to give up below");
    } else if (alone < a->nblock) {
        bt_buffer_text(out, ": nothing can satisfy `");
        bt_say_layout_rule(out, r, a->block[alone].rule, a->block[alone].clear,
                           options->system);
        bt_buffer_text(out, "` with these boards. Next: change it in [layout]");
    } else {
        bt_buffer_text(out, a->best.proven ? " keeps every rule, nor does one without "
                                             "any single rule"
                                           : ", nor without any single rule");
        bt_buffer_text(out, ". Next: give up two of them, or find other boards");
    }
}

static void say_fits(struct bt_buffer *out, const struct bt_layout_report *r,
                     const struct bt_text_options *options)
{
    const struct bt_layout_plan *plan = &r->best.plan;
    const size_t cut = worst_cutout(r);

    if (cut < r->job->layout.ncutout) {
        bt_text_paint(out, options, BT_OVER, "Over the limit");
        bt_buffer_text(out, ": the boards fit, but cut-out ");
        bt_buffer_name(out, r->job->layout.cutout[cut].name);
        bt_buffer_text(out, ": ");
        bt_say_cutout_fault(out, r, cut, first_fault(r->cut[cut].faults),
                            options->system);
        bt_buffer_text(out, ". Next: move it");
        return;
    }
    bt_text_paint(out, options, BT_WITHIN, "Fits");
    bt_buffer_text(out, ": ");
    bt_say_layout_boards(out, r, plan);
    bt_buffer_text(out, " from the back; trim ");
    say_sure(out, plan->trim_back, u_of(r, plan->n), options->system);
    bt_buffer_text(out, " there and ");
    say_sure(out, plan->trim_front, u_of(r, plan->n), options->system);
    bt_buffer_text(out, " at the front. Next: mark the boards in this order");
}

static void say_verdict(struct bt_buffer *out, const struct bt_layout_report *r,
                        const struct bt_text_options *options)
{
    if (r->best.plan.found)
        say_fits(out, r, options);
    else if (r->answer.missing > 0)
        say_missing(out, r, options);
    else
        say_blocked(out, r, options);
    bt_buffer_text(out, ".\n");
}

/* ---- the layout ---- */

static void add_name(struct bt_buffer *out, const char *name)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, VALUE);
}

static void add_strip(struct bt_buffer *out, const struct bt_layout_report *r, size_t k,
                      enum bt_system system)
{
    const struct bt_laid *b = &r->best;
    const struct bt_layout_plan *plan = &b->plan;
    const bool outer = k == 0 || k + 1 == plan->n;

    bt_buffer_format(out, "  ");
    bt_buffer_name(out, r->job->board[plan->board[k]].name);
    bt_buffer_text(out, plan->turned[k] ? ", turned over" : "");
    bt_buffer_column(out, VALUE);
    say_sure(out, b->left[k + 1] - b->left[k], u_of(r, 1), system);
    if (r->shaped) {
        bt_buffer_column(out, VALUE + 14);
        say_sure(out, b->right[k + 1] - b->right[k], u_of(r, 1), system);
    }
    bt_buffer_column(out, VALUE + (r->shaped ? 28 : 14));
    if (k + 1 < plan->n) {
        say_sure(out, b->left[k + 1], u_of(r, k + 1), system);
        if (r->shaped && fabs(b->right[k + 1] - b->left[k + 1]) > 0.05) {
            bt_buffer_text(out, " left, ");
            say_sure(out, b->right[k + 1], u_of(r, k + 1), system);
            bt_buffer_text(out, " right");
        }
    } else {
        bt_buffer_text(out, "-");
    }
    if (outer) {
        bt_buffer_column(out, VALUE + (r->shaped ? 52 : 28));
        bt_buffer_text(out, "of ");
        say_sure(out, r->board[plan->board[k]].width, r->width_u, system);
    }
    bt_buffer_text(out, "\n");
}

static void add_strips(struct bt_buffer *out, const struct bt_layout_report *r,
                       enum bt_system system)
{
    bt_buffer_text(out, "\nBoards from the back");
    bt_buffer_column(out, VALUE);
    bt_buffer_text(out, r->shaped ? "left end      right end     joint at"
                                  : "strip         joint at");
    bt_buffer_text(out, "\n");
    for (size_t k = 0; k < r->best.plan.n; k++)
        add_strip(out, r, k, system);
}

static void add_left_out(struct bt_buffer *out, const struct bt_layout_report *r)
{
    const unsigned long long used = bt_layout_set(&r->best.plan);
    bool any = false;

    for (size_t i = 0; i < r->job->nboard; i++) {
        if (used >> i & 1)
            continue;
        if (!any)
            add_name(out, "not used");
        bt_buffer_text(out, any ? ", " : "");
        bt_buffer_name(out, r->job->board[i].name);
        any = true;
    }
    if (any)
        bt_buffer_text(out, "\n");
}

static void add_outline_place(struct bt_buffer *out, const struct bt_layout_report *r,
                              enum bt_system system)
{
    const struct bt_laid *b = &r->best;
    char text[BT_PRINT_ROOM];

    add_name(out, "outline on the blank");
    bt_buffer_text(out, "corner A ");
    bt_say_rule(out, b->at.x, system);
    bt_buffer_text(out, " from the left end and ");
    bt_say_rule(out, b->at.y, system);
    bt_buffer_text(out, " from the back edge");
    if (b->turn == 0) {
        bt_buffer_text(out, r->shaped ? ", its back edge along the joints\n" : "\n");
        return;
    }
    bt_buffer_format(out, ", turned %s, right end to the %s\n",
                     bt_print_angle(text, fabs(b->turn), 0),
                     b->turn > 0 ? "front" : "back");
}

static void add_blank(struct bt_buffer *out, const struct bt_layout_report *r,
                      enum bt_system system)
{
    const struct bt_laid *b = &r->best;
    const struct bt_layout_plan *plan = &b->plan;
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "\nBlank\n");
    add_name(out, "width");
    say_sure(out, plan->blank, plan->blank_u, system);
    bt_buffer_text(out, " (u ");
    bt_say_rule_u(out, plan->blank_u, system);
    bt_buffer_text(out, ") for ");
    bt_say_rule(out,
                r->needs_turn ? plan->blank - plan->trim_back - plan->trim_front
                              : r->high.y - r->low.y,
                system);
    if (r->request.jointing > 0) {
        bt_buffer_text(out, ", with ");
        bt_say_length(out, r->request.jointing, 0, system);
        bt_buffer_text(out, " jointed off each edge in a joint");
    }
    bt_buffer_text(out, "\n");
    add_name(out, "trimmed");
    say_sure(out, plan->trim_back, plan->blank_u, system);
    bt_buffer_text(out, " at the back, ");
    say_sure(out, plan->trim_front, plan->blank_u, system);
    bt_buffer_text(out, " at the front, ");
    bt_say_rule(out, b->end_left, system);
    bt_buffer_text(out, " at each end\n");
    add_name(out, "outer strips");
    say_sure(out, plan->first, u_of(r, plan->n), system);
    bt_buffer_text(out, " and ");
    say_sure(out, plan->last, u_of(r, plan->n), system);
    bt_buffer_text(out, r->shaped ? " at their mean, narrowest of all "
                                  : ", narrowest of all ");
    say_sure(out, plan->narrowest, u_of(r, 1), system);
    bt_buffer_text(out, "\n");
    add_name(out, "waste");
    bt_buffer_format(out, "%s of the wood\n",
                     bt_print_share(text, fmax(plan->waste, 0) / plan->wood));
    add_left_out(out, r);
    add_outline_place(out, r, system);
}

static void add_proof(struct bt_buffer *out, const struct bt_layout_report *r)
{
    const struct bt_layout_plan *plan = &r->best.plan;

    add_name(out, "proof");
    if (plan->proven)
        bt_buffer_text(out,
                       "no layout of these boards keeps the rules with less waste, "
                       "nor with outer strips more nearly equal\n");
    else
        bt_buffer_format(out,
                         "not proven: the best found; it is with %d boards or fewer\n",
                         (int)BT_LAYOUT_EXACT);
}

/* ---- others ---- */

/* By how much more wood, or less, than the best. */
static void say_waste(struct bt_buffer *out, const struct bt_layout_report *r,
                      const struct bt_layout_plan *plan, enum bt_system system)
{
    const double more = plan->blank - r->answer.best.blank;

    bt_buffer_text(out, "blank ");
    say_sure(out, plan->blank, plan->blank_u, system);
    if (r->answer.best.found && fabs(more) > 0.005) {
        bt_buffer_text(out, ", ");
        say_sure(out, fabs(more), r->width_u, system);
        bt_buffer_text(out, more > 0 ? " wider" : " narrower");
    }
}

static void say_trims(struct bt_buffer *out, const struct bt_layout_plan *plan,
                      enum bt_system system)
{
    bt_buffer_text(out, "; trim ");
    say_sure(out, plan->trim_back, plan->blank_u, system);
    bt_buffer_text(out, " back, ");
    say_sure(out, plan->trim_front, plan->blank_u, system);
    bt_buffer_text(out, " front; outer strips ");
    say_sure(out, plan->first, plan->blank_u, system);
    bt_buffer_text(out, " and ");
    say_sure(out, plan->last, plan->blank_u, system);
}

static void say_way(struct bt_buffer *out, const struct bt_layout_report *r,
                    const struct bt_layout_other *other, enum bt_system system)
{
    switch (other->way) {
    case BT_WAY_OTHER_BOARDS:
        bt_buffer_text(out, "other boards");
        break;
    case BT_WAY_EQUAL_STRIPS:
        bt_buffer_text(out, "equal outer strips");
        break;
    case BT_WAY_ONE_EDGE:
        bt_buffer_format(out, "%s edge kept as glued, one cut less",
                         other->plan.trim_back > other->plan.trim_front ? "front"
                                                                        : "back");
        break;
    case BT_WAY_LISTED:
        bt_buffer_text(out, "the order listed");
        break;
    case BT_WAY_WITHOUT:
        bt_buffer_text(out, "without `");
        bt_say_layout_rule(out, r, other->rule, other->clear, system);
        bt_buffer_text(out, "`");
        break;
    case BT_WAY_RINGS:
        bt_buffer_text(out, "rings alternate");
        break;
    case BT_WAY_CENTRE:
        bt_buffer_text(out, "a board at the centre");
        break;
    }
}

static void list(struct bt_buffer *out, bool *any, const char *what)
{
    bt_buffer_text(out, *any ? ", " : ": gives up ");
    bt_buffer_text(out, what);
    *any = true;
}

/* What the best has and this one has not. */
static void say_gives_up(struct bt_buffer *out, const struct bt_layout_report *r,
                         const struct bt_layout_other *other)
{
    const struct bt_layout_plan *best = &r->answer.best, *plan = &other->plan;
    const double off = fabs(best->first - best->last);
    bool any = false;

    if (plan->waste > best->waste + 1)
        list(out, &any, "wood");
    if (fabs(plan->first - plan->last) > off + 0.05)
        list(out, &any,
             off < 0.05 ? "equal outer strips" : "nearly equal outer strips");
    if (plan->nturned > best->nturned)
        list(out, &any, "show faces");
    if (other->way == BT_WAY_EQUAL_STRIPS &&
        (r->request.trim == BT_TRIM_BACK || r->request.trim == BT_TRIM_FRONT))
        list(out, &any, "the edge kept as glued");
    if (!any)
        bt_buffer_text(out, other->way == BT_WAY_WITHOUT
                                ? ", less waste"
                                : ": gives up nothing that was asked for");
}

static void add_plan(struct bt_buffer *out, const struct bt_layout_report *r,
                     const struct bt_layout_plan *plan, enum bt_system system)
{
    bt_buffer_text(out, "     ");
    bt_say_layout_boards(out, r, plan);
    bt_buffer_text(out, "\n     ");
    say_waste(out, r, plan, system);
    say_trims(out, plan, system);
    bt_buffer_text(out, "\n");
}

static void add_turned(struct bt_buffer *out, const struct bt_layout_report *r,
                       size_t number, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_format(
        out,
        "  %zu  outline turned %s on the blank: saves wood, gives up joints "
        "along the back edge\n",
        number, bt_print_angle(text, fabs(r->turned.turn), 0));
    add_plan(out, r, &r->turned.plan, system);
}

static void add_others(struct bt_buffer *out, const struct bt_layout_report *r,
                       enum bt_system system)
{
    size_t number = 0;

    if (!r->answer.nother && !r->turned.plan.found)
        return;
    bt_buffer_text(out, "\nOthers, and what each gives up\n");
    if (r->turned.plan.found && !r->needs_turn)
        add_turned(out, r, ++number, system);
    for (size_t i = 0; i < r->answer.nother; i++) {
        const struct bt_layout_other *other = &r->answer.other[i];

        bt_buffer_format(out, "  %zu  ", ++number);
        say_way(out, r, other, system);
        say_gives_up(out, r, other);
        bt_buffer_text(out, "\n");
        add_plan(out, r, &other->plan, system);
    }
}

static void add_blocks(struct bt_buffer *out, const struct bt_layout_report *r,
                       enum bt_system system)
{
    const struct bt_layout_answer *a = &r->answer;

    if (!a->nblock)
        return;
    bt_buffer_text(out, "\nRules, and what giving one up allows\n");
    for (size_t i = 0; i < a->nblock; i++) {
        const struct bt_layout_block *block = &a->block[i];

        bt_buffer_text(out, "  ");
        bt_say_layout_rule(out, r, block->rule, block->clear, system);
        bt_buffer_text(out, block->relaxed ? ": without it\n"
                            : block->alone ? ": nothing can satisfy it, even alone\n"
                                           : ": does not help\n");
        if (block->relaxed)
            add_plan(out, r, &block->plan, system);
    }
    if (a->all.found) {
        bt_buffer_text(out, "  without any of them\n");
        add_plan(out, r, &a->all, system);
    }
}

/* ---- cut-outs ---- */

static void add_cutout(struct bt_buffer *out, const struct bt_layout_report *r,
                       size_t i, enum bt_system system)
{
    const struct bt_cutout_check *c = &r->cut[i];
    const struct bt_cutout *cut = &r->job->layout.cutout[i];

    bt_buffer_text(out, "  ");
    bt_buffer_name(out, cut->name);
    bt_buffer_column(out, VALUE);
    if (!(c->faults & BT_CUT_OUTSIDE)) {
        bt_say_rule(out, c->edge, system);
        bt_buffer_format(out, " to the %s", bt_side_words(c->edge_side));
        if (!isnan(c->joint)) {
            bt_buffer_text(out, ", ");
            bt_say_rule(out, c->joint, system);
            bt_buffer_format(out, " to joint %zu", c->joint_index + 1);
        }
        if (!isnan(c->other)) {
            bt_buffer_text(out, ", ");
            bt_say_rule(out, c->other, system);
            bt_buffer_text(out, " to ");
            bt_buffer_name(out, r->job->layout.cutout[c->other_index].name);
        }
        if (!isnan(c->fixing)) {
            bt_buffer_text(out, ", ");
            bt_say_rule(out, c->fixing, system);
            bt_buffer_text(out, " to the nearest screw");
        }
    }
    bt_buffer_text(out, "\n");
    for (unsigned fault = 1; fault <= BT_CUT_NEAR_FIXING; fault *= 2) {
        if (!(c->faults & fault))
            continue;
        bt_buffer_column(out, VALUE);
        bt_buffer_text(out, "! ");
        bt_say_cutout_fault(out, r, i, (enum bt_cutout_fault)fault, system);
        bt_buffer_text(out, "\n");
    }
}

static void add_cutouts(struct bt_buffer *out, const struct bt_layout_report *r,
                        enum bt_system system)
{
    bool sharp = false;

    if (!r->job->layout.ncutout)
        return;
    bt_buffer_text(out, "\nCut-outs\n");
    for (size_t i = 0; i < r->job->layout.ncutout; i++) {
        add_cutout(out, r, i, system);
        sharp = sharp || r->cut[i].sharp;
    }
    add_name(out, "wanted beside them");
    bt_say_rule(out, r->beside, system);
    bt_buffer_text(out, " to edges and each other");
    bt_buffer_text(out, r->beside_assumed ? practice : "");
    bt_buffer_text(out, ", ");
    bt_say_rule(out, r->clearance, system);
    bt_buffer_text(out, " to joints and screws");
    bt_buffer_text(out, r->clearance_assumed ? practice : "");
    bt_buffer_text(out, "\n");
    if (sharp)
        bt_buffer_text(out, "  Sharp inner corners start cracks: round them, and write "
                            "radius in cutouts.csv (common practice, no source).\n");
}

/* ---- details ---- */

static void add_details(struct bt_buffer *out, const struct bt_layout_report *r,
                        enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "\nDetails\n");
    add_name(out, "states visited");
    bt_buffer_format(out, "%zu\n",
                     r->needs_turn ? r->best.plan.steps : r->answer.best.steps);
    add_name(out, "narrowest strip");
    bt_say_rule(out, r->narrowest, system);
    bt_buffer_text(out, r->narrowest_assumed ? practice : "");
    bt_buffer_text(out, "\n");
    add_name(out, "u of one width");
    bt_buffer_format(out, "%s %s%s\n", bt_print_u_bare(text, r->width_u, system),
                     bt_length_unit_name(system, BT_LENGTH_FEELER),
                     r->width_u_assumed ? practice : "");
    add_name(out, "width to spare");
    bt_say_length(out,
                  fmax(r->request.spare,
                       BT_LAYOUT_SURE * r->width_u * sqrt((double)r->request.nboard)),
                  0.1, system);
    bt_buffer_text(out, " with all boards, so that 95 of 100 blanks are wide enough\n");
    for (size_t i = 0; i < r->request.nclear; i++) {
        add_name(out, "rule");
        bt_say_layout_rule(out, r, BT_RULE_CLEAR, i, system);
        bt_buffer_text(out, "\n");
    }
}

enum bt_status bt_text_layout(const struct bt_layout_report *r,
                              const struct bt_text_options *options,
                              struct bt_buffer *out)
{
    say_verdict(out, r, options);
    if (r->best.plan.found) {
        add_strips(out, r, options->system);
        add_blank(out, r, options->system);
        add_proof(out, r);
        add_cutouts(out, r, options->system);
        add_others(out, r, options->system);
    }
    if (!r->answer.best.found)
        add_blocks(out, r, options->system);
    if (options->details)
        add_details(out, r, options->system);
    if (r->best.plan.found)
        bt_text_cautions(out, r->job, BT_CAUTION_CUT);
    return bt_buffer_status(out);
}
