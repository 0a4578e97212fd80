/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/measure_words.h"
#include "report/text_parts.h"
#include "report/words.h"

enum { COLUMN_AIM = 10, COLUMN_NOW = 24, COLUMN_THEN = 38, COLUMN_WORD = 52 };

static void add_u(struct bt_buffer *out, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (isnan(u))
        bt_buffer_text(out, "not seen");
    else
        bt_buffer_format(out, "%s %s", bt_print_u_bare(text, u, system),
                         bt_length_unit_name(system, BT_LENGTH_FEELER));
}

static void add_rule(struct bt_buffer *out, double mm, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length_bare(text, mm, 0, system, BT_LENGTH_RULE));
}

static void add_rule_unit(struct bt_buffer *out, enum bt_system system)
{
    bt_buffer_format(out, " %s", bt_length_unit_name(system, BT_LENGTH_RULE));
}

/* ---- the first line ---- */

static void add_effort(struct bt_buffer *out, const struct bt_measure_answer *a)
{
    static const char *const one[BT_PLAN_KINDS] = {
        "line under the straightedge", "set-up of the dial", "line with the bar",
        "line with the level", "pair of sticks"};
    static const char *const many[BT_PLAN_KINDS] = {
        "lines under the straightedge", "set-ups of the dial", "lines with the bar",
        "lines with the level", "pairs of sticks"};
    bool any = false;

    for (int kind = 0; kind < BT_PLAN_KINDS; kind++) {
        size_t n = 0;
        for (size_t k = 0; k < a->plan.nstep; k++)
            n += a->plan.step[k].kind == (enum bt_plan_kind)kind;
        if (n == 0)
            continue;
        bt_buffer_text(out, any ? " and " : "");
        bt_words_count(out, n, one[kind], many[kind]);
        any = true;
    }
    bt_buffer_text(out, ", ");
    bt_words_count(out, a->plan.nreading, "reading", "readings");
}

static void add_missed(struct bt_buffer *out, const struct bt_measure_answer *a,
                       const struct bt_text_options *options)
{
    bool any = false;

    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        const struct bt_plan_expected *f = &a->plan.figure[k];
        if (!f->wanted || f->reached)
            continue;
        bt_buffer_format(out, "%s%s ", any ? "; " : "",
                         bt_measure_figure_name((enum bt_plan_figure)k));
        if (isnan(f->best)) {
            bt_buffer_text(out, "cannot be seen");
        } else {
            bt_buffer_text(out, "not to ");
            add_u(out, f->aim, options->system);
            bt_buffer_text(out, ", at best to ");
            add_u(out, fmin(f->best, isnan(f->after) ? f->best : f->after),
                  options->system);
        }
        any = true;
    }
}

/* Whether the readings taken do, as far as figures go. */
static bool known_before(const struct bt_measure_answer *a)
{
    for (int k = 0; k < BT_PLAN_FIGURES; k++)
        if (a->plan.figure[k].wanted &&
            !(a->plan.figure[k].before <= a->plan.figure[k].aim))
            return false;
    return true;
}

/* Steps that are not for the figures are for the check; without, none was found. */
static bool unchecked(const struct bt_measure_answer *a)
{
    return a->plan.nstep || a->plan.dof == 0;
}

/* In the words of flatness, which says so of the same readings. */
static void add_unchecked(struct bt_buffer *out, const struct bt_measure_answer *a,
                          const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_WITHIN, "Known well enough");
    bt_buffer_text(out, " if no reading is wrong, for none of them checks another. "
                        "Next: to be sure, read ");
    if (a->plan.nstep)
        add_effort(out, a);
    else
        bt_buffer_text(out, "a few places again");
    bt_buffer_text(out, "\n");
}

/* None of the straightedges lies from corner to corner. */
static bool edge_short(const struct bt_measure_answer *a)
{
    const double far = hypot(a->request.length, a->request.width);
    bool any = false;

    for (size_t k = 0; k < a->request.ninstrument; k++) {
        const struct bt_plan_instrument *i = &a->instrument[k];
        if (i->kind != BT_PLAN_LINE)
            continue;
        if (!(i->reach < far))
            return false;
        any = true;
    }
    return any;
}

