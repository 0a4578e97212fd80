/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections on fixings, on form, and what is good to know. */
#include <math.h>

#include "report/joint_words.h"
#include "report/text_movement.h"
#include "report/text_parts.h"

static void say(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    bt_movement_say(out, mm, u, system);
}

/* ---- what each lets the panel do ---- */

enum { KIND = 6, PLACE = 20, NEEDS = 46, GIVES = 60, SET = 72, VERDICT = 96 };

static void add_head(struct bt_buffer *out)
{
    bt_buffer_text(out, "\nFixings\n  no  kind");
    bt_buffer_column(out, PLACE);
    bt_buffer_text(out, "at x, y");
    bt_buffer_column(out, NEEDS);
    bt_buffer_text(out, "needs");
    bt_buffer_column(out, GIVES);
    bt_buffer_text(out, "gives");
    bt_buffer_column(out, SET);
    bt_buffer_text(out, "set the screw");
    bt_buffer_text(out, "\n");
}

static void say_set(struct bt_buffer *out, const struct bt_fixing_way *way,
                    enum bt_system system)
{
    if (isinf(way->travel)) {
        bt_buffer_text(out, "anywhere");
    } else if (!(way->travel > BT_FIXING_YIELDS)) {
        bt_buffer_text(out, "-");
    } else if (fabs(way->at_best) < 0.05) {
        bt_buffer_text(out, "in the middle");
    } else {
        say(out, fabs(way->at_best), 0.3, system);
        bt_buffer_text(out, way->at_best > 0 ? " to the front" : " to the back");
    }
}

static void add_row(struct bt_buffer *out, const struct bt_movement_answer *a, size_t i,
                    const struct bt_text_options *options)
{
    const struct bt_fixing *f = &a->job->fixing.fixing[i];
    const struct bt_movement_fixing *m = &a->fixing[i];
    const enum bt_system system = options->system;

    bt_buffer_format(out, "  %zu", i + 1);
    bt_buffer_column(out, KIND);
    bt_buffer_text(out, bt_fixing_kind_name(f->kind));
    bt_buffer_column(out, PLACE);
    say(out, f->x, 0, system);
    bt_buffer_text(out, ", ");
    say(out, f->y, 0, system);
    bt_buffer_column(out, NEEDS);
    if (m->way.need > 0)
        say(out, m->way.need, m->way.u_need, system);
    else
        bt_buffer_text(out, "0");
    bt_buffer_column(out, GIVES);
    if (isinf(m->way.travel))
        bt_buffer_text(out, "free");
    else if (isnan(m->way.travel))
        bt_buffer_text(out, "not known");
    else
        say(out, m->way.travel, 0, system);
    bt_buffer_column(out, SET);
    say_set(out, &m->way, system);
    bt_buffer_column(out, VERDICT);
    bt_text_paint(out, options, m->moves, bt_verdict_text(m->moves));
    bt_buffer_text(out, "\n");
}

static void add_remark(struct bt_buffer *out, const struct bt_movement_answer *a,
                       size_t i, enum bt_system system)
{
    const struct bt_fixing *f = &a->job->fixing.fixing[i];
    const struct bt_fixing_way *way = &a->fixing[i].way;

    bt_buffer_column(out, KIND);
    if (way->along) {
        bt_buffer_text(out, "wrong way: it runs along the grain, the panel moves "
                            "across it; across it needs ");
        bt_movement_make(out, way->slot_needed, system);
    } else if (way->off_line) {
        bt_buffer_text(out, "a round hole off the fixed line: make it a slot across, ");
        bt_movement_make(out, way->slot_needed, system);
        bt_buffer_text(out, " long");
    } else if ((f->kind == BT_FIXING_SLOT || f->kind == BT_FIXING_BRACKET) &&
               !isnan(f->slot)) {
        bt_buffer_text(out, "slot of ");
        bt_movement_make(out, way->slot_needed, system);
        bt_buffer_text(out, " or more across would do; left ");
        say(out, way->left_back, way->u_need, system);
        bt_buffer_text(out, " at the back, ");
        say(out, way->left_front, way->u_need, system);
        bt_buffer_text(out, " at the front");
    } else if (!isnan(way->setback)) {
        bt_buffer_text(out, "leave ");
        say(out, way->setback, way->u_need, system);
        bt_buffer_text(out, " today between its shoulder and the rail");
    } else if (isnan(way->travel)) {
        bt_buffer_text(out, "write how far it lets the panel go: travel, or arm");
    }
    bt_buffer_text(out, "\n");
}

