/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/trend_text.h"

#include <math.h>
#include <string.h>

#include "report/joint_words.h"
#include "report/text_parts.h"
#include "report/words.h"

/* Columns of the tables. */
enum {
    CUP = 14,
    BOW = 32,
    TWIST = 50,
    SET = 72,
    CHANGE = 10,
    U = 42,
    LIMIT = 52,
    MATTERS = 62,
    VERDICT = 72,
    END = 42,
    END_U = 66,
    AT_REST = 75
};

static const struct bt_trend_set *latest_of(const struct bt_trend_answer *a)
{
    return &a->set[a->latest];
}

static const struct bt_trend_set *before_of(const struct bt_trend_answer *a)
{
    return &a->set[a->before];
}

static void say_days(struct bt_buffer *out, long days)
{
    bt_words_count(out, (size_t)days, "day", "days");
}

/* To a whole day, one at least. */
static long whole_days(double days)
{
    return (long)fmax(1, floor(days + 0.5));
}

static void say_date(struct bt_buffer *out, long day)
{
    char date[BT_DATE_ROOM];

    bt_buffer_text(out, bt_date_of_day(date, day));
}

/* `0.31 mm towards hollow`, `none`. */
static void say_change(struct bt_buffer *out, enum bt_figure figure,
                       const struct bt_measured *change, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (!change->seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_print_length_bare(text, fabs(change->value), change->u, system,
                         BT_LENGTH_FEELER);
    bt_say_length(out, fabs(change->value), change->u, system);
    /* what is printed as 0 goes nowhere */
    if (strpbrk(text, "123456789"))
        bt_buffer_format(out, " towards %s", bt_words_shape(figure, change->value));
}

/* ---- the first line ---- */

static enum bt_verdict colour_of(enum bt_trend_verdict verdict)
{
    return verdict == BT_TREND_SETTLED ? BT_WITHIN
           : verdict == BT_TREND_MOVED ? BT_OVER
                                       : BT_TOO_CLOSE;
}

static void say_apart(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    bt_buffer_text(out, " in the ");
    say_days(out, latest_of(a)->day - before_of(a)->day);
    bt_buffer_format(out, " to %s", latest_of(a)->set->date);
}

static bool too_little(const struct bt_trend_line *line)
{
    return line->verdict == BT_TREND_MOVED &&
           fabs(line->change.value) + 2 * line->change.u < line->matters;
}

static void say_moved(struct bt_buffer *out, const struct bt_trend_answer *a,
                      enum bt_system system)
{
    const char *between = "";
    bool little = true;

    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &a->line[i];

        if (line->verdict != BT_TREND_MOVED)
            continue;
        little = little && too_little(line);
        bt_buffer_format(out, "%s%s ", between, bt_figure_name(line->figure));
        say_change(out, line->figure, &line->change, system);
        between = ", ";
    }
    say_apart(out, a);
    if (little)
        bt_buffer_text(out, ", too little to matter so far");
}

static bool has_limit(const struct bt_trend_answer *a)
{
    for (int i = 0; i < BT_TREND_FIGURES; i++)
        if (!isnan(a->line[i].limit))
            return true;
    return false;
}

/* Why a figure with a limit is open. */
static void say_open_line(struct bt_buffer *out, const struct bt_trend_line *line,
                          enum bt_system system)
{
    bt_buffer_format(out, "%s ", bt_figure_name(line->figure));
    if (line->verdict == BT_TREND_NOT_SEEN) {
        bt_buffer_text(out, "was not seen each time");
        return;
    }
    bt_buffer_text(out, "may have changed by up to ");
    bt_say_length(out, fabs(line->change.value) + 2 * line->change.u, line->change.u,
                  system);
    bt_buffer_text(out, ", ");
    bt_say_length(out, line->matters, 0, system);
    bt_buffer_text(out, " matters");
}

static void say_open(struct bt_buffer *out, const struct bt_trend_answer *a,
                     enum bt_system system)
{
    const char *between = "";

    if (!has_limit(a)) {
        bt_buffer_text(out, "no movement is seen");
        say_apart(out, a);
        bt_buffer_text(out, ", but the job limits neither cup, bow nor twist, so that "
                            "nothing says what matters");
        return;
    }
    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &a->line[i];

        if (isnan(line->limit) || line->verdict == BT_TREND_SETTLED)
            continue;
        bt_buffer_text(out, between);
        say_open_line(out, line, system);
        between = "; ";
    }
}

static void say_settled(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    const char *between = "";

    for (int i = 0; i < BT_TREND_FIGURES; i++)
        if (!isnan(a->line[i].limit)) {
            bt_buffer_format(out, "%s%s", between, bt_figure_name(a->line[i].figure));
            between = ", ";
        }
    bt_buffer_text(out, " changed by less than matters");
    say_apart(out, a);
}

