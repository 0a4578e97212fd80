/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/text.h"

#include <math.h>

#include "benchtrue/report/map.h"
#include "report/text_parts.h"
#include "report/words.h"

void bt_text_paint(struct bt_buffer *out, const struct bt_text_options *options,
                   enum bt_verdict verdict, const char *word)
{
    /* ECMA-48 SGR: bold, and red, yellow or green as many terminals show them. */
    static const char *const codes[] = {[BT_WITHIN] = "\x1b[1;32m",
                                        [BT_OVER] = "\x1b[1;31m",
                                        [BT_TOO_CLOSE] = "\x1b[1;33m",
                                        [BT_NOT_SEEN] = "\x1b[1;33m"};

    bt_buffer_text(out, options->colour ? codes[verdict] : "");
    bt_buffer_text(out, word);
    bt_buffer_text(out, options->colour ? "\x1b[0m" : "");
}

static void add_files(struct bt_buffer *out, const struct bt_set *set)
{
    for (size_t i = 0; i < set->nfile; i++) {
        bt_buffer_text(out, i ? ", " : "");
        bt_buffer_name(out, set->file[i]);
    }
}

static void add_head(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_text_options *options)
{
    const struct bt_set *set = r->set;
    const char *title = r->job->title;

    bt_buffer_text(out, "\n");
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    if (set->line) {
        bt_buffer_text(out, "Set:       ");
        bt_buffer_name(out, set->name);
        bt_buffer_format(out, ", %s", *set->date ? set->date : "undated");
        if (options->nset > 1 && !options->chosen)
            bt_buffer_format(out, ", the latest of %zu (--all shows every one)",
                             options->nset);
        bt_buffer_text(out, "\n");
    }
    bt_buffer_text(out, "File:      ");
    add_files(out, set);
    if (set->face == BT_FACE_BOTTOM)
        bt_buffer_text(out, "\nFace:      bottom, seen as it was read, with the panel "
                            "turned over about its length");
    bt_buffer_text(out, "\n");
}

static void add_agreement(struct bt_buffer *out, const struct bt_flatness *flatness)
{
    const double p = flatness->agreement;
    char text[BT_PRINT_ROOM];

    switch (bt_flatness_agreement(flatness)) {
    case BT_AGREE_UNKNOWN:
        bt_buffer_text(
            out, "not known: no reading checks another, so a slip would not show");
        return;
    case BT_AGREE_TOO_BAD:
        bt_buffer_format(out,
                         "the readings differ from each other more than their "
                         "uncertainty says (by luck in %s of sets); look for a slip, a "
                         "bent edge, or a panel that moved meanwhile",
                         bt_print_share(text, p));
        return;
    case BT_AGREE_TOO_GOOD:
        bt_buffer_format(out,
                         "the readings agree better than their uncertainty says (by "
                         "luck in %s of sets); it may be stated too large",
                         bt_print_share(text, 1 - p));
        return;
    case BT_AGREE:
        bt_buffer_text(out, "the readings agree as well as their uncertainty says");
    }
}

static void add_read(struct bt_buffer *out, const struct bt_set_result *r,
                     enum bt_system system)
{
    const struct bt_network *net = r->flatness.net;

    bt_buffer_text(out, "Read:      ");
    bt_text_readings(out, r->set);
    bt_buffer_text(out, "\nTheir u:   ");
    bt_text_origins(out, r->set);
    bt_buffer_text(out, "\nAgreement: ");
    add_agreement(out, &r->flatness);
    /* Under a tenth: most readings stand alone, and slips in them are invisible. */
    if (net->dof > 0 && net->dof * 10 < net->nobs)
        bt_buffer_text(out, ", but few of them check each other");
    bt_buffer_text(out, "\n");
    bt_text_too_long(out, r->set);
    bt_text_far_off(out, r);
    bt_text_taken_off(out, r, system);
}