static bool has_remark(const struct bt_movement_answer *a, size_t i)
{
    const struct bt_fixing *f = &a->job->fixing.fixing[i];
    const struct bt_fixing_way *way = &a->fixing[i].way;

    return way->along || way->off_line || !isnan(way->setback) || isnan(way->travel) ||
           ((f->kind == BT_FIXING_SLOT || f->kind == BT_FIXING_BRACKET) &&
            !isnan(f->slot));
}

/* ---- what each holds ---- */

static void add_hold(struct bt_buffer *out, const struct bt_movement_answer *a,
                     size_t i, const struct bt_text_options *options)
{
    const struct bt_hold *hold = &a->fixing[i].hold;
    const struct bt_fixing *f = &a->job->fixing.fixing[i];

    bt_buffer_format(out, "  %zu", i + 1);
    bt_buffer_column(out, KIND);
    bt_buffer_format(out, "thread in %s ", bt_fixing_into_name(f->into));
    if (isinf(hold->thread))
        bt_buffer_text(out, "as the metal is");
    else
        bt_say_force(out, hold->thread, options->system);
    bt_buffer_column(out, NEEDS);
    bt_buffer_text(out, f->washer ? "with washer " : "head ");
    if (isinf(hold->head))
        bt_buffer_text(out, "on metal");
    else if (isnan(hold->head))
        bt_buffer_text(out, "not known (column through)");
    else
        bt_say_force(out, hold->head, options->system);
    if (!isnan(hold->share)) {
        bt_buffer_column(out, VERDICT);
        bt_text_paint(out, options, a->fixing[i].holds,
                      bt_verdict_text(a->fixing[i].holds));
    }
    bt_buffer_text(out, "\n");
}

static void add_holding(struct bt_buffer *out, const struct bt_movement_answer *a,
                        const struct bt_text_options *options)
{
    const double load = a->job->fixing.load;

    if (isnan(load) && !options->details)
        return;
    bt_buffer_text(out, "\nHolding force, for good\n");
    if (!isnan(load)) {
        bt_buffer_text(out, "  load ");
        bt_say_force(out, load, options->system);
        bt_buffer_text(out, ", shared out evenly: ");
        bt_say_force(out, load / (double)a->nfixing, options->system);
        bt_buffer_text(out, " on each; what hangs at one end loads that end more\n");
    }
    for (size_t i = 0; i < a->nfixing; i++)
        add_hold(out, a, i, options);
    bt_buffer_text(out, "  thread: FPL-GTR-190 (2010) ch. 8, pull-out over 5.5; head: "
                        "ANSI/AWC NDS-2018, 12.2.5 (both from memory);\n  the rail is "
                        "taken to be of the panel's wood. Pilot holes as for that "
                        "screw; the screw's and the code's own values go before "
                        "these.\n");
}

void bt_movement_fixings(struct bt_buffer *out, const struct bt_movement_answer *a,
                         const struct bt_text_options *options)
{
    if (a->nfixing == 0)
        return;
    add_head(out);
    for (size_t i = 0; i < a->nfixing; i++) {
        add_row(out, a, i, options);
        if (has_remark(a, i))
            add_remark(out, a, i, options->system);
    }
    if (a->pair.held) {
        bt_buffer_text(out, "  Held on both sides: ");
        bt_movement_name(out, a, a->pair.back);
        bt_buffer_text(out, " and ");
        bt_movement_name(out, a, a->pair.front);
        bt_buffer_text(out, ", ");
        say(out, a->pair.movement, a->pair.u, options->system);
        bt_buffer_text(out, " between them, they give ");
        say(out, a->pair.gives, 0, options->system);
        bt_buffer_format(out, ": strain %.2f %%\n", a->pair.strain * 100);
    }
    if (!a->anchored)
        bt_buffer_text(out,
                       "  Nothing holds the fixed line: put one tight screw on it, "
                       "or the panel wanders.\n");
    add_holding(out, a, options);
}

/* ---- form ---- */