static bool open_unseen(const struct bt_trend_answer *a)
{
    for (int i = 0; i < BT_TREND_FIGURES; i++)
        if (!isnan(a->line[i].limit) && a->line[i].verdict == BT_TREND_NOT_SEEN)
            return true;
    return false;
}

static void say_what_to_do(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    switch (a->verdict) {
    case BT_TREND_SETTLED:
        bt_buffer_text(out, a->next == BT_TREND_NEXT_NONE
                                ? "go on with the work, in the air that it lies in now"
                                : "leave it as it is");
        break;
    case BT_TREND_MOVED:
        bt_buffer_text(out, "leave it as it is, neither plane nor fit it");
        break;
    case BT_TREND_CANNOT_TELL:
    case BT_TREND_NOT_SEEN:
        if (!has_limit(a))
            bt_buffer_text(out, "state limits in job.ini");
        else if (open_unseen(a))
            bt_buffer_text(out, "read what shows it each time (benchtrue flatness says "
                                "what)");
        else if (a->next == BT_TREND_NEXT_FINER)
            bt_buffer_text(out, "read it at more places, at the same ones each time, "
                                "or with a finer instrument");
        else
            bt_buffer_text(out, "leave it as it is");
        break;
    }
}

static void say_when(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    if (a->next == BT_TREND_NEXT_NONE || a->next == BT_TREND_NEXT_FINER)
        return;
    bt_buffer_text(out, ", and read it again on ");
    say_date(out, a->next_day);
    if (a->next == BT_TREND_NEXT_CONSTANT) {
        bt_buffer_text(out, ", after the ");
        say_days(out, a->next_day - latest_of(a)->day);
        bt_buffer_text(out, " in which it comes most of its way");
    } else if (a->next == BT_TREND_NEXT_REST) {
        bt_buffer_text(out, ", when what is still to come is less than is seen");
    }
}

static void say_verdict(struct bt_buffer *out, const struct bt_trend_answer *a,
                        const struct bt_text_options *options)
{
    static const char *const word[] = {[BT_TREND_SETTLED] = "Settled",
                                       [BT_TREND_MOVED] = "Moved",
                                       [BT_TREND_CANNOT_TELL] = "Cannot tell",
                                       [BT_TREND_NOT_SEEN] = "Cannot tell"};

    bt_text_paint(out, options, colour_of(a->verdict), word[a->verdict]);
    bt_buffer_text(out, ": ");
    if (a->verdict == BT_TREND_MOVED)
        say_moved(out, a, options->system);
    else if (a->verdict == BT_TREND_SETTLED)
        say_settled(out, a);
    else
        say_open(out, a, options->system);
    bt_buffer_text(out, ". Next: ");
    say_what_to_do(out, a);
    say_when(out, a);
    bt_buffer_text(out, ".\n");
}

/* ---- each figure on each day ---- */

static void add_value(struct bt_buffer *out, size_t column,
                      const struct bt_trend_set *set, enum bt_figure figure,
                      const struct bt_text_options *options)
{
    const struct bt_measured *m = bt_trend_figure(set, figure);
    char text[BT_PRINT_ROOM];

    bt_buffer_column(out, column);
    if (!m->seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_buffer_text(out, bt_print_length_bare(text, fabs(m->value), m->u,
                                             options->system, BT_LENGTH_FEELER));
    if (options->details)
        bt_buffer_format(out, " u %s", bt_print_u_bare(text, m->u, options->system));
    bt_buffer_format(out, " %s", bt_words_shape(figure, m->value));
}

static void add_heading(struct bt_buffer *out, size_t column, const char *name,
                        enum bt_system system)
{
    bt_buffer_column(out, column);
    bt_buffer_format(out, "%s, %s", name,
                     bt_length_unit_name(system, BT_LENGTH_FEELER));
}

static void add_days(struct bt_buffer *out, const struct bt_trend_answer *a,
                     const struct bt_text_options *options)
{
    const char *title = a->job->title;
    const size_t wider = options->details ? 8 : 0;

    bt_buffer_text(out, "\n");
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    if (latest_of(a)->set->face == BT_FACE_BOTTOM)
        bt_buffer_text(out, "Bottom face, seen as it was read, with the panel turned "
                            "over about its length\n");
    bt_buffer_text(out, "\n  date");
    add_heading(out, CUP, "cup", options->system);
    add_heading(out, BOW + wider, "bow", options->system);
    add_heading(out, TWIST + 2 * wider, "twist", options->system);
    bt_buffer_column(out, SET + 3 * wider);
    bt_buffer_text(out, "set\n");
    for (size_t i = 0; i < a->nused; i++) {
        const struct bt_trend_set *set = &a->set[a->used[i]];

        bt_buffer_format(out, "  %s", set->set->date);
        add_value(out, CUP, set, BT_FIGURE_CUP, options);
        add_value(out, BOW + wider, set, BT_FIGURE_BOW, options);
        add_value(out, TWIST + 2 * wider, set, BT_FIGURE_TWIST, options);
        bt_buffer_column(out, SET + 3 * wider);
        bt_buffer_name(out, set->set->name);
        bt_buffer_text(out, "\n");
    }
}

/* ---- the change ---- */

static void add_change(struct bt_buffer *out, const struct bt_trend_line *line,
                       const struct bt_text_options *options)
{
    const enum bt_system system = options->system;
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "  %s", bt_figure_name(line->figure));
    bt_buffer_column(out, CHANGE);
    say_change(out, line->figure, &line->change, system);
    if (line->change.seen) {
        bt_buffer_column(out, U);
        bt_buffer_text(out, bt_print_u_bare(text, line->change.u, system));
    }
    if (!isnan(line->limit)) {
        bt_buffer_column(out, LIMIT);
        bt_say_length(out, line->limit, 0, system);
        bt_buffer_column(out, MATTERS);
        bt_say_length(out, line->matters, 0, system);
    }
    bt_buffer_column(out, VERDICT);
    bt_text_paint(out, options, colour_of(line->verdict),
                  bt_trend_verdict_text(line->verdict));
    if (too_little(line))
        bt_buffer_text(out, ", too little to matter");
    bt_buffer_text(out, "\n");
}

