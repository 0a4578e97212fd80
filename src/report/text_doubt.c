/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/text_parts.h"
#include "report/words.h"

/* A correction that moves a figure by less than this part of its u is not told. */
static const double worth_telling = 0.1;

/* `own hollow of long edge`; name: NULL for the own weight. */
static void add_name(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_correction *c)
{
    bt_buffer_text(out, bt_correction_name(c->kind));
    if (c->instrument >= 0 && (size_t)c->instrument < r->job->ninstrument) {
        bt_buffer_text(out, " of ");
        bt_buffer_name(out, r->job->instrument[c->instrument].name);
    }
}

static void add_change(struct bt_buffer *out, const struct bt_set_result *r,
                       const struct bt_correction *c, enum bt_system system)
{
    const char *between = "";
    char text[BT_PRINT_ROOM];

    for (int k = 0; k < BT_DOUBT_RANGE; k++) {
        const struct bt_measured *m = bt_set_figure(r, (enum bt_figure)k);

        if (!m->seen || !(fabs(c->change[k]) >= worth_telling * m->u))
            continue;
        bt_buffer_format(
            out, "%s%s taken off %s", between,
            bt_print_length(text, fabs(c->change[k]), m->u, system, BT_LENGTH_FEELER),
            bt_figure_name((enum bt_figure)k));
        between = ", ";
    }
    if (!*between)
        bt_buffer_text(out, "too little to show in cup, bow or twist");
}

static bool weight_matters(const struct bt_set_result *r)
{
    return r->weight.matters && r->set->line;
}

/* Whether what it would sag at most could turn a verdict; where that is not known,
 * nobody can say so. */
static bool could_turn(const struct bt_set_result *r)
{
    const double most = r->weight.most;

    for (size_t i = 0; i < r->njudgement; i++) {
        const struct bt_judgement *j = &r->judgement[i];
        const double left = fabs(j->limit - fabs(j->value));

        if (j->figure == BT_FIGURE_CUP || j->figure == BT_FIGURE_TWIST ||
            j->verdict == BT_NOT_SEEN)
            continue;
        if (most >= left || (most > 0 && j->verdict == BT_TOO_CLOSE))
            return true;
    }
    return false;
}

/* How far it would sag, and what to do. */
static void add_sag(struct bt_buffer *out, const struct bt_own_weight *w,
                    enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (isnan(w->most))
        bt_buffer_text(out, ", and how far it would sag by its own weight is not "
                            "known: write supports, and species and thickness of the "
                            "panel");
    else
        bt_buffer_format(
            out,
            ": on its ends alone it would sag %s by its own weight: write supports",
            bt_print_length(text, w->most, w->most / 20, system, BT_LENGTH_FEELER));
}

void bt_text_taken_off(struct bt_buffer *out, const struct bt_set_result *r,
                       enum bt_system system)
{
    for (size_t i = 0; i < r->flatness.ncorrection; i++) {
        const struct bt_correction *c = &r->flatness.correction[i];

        if (c->kind == BT_CORRECTION_STRAIGHTNESS)
            continue;
        bt_buffer_text(out, "Corrected: ");
        add_name(out, r, c);
        bt_buffer_text(out, ": ");
        if (c->seen)
            add_change(out, r, c, system);
        else
            bt_buffer_text(out, "not seen at the places read, read more of them on the "
                                "line that was turned");
        bt_buffer_text(out, "\n");
    }
    if (r->weight.state == BT_WEIGHT_MISSING)
        bt_buffer_format(out, "Corrected: own weight: not known, write %s\n",
                         r->weight.missing);
    if (weight_matters(r) && r->weight.state != BT_WEIGHT_MISSING && !could_turn(r)) {
        bt_buffer_text(out, "Weight:    how it lay is not stated");
        add_sag(out, &r->weight, system);
        bt_buffer_text(out, "\n");
    }
}

void bt_text_own_weight(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_system system)
{
    const struct bt_own_weight *w = &r->weight;

    if (!weight_matters(r) || !could_turn(r))
        return;
    if (w->state == BT_WEIGHT_MISSING) {
        bt_buffer_format(out, ". Its own weight is not taken off: write %s",
                         w->missing);
        return;
    }
    bt_buffer_text(out, ". How it lay is not stated");
    add_sag(out, w, system);
}

/* ---- where the doubt comes from ---- */

/* The part of u^2 that one source has. */
struct source {
    double part;
    const struct bt_correction *correction; /* NULL: readings of `kind` */
    int kind;
};

/* u that readings of a kind have by themselves. */
static double typical_u(const struct bt_readings *readings, int kind)
{
    double square = 0, n = 0;

    for (size_t i = 0; i < readings->nobs; i++)
        if ((int)readings->obs[i].kind == kind) {
            square += readings->obs[i].u * readings->obs[i].u;
            n++;
        }
    return n > 0 ? sqrt(square / n) : NAN;
}

static const char *kind_words(int kind)
{
    switch (kind) {
    case BT_READ_GAP:
        return "feelers";
    case BT_READ_HEIGHT:
        return "dial";
    case BT_READ_BAR:
        return "bar";
    case BT_READ_SLOPE:
        return "level";
    case BT_READ_WIND:
        return "winding sticks";
    default:
        return "scan";
    }
}