static void add_verdict(struct bt_buffer *out, const struct bt_measure_answer *a,
                        const struct bt_text_options *options)
{
    if (bt_measure_answer_reached(a) && known_before(a) && unchecked(a)) {
        add_unchecked(out, a, options);
        return;
    }
    if (bt_measure_answer_reached(a)) {
        bt_text_paint(out, options, BT_WITHIN,
                      a->plan.nstep ? "Can be known" : "Known well enough");
        if (a->plan.nstep == 0) {
            bt_buffer_text(out, ": nothing more to read. Next: benchtrue flatness\n");
            return;
        }
        bt_buffer_text(out, ": every figure wanted. Next: read ");
        add_effort(out, a);
    } else {
        bt_text_paint(out, options, BT_TOO_CLOSE, "Not all can be known");
        bt_buffer_text(out, " with what the job names: ");
        add_missed(out, a, options);
        bt_buffer_text(out, ". Next: ");
        if (edge_short(a))
            bt_buffer_text(out, "a longer straightedge, for this one does not reach "
                                "from corner to corner");
        if (a->plan.nstep) {
            bt_buffer_text(out, edge_short(a) ? "; with it nearest come " : "read ");
            add_effort(out, a);
        } else if (!edge_short(a)) {
            bt_buffer_text(out, "a finer instrument, or a wider limit");
        }
    }
    bt_buffer_text(out, "\n");
}

/* ---- what it is reckoned with ---- */

static void add_instruments(struct bt_buffer *out, const struct bt_measure_answer *a,
                            enum bt_system system)
{
    for (size_t k = 0; k < a->request.ninstrument; k++) {
        const struct bt_plan_instrument *i = &a->instrument[k];
        const struct bt_measure_tool *tool = &a->tool[k];
        char text[BT_PRINT_ROOM];

        bt_buffer_format(out, "  %s", bt_measure_tool_kind(i->kind));
        if (tool->name) {
            bt_buffer_text(out, " '");
            bt_buffer_name(out, tool->name);
            bt_buffer_text(out, "'");
        } else {
            bt_buffer_text(out, " and feelers, since the job names no instrument");
        }
        bt_buffer_text(out, ": u of a reading ");
        if (i->kind == BT_PLAN_LEVEL)
            bt_buffer_format(out, "%s mm/m",
                             bt_print_length_bare(text, 1000 * i->u, 0, BT_SYSTEM_MM,
                                                  BT_LENGTH_FEELER));
        else
            add_u(out, i->u, system);
        bt_buffer_text(out,
                       tool->u_assumed ? " (assumed: common practice, no source)" : "");
        if (i->kind == BT_PLAN_LINE && i->straightness > 0) {
            bt_buffer_text(out, ", straight within ");
            add_u(out, i->straightness, system);
        }
        if (i->reach > 0) {
            bt_buffer_text(out,
                           i->kind == BT_PLAN_BAR ? ", feet apart by " : ", length ");
            add_rule(out, i->reach, system);
            add_rule_unit(out, system);
            bt_buffer_text(out, tool->feet_assumed ? " (assumed; --feet says)" : "");
        }
        bt_buffer_text(out, "\n");
    }
}

static void add_basis(struct bt_buffer *out, const struct bt_measure_answer *a,
                      enum bt_system system)
{
    static const char *const sources[] = {
        "as --aim says",
        "from the limits, so that less than half of a limit, and half as much again, "
        "is "
        "told for sure",
        "assumed, since no limit is stated (common practice, no source)"};

    bt_buffer_text(out, "\nWith\n");
    add_instruments(out, a, system);
    bt_buffer_format(out, "Uncertainty wanted: %s.\n", sources[a->aim_source]);
    if (a->for_planing)
        bt_buffer_text(out, "A limit is over, and where to plane how much shows only "
                            "on a face that is known everywhere: it is planned for "
                            "too.\n");
    if (a->set) {
        bt_buffer_text(out, "In addition to the readings of '");
        bt_buffer_name(out, a->set->name);
        bt_buffer_text(out, "': name the new file beside theirs in job.ini, files = ");
        for (size_t i = 0; i < a->set->nfile; i++) {
            bt_buffer_name(out, a->set->file[i]);
            bt_buffer_text(out, ", ");
        }
        bt_buffer_text(out, "more.csv.\n");
        if (a->set->supports && *a->set->supports)
            bt_buffer_text(out,
                           "The uncertainty of its sag on its supports is not among "
                           "these; flatness adds it.\n");
    }
    if (a->scan_left_out)
        bt_buffer_text(out, "The latest set is a scan, to which nothing can be added: "
                            "planned afresh.\n");
}