static void add_changes(struct bt_buffer *out, const struct bt_trend_answer *a,
                        const struct bt_text_options *options)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "\nFrom %s to %s, ", before_of(a)->set->date,
                     latest_of(a)->set->date);
    say_days(out, latest_of(a)->day - before_of(a)->day);
    bt_buffer_text(out, "\n\n  figure");
    bt_buffer_column(out, CHANGE);
    bt_buffer_text(out, "change");
    add_heading(out, U, "u", options->system);
    bt_buffer_column(out, LIMIT);
    bt_buffer_text(out, "limit");
    bt_buffer_column(out, MATTERS);
    bt_buffer_text(out, "matters");
    bt_buffer_column(out, VERDICT);
    bt_buffer_text(out, "verdict\n");
    for (int i = 0; i < BT_TREND_FIGURES; i++)
        add_change(out, &a->line[i], options);
    bt_buffer_format(out,
                     "  moved: by more than 2 u; settled: change and 2 u together "
                     "under what matters, %s of the limit\n",
                     bt_print_share(text, a->share));
}

/* ---- where it comes to rest ---- */

static void say_form(struct bt_buffer *out, enum bt_figure figure,
                     const struct bt_measured *m, enum bt_system system)
{
    bt_say_length(out, fabs(m->value), m->u, system);
    bt_buffer_format(out, " %s", bt_words_shape(figure, m->value));
}

static void add_rest(struct bt_buffer *out, const struct bt_trend_line *line,
                     const struct bt_text_options *options)
{
    const struct bt_measured left = bt_trend_left(&line->rest, line->rest.last);
    const struct bt_measured end = bt_trend_end(&line->rest);
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "  %s", bt_figure_name(line->figure));
    bt_buffer_column(out, CHANGE);
    if (!line->follows) {
        bt_buffer_text(out, "its readings do not follow an approach to rest\n");
        return;
    }
    say_change(out, line->figure, &left, options->system);
    bt_buffer_column(out, END);
    say_form(out, line->figure, &end, options->system);
    bt_buffer_column(out, END_U);
    bt_buffer_text(out, bt_print_u_bare(text, end.u, options->system));
    bt_buffer_column(out, AT_REST);
    if (line->at_rest != BT_NOT_SEEN)
        bt_text_paint(out, options, line->at_rest, bt_verdict_text(line->at_rest));
    bt_buffer_text(out, "\n");
}

static bool any_fitted(const struct bt_trend_answer *a)
{
    for (int i = 0; i < BT_TREND_FIGURES; i++)
        if (a->line[i].fitted)
            return true;
    return false;
}

static void add_rests(struct bt_buffer *out, const struct bt_trend_answer *a,
                      const struct bt_text_options *options)
{
    if (!any_fitted(a))
        return;
    bt_buffer_text(out, "\nWhere it comes to rest if nothing changes\n\n  figure");
    bt_buffer_column(out, CHANGE);
    bt_buffer_text(out, "still to come");
    bt_buffer_column(out, END);
    bt_buffer_text(out, "ends at");
    add_heading(out, END_U, "u", options->system);
    bt_buffer_column(out, AT_REST);
    bt_buffer_text(out, "limit\n");
    for (int i = 0; i < BT_TREND_FIGURES; i++)
        if (a->line[i].fitted)
            add_rest(out, &a->line[i], options);
}

