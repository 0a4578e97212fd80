/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_decide_choices.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/day.h"
#include "report/decide_words.h"
#include "report/joint_words.h"
#include "report/words.h"

static void begin(struct bt_buffer *out, const char *word)
{
    bt_buffer_text(out, "     ");
    bt_buffer_text(out, word);
    bt_buffer_column(out, 16);
}

static void add_left(struct bt_buffer *out, const struct bt_choice *c,
                     enum bt_system system)
{
    if (!c->thickness.seen && !c->width.seen)
        return;
    begin(out, "leaves");
    if (c->thickness.seen) {
        bt_decide_say_size(out, &c->thickness, system);
        bt_buffer_text(out, " thick");
    }
    if (c->width.seen) {
        bt_buffer_text(out, c->thickness.seen ? ", " : "");
        bt_decide_say_size(out, &c->width, system);
        bt_buffer_text(out, " wide");
    }
    bt_buffer_text(out, "\n");
}

/* Volume in litres, or cubic inches. */
static void say_volume(struct bt_buffer *out, double mm3, enum bt_system system)
{
    char text[BT_PRINT_ROOM];
    const double value = system == BT_SYSTEM_IN ? mm3 / 16387.064 : mm3 / 1000;

    bt_buffer_text(out, bt_print_length_bare(text, value, value / 20, BT_SYSTEM_MM,
                                             BT_LENGTH_FEELER));
    bt_buffer_text(out, system == BT_SYSTEM_IN ? " cubic inches" : " cm3");
}

static void add_removed(struct bt_buffer *out, const struct bt_choice *c,
                        enum bt_system system)
{
    if (!(c->volume > 0))
        return;
    begin(out, "takes off");
    if (c->removed.seen) {
        bt_buffer_text(out, "up to ");
        bt_say_length(out, c->removed.value, c->removed.u, system);
    }
    if (c->removed.seen && !isnan(c->removed_other)) {
        bt_buffer_text(out, " and, off the other face, ");
        bt_say_length(out, c->removed_other, c->removed.u, system);
    }
    bt_buffer_text(out, c->removed.seen ? "; " : "");
    say_volume(out, c->volume, system);
    bt_buffer_text(out, " in all\n");
}

static void add_work(struct bt_buffer *out, const struct bt_decide_answer *a,
                     const struct bt_choice *c)
{
    const bool by_hand = c->kind == BT_CHOICE_HIGH_SPOTS;
    char date[BT_DATE_ROOM];

    if (c->kind == BT_CHOICE_WAIT && a->next_known) {
        begin(out, "until");
        bt_buffer_format(out, "%s\n", bt_date_of_day(date, a->next_day));
    }
    if (isnan(c->passes) && !(c->minutes > 0))
        return;
    begin(out, "work");
    if (!isnan(c->passes))
        bt_words_count(out, (size_t)fmin(c->passes, 1e6), by_hand ? "shaving" : "pass",
                       by_hand ? "shavings" : "passes");
    if (c->minutes > 0) {
        bt_buffer_text(out, isnan(c->passes) ? "about " : ", about ");
        bt_say_minutes(out, c->minutes);
    }
    bt_buffer_text(out, "\n");
}

static void add_figure_left(struct bt_buffer *out, enum bt_figure figure,
                            const struct bt_measured *m, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "%s ", bt_figure_name(figure));
    if (!m->seen) {
        bt_buffer_text(out, "not known");
        return;
    }
    if (!(fabs(m->value) > 0)) {
        bt_buffer_text(out, "0");
        return;
    }
    bt_buffer_text(
        out, bt_print_length(text, fabs(m->value), m->u, system, BT_LENGTH_FEELER));
    bt_buffer_format(out, " %s, u ", bt_words_shape(figure, m->value));
    bt_buffer_text(out, bt_print_u_bare(text, m->u, system));
}

static void add_form(struct bt_buffer *out, const struct bt_choice *c,
                     enum bt_system system)
{
    if (c->form == BT_FORM_UNKNOWN && c->kind != BT_CHOICE_WAIT)
        return;
    begin(out, "form left");
    if (c->form == BT_FORM_UNKNOWN) {
        bt_buffer_text(out, "not known: sets of three days or more show where it comes "
                            "to rest\n");
        return;
    }
    if (c->form == BT_FORM_MACHINE) {
        bt_buffer_text(out, "cup, bow and twist 0");
    } else {
        add_figure_left(out, BT_FIGURE_CUP, &c->cup, system);
        bt_buffer_text(out, "; ");
        add_figure_left(out, BT_FIGURE_BOW, &c->bow, system);
        bt_buffer_text(out, "; ");
        add_figure_left(out, BT_FIGURE_TWIST, &c->twist, system);
    }
    bt_buffer_format(out, ": %s\n", bt_decide_form_words(c->form));
}