static void add_table(struct bt_buffer *out, const struct bt_measure_answer *a,
                      const struct bt_text_options *options)
{
    bt_buffer_text(out, "\nu of");
    bt_buffer_column(out, COLUMN_AIM);
    bt_buffer_text(out, "wanted");
    bt_buffer_column(out, COLUMN_NOW);
    bt_buffer_text(out, "now");
    bt_buffer_column(out, COLUMN_THEN);
    bt_buffer_text(out, "then\n");
    for (int k = 0; k < BT_PLAN_FIGURES; k++) {
        const struct bt_plan_expected *f = &a->plan.figure[k];
        if (!f->wanted)
            continue;
        bt_buffer_text(out, bt_measure_figure_name((enum bt_plan_figure)k));
        bt_buffer_column(out, COLUMN_AIM);
        add_u(out, f->aim, options->system);
        bt_buffer_column(out, COLUMN_NOW);
        add_u(out, f->before, options->system);
        bt_buffer_column(out, COLUMN_THEN);
        add_u(out, f->after, options->system);
        if (!f->reached) {
            bt_buffer_column(out, COLUMN_WORD);
            bt_text_paint(out, options, BT_TOO_CLOSE, "not reached");
        }
        bt_buffer_text(out, "\n");
    }
}

/* ---- the list ---- */

/* `A`, or `x 375, y 0`. */
static void add_end(struct bt_buffer *out, const struct bt_measure_answer *a,
                    const struct bt_point *p, enum bt_system system)
{
    const char corner = bt_measure_corner(a, p);

    if (corner) {
        bt_buffer_format(out, "%c", corner);
        return;
    }
    bt_buffer_text(out, "x ");
    add_rule(out, p->x, system);
    bt_buffer_text(out, ", y ");
    add_rule(out, p->y, system);
}

/* Along a line; askew it is no whole step: to the nearest. */
static double distance(const struct bt_point *a, const struct bt_point *b,
                       enum bt_system system)
{
    const double mm = hypot(b->x - a->x, b->y - a->y);
    const double step = system == BT_SYSTEM_IN ? 25.4 / 16 : 1;

    if (!(fabs(b->x - a->x) > 0) || !(fabs(b->y - a->y) > 0))
        return mm;
    return floor(mm / step + 0.5) * step;
}

static void add_distances(struct bt_buffer *out, size_t from, size_t to,
                          const struct bt_point p[], enum bt_system system)
{
    for (size_t i = from; i < to; i++) {
        bt_buffer_text(out, i > from ? ", " : "");
        add_rule(out, distance(&p[0], &p[i], system), system);
    }
    add_rule_unit(out, system);
}

/* Each value of one coordinate once, in the order met. */
static void add_axis(struct bt_buffer *out, const struct bt_plan_step *step,
                     const struct bt_point p[], int axis, enum bt_system system)
{
    bool any = false;

    for (size_t i = 0; i < step->n; i++) {
        const double at = axis ? p[i].y : p[i].x;
        bool seen = false;
        for (size_t k = 0; k < i && !seen; k++)
            seen = fabs((axis ? p[k].y : p[k].x) - at) <= 1e-6;
        if (seen)
            continue;
        bt_buffer_text(out, any ? ", " : "");
        add_rule(out, at, system);
        any = true;
    }
}