/* The constants that the readings came to, chi-square. */
static void add_details(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    char text[BT_PRINT_ROOM];

    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_rest *rest = &a->line[i].rest;

        if (!a->line[i].fitted)
            continue;
        bt_buffer_format(out, "  %s", bt_figure_name(a->line[i].figure));
        bt_buffer_column(out, CHANGE);
        bt_buffer_text(out, "time constant ");
        bt_buffer_text(out,
                       bt_print_length_bare(text, rest->tau,
                                            rest->tau * sqrt(rest->covariance[2][2]),
                                            BT_SYSTEM_MM, BT_LENGTH_FEELER));
        bt_buffer_text(out, " days, u ");
        bt_buffer_text(out,
                       bt_print_u_bare(text, rest->tau * sqrt(rest->covariance[2][2]),
                                       BT_SYSTEM_MM));
        bt_buffer_text(out, "; the readings fit it with a chance of ");
        bt_buffer_text(out, bt_print_share(text, rest->agreement));
        bt_buffer_format(out, " (%zu degrees of freedom)\n", rest->dof);
    }
}

/* ---- what else counts ---- */

static void add_drying(struct bt_buffer *out, const struct bt_trend_answer *a,
                       enum bt_system system)
{
    if (!a->tau_known) {
        bt_buffer_text(out, "Drying:    not known: state the thickness in job.ini, and "
                            "how long it takes is taken into account\n");
        return;
    }
    bt_buffer_text(out, "Drying:    wood of ");
    bt_say_rule(out, a->job->panel.thickness, system);
    bt_buffer_text(out, ", open on both faces, comes some two thirds of its way in ");
    /* as many days as until it is to be read again */
    say_days(out, bt_drying_rest(a->job->panel.thickness));
    bt_buffer_format(out, " (%ld to %ld; from memory)\n", whole_days(a->tau.least),
                     whole_days(a->tau.most));
}

static bool shared_edge(const struct bt_trend_answer *a)
{
    const struct bt_form_parts *x = &before_of(a)->parts, *y = &latest_of(a)->parts;

    for (size_t i = 0; i < x->nshare; i++)
        for (size_t j = 0; j < y->nshare; j++)
            if (x->share[i].instrument >= 0 && /* not the own weight */
                x->share[i].instrument == y->share[j].instrument)
                return true;
    return false;
}

static void add_places(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    bt_buffer_text(out, a->same_places
                            ? "Places:    the same both times"
                            : "Places:    not the same both times, which is in u: "
                              "waves that one set meets, the other misses");
    bt_buffer_text(out, shared_edge(a) ? "; one straightedge both times, whose own "
                                         "shape does not count twice\n"
                                       : "\n");
}

static void add_left_out(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    for (size_t i = 0; i < a->nset; i++) {
        const struct bt_trend_set *set = &a->set[i];

        if (set->use == BT_TREND_USED)
            continue;
        bt_buffer_text(out, "Left out:  ");
        bt_buffer_name(out, set->set->name);
        bt_buffer_format(out, ", %s: ", *set->set->date ? set->set->date : "undated");
        bt_buffer_name(out, bt_trend_left_out(set));
        bt_buffer_text(out, "\n");
    }
}

static void add_suspects(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    for (size_t i = 0; i < a->nused; i++) {
        const struct bt_trend_set *set = &a->set[a->used[i]];

        if (!set->nsuspect)
            continue;
        bt_buffer_text(out, "Suspect:   ");
        bt_words_count(out, set->nsuspect, "reading", "readings");
        bt_buffer_text(out, " of ");
        bt_buffer_name(out, set->set->name);
        bt_buffer_text(out, set->nsuspect == 1 ? " does" : " do");
        bt_buffer_text(out,
                       " not fit the others; benchtrue flatness --set names them\n");
    }
}

static void add_rest_of_it(struct bt_buffer *out, const struct bt_trend_answer *a,
                           const struct bt_text_options *options)
{
    bt_buffer_text(out, "\n");
    add_places(out, a);
    add_drying(out, a, options->system);
    add_suspects(out, a);
    add_left_out(out, a);
    bt_buffer_text(out, "Mind:      wood taken off, clamps taken off or supports moved "
                        "between two sets show as movement;\n"
                        "           --since DATE leaves out the sets before\n");
}

enum bt_status bt_text_trend(const struct bt_trend_answer *answer,
                             const struct bt_text_options *options,
                             struct bt_buffer *out)
{
    say_verdict(out, answer, options);
    add_days(out, answer, options);
    add_changes(out, answer, options);
    add_rests(out, answer, options);
    if (options->details)
        add_details(out, answer);
    add_rest_of_it(out, answer, options);
    return bt_buffer_status(out);
}