static void add_value(struct bt_buffer *out, const char *shape,
                      const struct bt_measured *m, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_column(out, BT_COLUMN_VALUE);
    if (!m->seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_buffer_text(
        out, bt_print_length(text, fabs(m->value), m->u, system, BT_LENGTH_FEELER));
    bt_buffer_format(out, "%s%s", *shape ? " " : "", shape);
    bt_buffer_column(out, BT_COLUMN_U);
    bt_buffer_text(out, bt_print_u_bare(text, m->u, system));
}

void bt_text_judged(struct bt_buffer *out, const struct bt_set_result *r,
                    enum bt_figure figure, const struct bt_text_options *options)
{
    const struct bt_judgement *j = bt_set_judgement(r, figure);
    char text[BT_PRINT_ROOM];

    if (!j)
        return;
    bt_buffer_column(out, BT_COLUMN_LIMIT);
    bt_buffer_text(
        out, bt_print_length(text, j->limit, 0, options->system, BT_LENGTH_FEELER));
    bt_buffer_column(out, BT_COLUMN_VERDICT);
    bt_text_paint(out, options, j->verdict, bt_verdict_text(j->verdict));
    if (options->details && !isnan(j->p_within))
        bt_buffer_format(out, " (%s within)", bt_print_share(text, j->p_within));
}

void bt_text_sure(struct bt_buffer *out, const struct bt_sure *sure,
                  enum bt_system system)
{
    char text[BT_PRINT_ROOM];
    double u;

    if (!sure || isnan(sure->asked.hi))
        return;
    u = (sure->asked.hi - sure->asked.lo) / 4; /* for the digits */
    bt_buffer_column(out, BT_COLUMN_VALUE);
    bt_buffer_text(
        out, bt_print_length_bare(text, sure->asked.lo, u, system, BT_LENGTH_FEELER));
    bt_buffer_format(
        out, " to %s\n",
        bt_print_length(text, sure->asked.hi, u, system, BT_LENGTH_FEELER));
}

static void add_figure_row(struct bt_buffer *out, const struct bt_set_result *r,
                           enum bt_figure figure, const struct bt_text_options *options)
{
    const struct bt_measured *m = bt_set_figure(r, figure);
    const struct bt_sure *sure = bt_set_sure(r, figure);

    bt_buffer_format(out, "  %s", bt_figure_name(figure));
    add_value(out,
              figure == BT_FIGURE_ZONE ? "between planes"
                                       : bt_words_shape(figure, m->value),
              m, options->system);
    bt_text_judged(out, r, figure, options);
    bt_buffer_text(out, "\n");
    if (sure)
        bt_text_sure(out, sure, options->system);
}

static void add_largest(struct bt_buffer *out,
                        const struct bt_residual_figures *residual,
                        enum bt_system system)
{
    bt_buffer_text(out, "  peak");
    add_value(out, "over mean plane", &residual->peak, system);
    bt_buffer_text(out, "\n  valley");
    add_value(out, "under mean plane", &residual->valley, system);
    bt_buffer_text(out, "\n  rms");
    add_value(out, "", &residual->rms, system);
    bt_buffer_text(out, "\n");
}

/* What the figures say that noise pushes up. */
static void add_noise_alone(struct bt_buffer *out, const struct bt_set_result *r,
                            enum bt_system system)
{
    static const enum bt_figure largest[] = {BT_FIGURE_RANGE, BT_FIGURE_ZONE,
                                             BT_FIGURE_LOCAL};
    const char *between = "";
    char text[BT_PRINT_ROOM];

    for (size_t k = 0; k < sizeof largest / sizeof *largest; k++) {
        const struct bt_sure *sure = bt_set_sure(r, largest[k]);

        if (isnan(sure->alone) || (largest[k] == BT_FIGURE_LOCAL && !r->span_asked))
            continue;
        if (!*between)
            bt_buffer_text(out,
                           "  noise adds to these: a panel without any fault, read "
                           "like this, would show\n     ");
        bt_buffer_format(out, "%s%s ", between, bt_figure_name(largest[k]));
        bt_buffer_text(out, bt_print_length(text, sure->alone, sure->alone / 10, system,
                                            BT_LENGTH_FEELER));
        between = ", ";
    }
    bt_buffer_text(out, *between ? "\n" : "");
}

/* The number of draws that the command line takes at most bounds what can be asked. */
static void add_more_draws(struct bt_buffer *out, const struct bt_set_result *r)
{
    const size_t enough = bt_draws_enough(r->job->limits.confidence);
    const size_t drawn = r->extremes.range_sure.draws ? r->extremes.range_sure.draws
                                                      : r->extremes.any[0].draws;

    if (!drawn || drawn >= enough)
        return;
    bt_buffer_format(out, "  %zu draws of the noise are few for ", drawn);
    bt_words_confidence(out, r->job->limits.confidence);
    if (enough <= BT_DRAWS_MOST)
        bt_buffer_format(out, ": take --draws %zu\n", enough);
    else
        bt_buffer_text(out, ", but no more are drawn: the two values are not steady\n");
}

/* How often the two values below a largest figure hold it. */
static void add_confidence(struct bt_buffer *out, const struct bt_set_result *r)
{
    if (fabs(r->job->limits.confidence - 0.95) <= 1e-9) {
        bt_buffer_text(out, "at least as often\n");
    } else {
        bt_buffer_text(out, "in at least ");
        bt_words_confidence(out, r->job->limits.confidence);
        bt_buffer_text(out, " of\n     all cases, the confidence asked for\n");
    }
    add_more_draws(out, r);
}

static void add_figures(struct bt_buffer *out, const struct bt_set_result *r,
                        const struct bt_text_options *options)
{
    const struct bt_residual_figures *residual = &r->flatness.residual;

    bt_buffer_text(out, "\n  figure");
    bt_buffer_column(out, BT_COLUMN_VALUE);
    bt_buffer_text(out, "value");
    bt_buffer_column(out, BT_COLUMN_U);
    bt_buffer_format(out, "u, %s",
                     bt_length_unit_name(options->system, BT_LENGTH_FEELER));
    if (r->njudgement) {
        bt_buffer_column(out, BT_COLUMN_LIMIT);
        bt_buffer_text(out, "limit");
        bt_buffer_column(out, BT_COLUMN_VERDICT);
        bt_buffer_text(out, "verdict");
    }
    bt_buffer_text(out, "\n");
    for (int i = 0; i < BT_FIGURE_LOCAL; i++)
        add_figure_row(out, r, (enum bt_figure)i, options);
    bt_text_edges(out, r, options);
    if (options->details)
        add_largest(out, residual, options->system);
    bt_buffer_text(
        out, "  u: standard uncertainty; the truth lies within 2 u about 95 times "
             "in 100,\n     and between two values below a figure ");
    add_confidence(out, r);
    add_noise_alone(out, r, options->system);
    bt_text_doubts(out, r, options);
    bt_text_joints(out, r, options);
}

static void add_line(struct bt_buffer *out, const char *name, const char *value)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, 32);
    bt_buffer_format(out, "%s\n", value);
}