static void add_how(struct bt_buffer *out, const struct bt_measure_answer *a,
                    const struct bt_plan_step *step, enum bt_system system)
{
    const struct bt_point *p = &a->plan.place[step->first];

    switch (step->kind) {
    case BT_PLAN_LINE:
        bt_buffer_text(out, "read at ");
        add_distances(out, 0, step->n, p, system);
        return;
    case BT_PLAN_BAR:
        bt_buffer_text(out, "step the bar along, dial at ");
        add_distances(out, 1, step->n - 1, p, system);
        return;
    case BT_PLAN_LEVEL:
        bt_buffer_text(out, "level on two blocks, from one to the next of ");
        add_distances(out, 0, step->n, p, system);
        return;
    case BT_PLAN_SETUP:
        bt_buffer_text(out, "read at x ");
        add_axis(out, step, p, 0, system);
        bt_buffer_text(out, " by y ");
        add_axis(out, step, p, 1, system);
        break;
    case BT_PLAN_STICKS:
    case BT_PLAN_KINDS:
        bt_buffer_text(out, "sticks across at x ");
        add_axis(out, step, p, 0, system);
        bt_buffer_text(out, ", both touching at y ");
        add_axis(out, step, p, 1, system);
        break;
    }
    add_rule_unit(out, system);
}

static void add_step(struct bt_buffer *out, const struct bt_measure_answer *a, size_t k,
                     enum bt_system system)
{
    const struct bt_plan_step *step = &a->plan.step[k];
    const char *tool = a->tool[step->instrument].name;

    bt_buffer_format(out, "%s%zu. ", k < 9 ? " " : "", k + 1);
    bt_measure_step_name(a, k, out);
    if (step->kind != BT_PLAN_SETUP && step->kind != BT_PLAN_STICKS) {
        bt_buffer_text(out, ", ");
        add_end(out, a, &a->plan.place[step->first], system);
        bt_buffer_text(out, " to ");
        add_end(out, a, &a->plan.place[step->first + step->n - 1], system);
    }
    if (tool && a->request.ninstrument > 1) {
        bt_buffer_text(out, ", with '");
        bt_buffer_name(out, tool);
        bt_buffer_text(out, "'");
    }
    bt_buffer_text(out, ": ");
    add_how(out, a, step, system);
    bt_buffer_text(out, "\n");
}

static void add_list(struct bt_buffer *out, const struct bt_measure_answer *a,
                     enum bt_system system)
{
    if (a->plan.nstep == 0)
        return;
    bt_buffer_text(out, "\nIn walking order, from corner A (back left):\n");
    for (size_t k = 0; k < a->plan.nstep; k++)
        add_step(out, a, k, system);
    for (size_t k = 0; k < a->plan.nstep; k++)
        if (bt_measure_step_turned(a, k)) {
            bt_buffer_text(out, "again: the edge lifted, turned end for end and laid "
                                "down anew, so that a slip in one reading of the line "
                                "shows in the other.\n");
            break;
        }
    bt_buffer_format(out,
                     "A gross error would be noticed in %zu of the %zu readings, which "
                     "others check%s.\n",
                     a->plan.checked, a->plan.nreading,
                     a->plan.sound ? "" : ": read each twice");
}

static void add_supports(struct bt_buffer *out, const struct bt_measure_answer *a,
                         enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (!a->supports_known)
        return;
    bt_buffer_text(out, "\nLay the panel on two battens across the grain, at x ");
    bt_words_rule(out, a->support[0], system);
    bt_buffer_text(out, " and ");
    bt_words_rule(out, a->support[1], system);
    bt_buffer_format(
        out, ": it then sags by %s,\n",
        bt_print_length(text, a->sag, 0.1 * a->sag, system, BT_LENGTH_FEELER));
    bt_buffer_format(out, "against %s on battens at its ends (",
                     bt_print_length(text, a->sag_ends, 0.1 * a->sag_ends, system,
                                     BT_LENGTH_FEELER));
    bt_buffer_name(out, a->wood);
    bt_buffer_text(out, "). Write it down as `supports`.\n");
}

enum bt_status bt_text_measure(const struct bt_measure_answer *answer,
                               const struct bt_text_options *options,
                               struct bt_buffer *out)
{
    add_verdict(out, answer, options);
    add_table(out, answer, options);
    add_list(out, answer, options->system);
    add_basis(out, answer, options->system);
    if (options->details)
        bt_buffer_format(out,
                         "Details: %zu degrees of freedom, %zu of %zu readings checked "
                         "by others, %zu plans tried\n",
                         answer->plan.dof, answer->plan.checked, answer->plan.nreading,
                         answer->plan.evaluated);
    add_supports(out, answer, options->system);
    return bt_buffer_status(out);
}