static void add_force(struct bt_buffer *out, const struct bt_choice *c,
                      enum bt_system system)
{
    if (!c->force.seen)
        return;
    begin(out, "force");
    bt_say_force(out, c->force.value, system);
    bt_buffer_text(out, " on the screw that carries most, u ");
    bt_say_force(out, c->force.u, system);
    if (!isnan(c->force_holds)) {
        bt_buffer_text(out, "; it holds ");
        bt_say_force(out, c->force_holds, system);
        bt_buffer_text(out, " for good");
    }
    bt_buffer_text(out, "\n");
    if (!c->stress.seen)
        return;
    begin(out, "stress");
    bt_say_pressure(out, c->stress.value, system);
    bt_buffer_text(out, " across the grain; the wood bears ");
    bt_say_pressure(out, c->stress_holds, system);
    bt_buffer_text(out, " for good\n");
}

static void add_choice(struct bt_buffer *out, const struct bt_decide_answer *a,
                       const struct bt_choice *c, size_t rank, enum bt_system system)
{
    if (c->state == BT_CHOICE_POSSIBLE)
        bt_buffer_format(out, "  %zu  %s: %s\n", rank, bt_choice_name(c->kind),
                         bt_decide_rank_words(c));
    else {
        bt_buffer_format(out, "  %c  %s: ", c->state == BT_CHOICE_OPEN ? '?' : '-',
                         bt_choice_name(c->kind));
        bt_decide_say_reason(out, a, c, system);
        bt_buffer_text(out, "\n");
    }
    if (c->state == BT_CHOICE_NOT)
        return;
    add_left(out, c, system);
    add_form(out, c, system);
    add_removed(out, c, system);
    add_force(out, c, system);
    add_work(out, a, c);
    begin(out, "risks");
    bt_buffer_format(out, "%s\n", bt_decide_risk(a, c->kind));
}

void bt_text_decide_choices(struct bt_buffer *out, const struct bt_decide_answer *a,
                            const struct bt_text_options *options)
{
    const struct bt_choices *choices = &a->choices;

    bt_buffer_text(out, "\nWhat to do, best first (? cannot tell, - no)\n\n");
    for (size_t i = 0; i < BT_CHOICES; i++)
        add_choice(out, a, &choices->choice[i], i + 1, options->system);
    if (choices->pair_found && !choices->pair_exact)
        bt_buffer_text(out, "  Both faces are reckoned as if the thickness were the "
                            "same everywhere: measure it at the places that decide.\n");
    bt_buffer_text(out, "  Times by the rates of [plan] in job.ini; those not stated "
                        "there are common practice, no source.\n");
}

/* ---- the table for chalk marks ---- */

static void add_cell(struct bt_buffer *out, const struct bt_chalk_cell *cell,
                     const struct bt_decide_answer *a, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (cell->places == 0)
        bt_buffer_text(out, "?");
    else if (!strpbrk(bt_print_length_bare(text, cell->depth, bt_decide_map_u(a),
                                           system, BT_LENGTH_FEELER),
                      "123456789"))
        bt_buffer_text(out, "-");
    else
        bt_buffer_text(out, text);
}

static void add_spots(struct bt_buffer *out, const struct bt_decide_answer *a,
                      enum bt_system system)
{
    const bool by_hand = a->map_of == BT_CHOICE_HIGH_SPOTS;
    const double pass =
        by_hand ? a->choices.plan.shaving : a->choices.plan.depth_per_pass;

    if (a->nspot == 0)
        return;
    bt_buffer_text(out, "\n  in this order:");
    for (size_t i = 0; i < a->nspot; i++) {
        const struct bt_chalk_spot *spot = &a->spot[i];

        bt_buffer_format(out, "%s %s ", i ? ";" : "", a->chalk.cell[spot->cell].name);
        bt_say_length(out, spot->depth, bt_decide_map_u(a), system);
        bt_buffer_text(out, " in ");
        bt_words_count(out, (size_t)fmin(1e6, bt_removal_passes(spot->depth, pass)),
                       by_hand ? "shaving" : "pass", by_hand ? "shavings" : "passes");
    }
    bt_buffer_text(out, "\n");
}

void bt_text_decide_map(struct bt_buffer *out, const struct bt_decide_answer *a,
                        const struct bt_text_options *options)
{
    const struct bt_chalk *chalk = &a->chalk;

    if (!a->map_known)
        return;
    bt_buffer_format(out,
                     "\nTo chalk on the face: most that comes off each cell, %s (%s)\n"
                     "back edge on top, A to the left; - nothing, ? not read\n\n    ",
                     bt_length_unit_name(options->system, BT_LENGTH_FEELER),
                     bt_choice_name(a->map_of));
    for (size_t c = 0; c < chalk->columns; c++) {
        bt_buffer_column(out, 6 + 7 * c);
        bt_buffer_format(out, "%c", (int)('A' + c));
    }
    bt_buffer_text(out, "\n");
    for (size_t r = 0; r < chalk->rows; r++) {
        bt_buffer_format(out, "  %zu", r + 1);
        for (size_t c = 0; c < chalk->columns; c++) {
            bt_buffer_column(out, 6 + 7 * c);
            add_cell(out, &chalk->cell[r * chalk->columns + c], a, options->system);
        }
        bt_buffer_text(out, "\n");
    }
    add_spots(out, a, options->system);
}