static const char *more_lines(enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        return "four times as many lines across would halve it";
    case BT_FIGURE_BOW:
        return "four times as many lines along would halve it";
    case BT_FIGURE_TWIST:
        return "both diagonals, each read four times, would halve it";
    default:
        return "each line read four times would halve it";
    }
}

static void add_remedy(struct bt_buffer *out, const struct bt_set_result *r,
                       enum bt_figure figure, const struct source *s,
                       enum bt_system system)
{
    const struct bt_own_weight *w = &r->weight;

    if (!s->correction) {
        const double own = r->flatness.readings_u[figure][s->kind];
        /* where a figure is less sure than one reading, there are too few of them */
        const bool few = own > typical_u(r->flatness.used, s->kind);
        bt_buffer_text(out, few ? " (too few lines); " : "; ");
        bt_buffer_text(out, few                      ? more_lines(figure)
                            : s->kind == BT_READ_GAP ? "leaves of half the step would "
                                                       "halve it"
                                                     : "each place read four times "
                                                       "would halve it");
        return;
    }
    switch (s->correction->kind) {
    case BT_CORRECTION_STRAIGHTNESS:
        bt_buffer_text(out, "; a strike-turn-strike line test of the edge (own_hollow) "
                            "would more than halve it");
        return;
    case BT_CORRECTION_OWN_HOLLOW:
        bt_buffer_text(out, "; a line test twice as fine would halve it");
        return;
    case BT_CORRECTION_ODD:
        bt_buffer_text(out,
                       "; four lines read both ways round for each one would halve "
                       "it");
        return;
    case BT_CORRECTION_WEIGHT:
        bt_buffer_text(out, "; a flat bench would take it away");
        if (!isnan(w->best[0])) {
            bt_buffer_text(out, ", battens at x ");
            bt_words_rule(out, w->best[0], system);
            bt_buffer_text(out, " and ");
            bt_words_rule(out, w->best[1], system);
            bt_buffer_text(out, " most of it");
        }
        return;
    }
}

static void add_source(struct bt_buffer *out, const struct bt_set_result *r,
                       const struct source *s)
{
    if (s->correction)
        add_name(out, r, s->correction);
    else
        bt_buffer_text(out, kind_words(s->kind));
}

/* The two sources that weigh most. */
static void find_sources(const struct bt_flatness *f, enum bt_figure figure,
                         struct source top[2], double *whole)
{
    for (size_t i = 0; i < BT_READ_KINDS + f->ncorrection; i++) {
        const bool reading = i < BT_READ_KINDS;
        const struct bt_correction *c =
            reading ? NULL : &f->correction[i - BT_READ_KINDS];
        const double u = reading ? f->readings_u[figure][i] : c->share[figure];
        const struct source s = {u * u, c, reading ? (int)i : -1};

        *whole += s.part;
        if (s.part > top[0].part) {
            top[1] = top[0];
            top[0] = s;
        } else if (s.part > top[1].part) {
            top[1] = s;
        }
    }
}

static void add_doubt(struct bt_buffer *out, const struct bt_set_result *r,
                      enum bt_figure figure, enum bt_system system)
{
    struct source top[2] = {{0, NULL, -1}, {0, NULL, -1}};
    double whole = 0;
    char text[BT_PRINT_ROOM];

    find_sources(&r->flatness, figure, top, &whole);
    if (!(whole > 0))
        return;
    bt_buffer_format(out, "Doubt:     in %s from ", bt_figure_name(figure));
    add_source(out, r, &top[0]);
    if (top[1].part >= whole / 10) {
        bt_buffer_format(out, " (%s), ", bt_print_share(text, top[0].part / whole));
        add_source(out, r, &top[1]);
        bt_buffer_format(out, " (%s)", bt_print_share(text, top[1].part / whole));
    }
    add_remedy(out, r, figure, &top[0], system);
    bt_buffer_text(out, "\n");
}

void bt_text_doubts(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options)
{
    for (size_t i = 0; i < r->njudgement; i++)
        if (r->judgement[i].verdict == BT_TOO_CLOSE ||
            (options->details && r->judgement[i].verdict != BT_NOT_SEEN))
            add_doubt(out, r, r->judgement[i].figure, options->system);
}

/* ---- without the suspects ---- */

void bt_text_without(struct bt_buffer *out, const struct bt_set_result *r,
                     enum bt_system system)
{
    const struct bt_form_without *without = &r->flatness.without;
    const struct bt_measured *const figure[] = {[BT_FIGURE_CUP] = &without->cup,
                                                [BT_FIGURE_BOW] = &without->bow,
                                                [BT_FIGURE_TWIST] = &without->twist};
    char text[BT_PRINT_ROOM];

    if (!without->known)
        return;
    bt_buffer_format(
        out, "  - Without %s: ", r->flatness.nsuspect > 1 ? "all suspects" : "it");
    for (int k = 0; k <= BT_FIGURE_TWIST; k++) {
        const struct bt_measured *m = figure[k];

        bt_buffer_format(out, "%s%s ", k ? ", " : "",
                         bt_figure_name((enum bt_figure)k));
        if (m->seen)
            bt_buffer_format(
                out, "%s %s",
                bt_print_length(text, fabs(m->value), m->u, system, BT_LENGTH_FEELER),
                bt_words_shape((enum bt_figure)k, m->value));
        else
            bt_buffer_text(out, "not seen");
    }
    bt_buffer_text(out, ".\n");
}