static void add_number(struct bt_buffer *out, const char *name, double value)
{
    char text[BT_PRINT_ROOM];

    /* A plain number to two decimals: the printer's "exact" millimetres, bare. */
    if (isnan(value))
        add_line(out, name, "none");
    else
        add_line(out, name,
                 bt_print_length_bare(text, value, 0, BT_SYSTEM_MM, BT_LENGTH_FEELER));
}

static void add_details(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_system system)
{
    const struct bt_network *net = r->flatness.net;
    char text[BT_PRINT_ROOM];
    size_t unchecked = 0;

    for (size_t i = 0; i < net->nobs; i++)
        unchecked += !net->score || isnan(net->score[i]);
    bt_buffer_text(out, "\nAdjustment\n");
    add_number(out, "places", (double)net->npoint);
    add_number(out, "readings", (double)net->nobs);
    add_number(out, "unknowns", (double)net->unknowns);
    add_number(out, "rank", (double)net->rank);
    add_number(out, "degrees of freedom", (double)net->dof);
    add_number(out, "sigma0", net->sigma0);
    add_line(out, "chance of a worse agreement",
             isnan(r->flatness.agreement)
                 ? "none"
                 : bt_print_share(text, r->flatness.agreement));
    add_number(out, "readings that nothing checks", (double)unchecked);
    add_line(out, "form",
             r->flatness.form.twist_from_readings
                 ? "fitted to the heights; twist to the winding sticks"
                 : "fitted to the heights");
    bt_text_contacts(out, r, system);
}

/* Whether as many heights are seen as are not. */
static bool map_shows(const struct bt_set_result *r)
{
    const size_t n = r->flatness.net->npoint;
    size_t seen = 0;

    for (size_t p = 0; p < n; p++)
        seen += isnan(r->flatness.z[p]) ? 0 : 1;
    return 2 * seen >= n;
}

/* Whether a line or set-up goes along the edge at y; 2 mm off is on it. */
static bool read_along(const struct bt_readings *used, double y)
{
    for (size_t i = 1; i < used->nobs; i++) {
        const struct bt_obs *a = &used->obs[i - 1], *b = &used->obs[i];

        if (a->group == b->group && a->point[0] != b->point[0] &&
            fabs(used->point[a->point[0]].y - y) <= 2 &&
            fabs(used->point[b->point[0]].y - y) <= 2)
            return true;
    }
    return false;
}

static bool read_on_edges(const struct bt_set_result *r)
{
    const struct bt_rectangle *box = &r->flatness.form.rectangle;

    return read_along(r->flatness.used, box->y0) &&
           read_along(r->flatness.used, box->y1);
}

static void add_map(struct bt_buffer *out, const struct bt_set_result *r,
                    enum bt_system system)
{
    if (!map_shows(r)) {
        bt_buffer_text(out,
                       read_on_edges(r)
                           ? "\nNo map yet: few heights are seen, see below\n"
                           : "\nNo map yet: read the back and the front edge too\n");
        return;
    }
    bt_buffer_text(out, "\nHeights over the mean plane\n");
    bt_map_draw(out, r->flatness.net->npoint, r->flatness.used->point, r->flatness.z,
                &r->flatness.form.rectangle, r->flatness.residual.range.u, system);
}

enum bt_status bt_text_flatness(const struct bt_set_result *result,
                                const struct bt_text_options *options,
                                struct bt_buffer *out)
{
    bt_text_verdict(out, result, options);
    add_head(out, result, options);
    add_read(out, result, options->system);
    add_figures(out, result, options);
    if (options->details)
        add_details(out, result, options->system);
    add_map(out, result, options->system);
    bt_text_advice(out, result, options);
    return bt_buffer_status(out);
}