static void add_ring(struct bt_buffer *out, const char *name,
                     const struct bt_ring_panel *dry, const struct bt_ring_panel *damp,
                     enum bt_system system)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, 30);
    bt_buffer_text(out, "driest ");
    bt_say_cup(out, dry->cup, fabs(dry->cup) / 4, system);
    bt_buffer_text(out, ", dampest ");
    bt_say_cup(out, damp->cup, fabs(damp->cup) / 4, system);
    bt_buffer_text(out, "; one board ");
    bt_say_length(out, fmax(dry->ripple, damp->ripple),
                  fmax(dry->ripple, damp->ripple) / 4, system);
    bt_buffer_text(out, "\n");
}

static void add_ring_boards(struct bt_buffer *out, const struct bt_movement_answer *a,
                            enum bt_system system)
{
    for (size_t i = 0; i < a->nboard; i++) {
        const struct bt_ring_form *r = &a->ring[i];

        if (!r->known)
            continue;
        bt_buffer_text(out, "  board ");
        bt_buffer_name(out, bt_movement_row(a, i)->name);
        bt_buffer_column(out, 30);
        bt_buffer_text(out, "driest ");
        bt_say_cup(out, r->dry, fabs(r->dry) / 4, system);
        bt_buffer_text(out, ", dampest ");
        bt_say_cup(out, r->damp, fabs(r->damp) / 4, system);
        bt_buffer_text(out, r->heart_taken ? ", heart taken\n" : "\n");
    }
}

static bool any_taken(const struct bt_movement_answer *a)
{
    for (size_t i = 0; i < a->nboard; i++)
        if (a->ring[i].known && a->ring[i].heart_taken)
            return true;
    return false;
}

static bool any_ring(const struct bt_movement_answer *a)
{
    for (size_t i = 0; i < a->nboard; i++)
        if (a->ring[i].known)
            return true;
    return false;
}

void bt_movement_form(struct bt_buffer *out, const struct bt_movement_answer *a,
                      const struct bt_text_options *options)
{
    const enum bt_system system = options->system;

    if (isnan(a->gradient_cup) && !any_ring(a))
        return;
    bt_buffer_text(out, "\nForm through the year, against today, if nothing held it\n");
    if (a->rings.known) {
        add_ring(out, "rings as the boards lie", &a->rings.laid_dry,
                 &a->rings.laid_damp, system);
        add_ring(out, "heart up and down in turn", &a->rings.turned_dry,
                 &a->rings.turned_damp, system);
        add_ring(out, "all as the first board", &a->rings.alike_dry,
                 &a->rings.alike_damp, system);
    }
    if (any_ring(a) && (options->details || !a->rings.known))
        add_ring_boards(out, a, system);
    if (any_taken(a)) {
        bt_buffer_text(out, "  the heart is taken ");
        say(out, BT_HEART_TAKEN, 0, system);
        bt_buffer_text(out, " from the middle of a board where boards.csv does not say "
                            "(column heart)\n");
    }
    if (!isnan(a->gradient_cup)) {
        bt_buffer_text(out, "  one face 1 % damper");
        bt_buffer_column(out, 30);
        bt_say_length(out, a->gradient_cup, a->gradient_cup / 4, system);
        bt_buffer_text(out, " crowned on that face: finish both faces alike\n");
    }
    if (!isnan(a->tau.middle))
        bt_buffer_format(out,
                         "  it follows the room in      %.0f to %.0f days (two thirds "
                         "of a change; bare wood, air at both faces)\n",
                         a->tau.least, a->tau.most);
}

/* ---- what is good to know ---- */

void bt_movement_advice(struct bt_buffer *out, const struct bt_movement_answer *a)
{
    (void)a;
    bt_buffer_text(
        out,
        "\nGood to know\n"
        "  End grain takes up and gives off moisture ten to fifteen times as fast as "
        "side grain: seal the ends as\n"
        "  well as the faces, cut-outs too (FPL-GTR-190 (2010), ch. 4 and 16; from "
        "memory).\n"
        "  No finish stops moisture, it slows it down; over a season the wood comes to "
        "what the room makes of it\n"
        "  (FPL-GTR-190 (2010), ch. 16, moisture-excluding effectiveness; from "
        "memory).\n"
        "  Screws in slots: driven home, then back a quarter turn, a washer under each "
        "head, no glue across the\n"
        "  grain (common practice, no source).\n");
}
